"""The demonstration organisation: invented people, the shipped jobs, and quotes of them in every state."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from estimator.demo import DemoJob
    from estimator.service.context import Client, ServiceContext

HOUSE = "demonstration"
PASSWORD = "this is a demonstration"  # noqa: S105  (told to everybody on purpose, on this machine only)
PEOPLE = (
    ("estimator", "Nora Example", "estimator", "en", "us_metric"),
    ("purchasing", "Ben Example", "purchasing", "en", "metric"),
    ("pricing", "Ida Example", "pricing", "en", "metric"),
    ("kalkulation", "Jana Beispiel", "estimator", "de", "metric"),
    ("administrator", "Vera Example", "admin", "en", "metric"),
)
"""Login, name, role, language and units of the invented people."""


def furnish(context: ServiceContext, step: Callable[[str], None]) -> None:
    """People, jobs and quotes, made once: where the first of the people is there already, nothing is done."""
    from estimator.demo import demo_jobs
    from estimator.service.people.accounts import Newcomer, invite, list_people, take_invitation

    if any(person.login == PEOPLE[0][0] for person, _ in list_people(context)):
        return
    made = []
    for login, name, role, language, units in PEOPLE:
        token, _ = invite(context, HOUSE, Newcomer(login, name, role, language, units))
        made.append(take_invitation(context, token, PASSWORD))
    for at, each in enumerate(demo_jobs()):
        step(f"{each.file.stem}: counting and pricing")
        _quote(context, made[0].client, each, at)


def _quote(context: ServiceContext, client: Client, demo: DemoJob, at: int) -> None:
    """One job with its quote: some stay drafts, some are issued, some accepted."""
    from estimator.contract.requests.pricing import pricing_of
    from estimator.errors import Conflict
    from estimator.service.context import store_nothing
    from estimator.service.jobs import post_job
    from estimator.service.quoting import quotes

    document = demo.document(context.today())
    pricing = pricing_of(document, {"pricebook": demo.pricebook})
    kept = post_job(context, client, pricing.job, document, store_nothing)
    card = quotes.draft_quote(context, client, kept.id, pricing, store_nothing).card
    if at % 3 == 0:
        return
    try:
        issued = quotes.issue_quote(context, client, card.id, card.version, (), store_nothing)
        if at % 3 == 2:
            quotes.answer_quote(context, client, card.id, issued.version, "accepted", store_nothing)
    except Conflict:
        return  # a check keeps it a draft, as it would keep any quote
