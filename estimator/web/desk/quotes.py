"""Quotes: the list with what asks for attention, one quote with its plan, and its life until it is ordered."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from typing import Any, get_args
from urllib.parse import urlencode

from babel.numbers import NumberFormatError, parse_decimal
from flask import Response

from estimator.contract.faults import parse_json, read
from estimator.contract.problems.documents import problem_of
from estimator.contract.requests.choices import IssueSchema
from estimator.documents.papers import QUOTE_FORMS
from estimator.errors import EstimatorError, NotFound
from estimator.job import CheckOverride
from estimator.sentences import say
from estimator.service.access import audit
from estimator.service.context import store_nothing
from estimator.service.quoting import plans, quotes
from estimator.service.quoting.papers.documents import edition_seen, quote_document
from estimator.service.quoting.stored import lists as quote_lists
from estimator.service.quoting.stored import quotes as stored_quotes
from estimator.service.quoting.stored.deeds import deeds_of
from estimator.service.quoting.stored.lists import Order, QuoteSearch
from estimator.web.labels import STATE_WORDS
from estimator.web.plan_view import facts_answer
from estimator.web.quote_view import quote_view
from estimator.web.routes import Pages
from estimator.web.visits import Visit, document, sent_on

pages = Pages()
"""Addresses of quotes."""


@pages.get("/quotes", "quotes:read")
def show_quotes(visit: Visit) -> Response:
    """The list, what asks for attention before it."""
    search = search_of(visit.args, visit.reader.formats.locale)
    page = quote_lists.find_quotes(visit.context, visit.client, search)
    plain = search == QuoteSearch()
    urgent = quote_lists.urgent_quotes(visit.context, visit.client) if plain else ()
    onward, back = ({**visit.args.to_dict(), "page": search.page + step} for step in (1, -1))
    return visit.page(
        "quotes.html",
        found=page, search=search, urgent=urgent, plain=plain, states=STATE_WORDS, asked=visit.args,
        next_page=f"/quotes?{urlencode(onward)}", before_page=f"/quotes?{urlencode(back)}",
    )  # fmt: skip


@pages.get("/quotes/<quote_id>", "quotes:read")
def show_quote(visit: Visit) -> Response:
    """One quote: plan, counts, checks, price, options, papers, history."""
    return _quote_page(visit)


@pages.get("/quotes/<quote_id>/plan-facts/<roof>", "quotes:read")
def show_plan_facts(visit: Visit) -> Response:
    """What stands on one roof, for pointer and keyboard; ``window`` narrows it to a part of a large roof."""
    drawn = plans.quote_drawn(visit.context, visit.client, visit.path["quote_id"])
    return facts_answer(visit, drawn)


@pages.post("/quotes/<quote_id>/issue", "quotes:issue")
def issue_page(visit: Visit) -> Response:
    """A draft becomes an offer; failed checks that were given a reason stand."""
    quote_id = visit.path["quote_id"]
    return _changed(
        visit,
        lambda version: quotes.issue_quote(
            visit.context, visit.client, quote_id, version, _overrides(visit), store_nothing
        ),
    )


@pages.post("/quotes/<quote_id>/approve", "quotes:approve")
def approve_page(visit: Visit) -> Response:
    """Approve a draft beyond its preparer's limits that another person prepared."""
    quote_id, reason = visit.path["quote_id"], visit.form.get("reason", "").strip()[:1_000]
    return _changed(
        visit,
        lambda version: quotes.approve_quote(visit.context, visit.client, quote_id, version, reason, store_nothing),
    )


@pages.post("/quotes/<quote_id>/answer", "quotes:answer")
def answer_page(visit: Visit) -> Response:
    """The customer accepted or declined."""
    answer = visit.form.get("answer", "")
    return _changed(
        visit,
        lambda version: quotes.answer_quote(
            visit.context, visit.client, visit.path["quote_id"], version,
            "accepted" if answer == "accepted" else "declined", store_nothing, visit.form.get("option") or None,
        ),
    )  # fmt: skip


@pages.get("/quotes/<quote_id>/papers/<file>", "quotes:read")
def show_paper(visit: Visit) -> Response:
    """A paper of a quote, as the role may see it."""
    forms = {form.file: form for form in QUOTE_FORMS.values()}
    if visit.path["file"] not in forms:
        raise NotFound(say("there is no such paper"))
    form = forms[visit.path["file"]]
    edition = edition_seen(visit.client, "customer" if visit.args.get("for") == "customer" else None)
    name, content = quote_document(visit.context, visit.client, visit.path["quote_id"], form.name, edition)
    return document(content, form.media, name)


def search_of(args: Mapping[str, str], locale: str = "en_US") -> QuoteSearch:
    """What is looked for; what cannot be read does not narrow the list."""
    state, order = args.get("state", ""), args.get("order", "")
    return QuoteSearch(
        words=args.get("words", "")[:200],
        state=state if state in STATE_WORDS else None,  # type: ignore[arg-type]
        customer=args.get("customer", "")[:200],
        within_days=_whole(args.get("within", "")),
        ending_days=_whole(args.get("ending", "")),
        least=_amount(args.get("least", ""), locale),
        most=_amount(args.get("most", ""), locale),
        order=order if order in get_args(Order) else "newest",  # type: ignore[arg-type]
        page=max(1, _whole(args.get("page", "")) or 1),
    )


def _quote_page(visit: Visit, status: int = 200, refusal: EstimatorError | None = None) -> Response:
    whole = stored_quotes.get_whole(visit.context, visit.client, visit.path["quote_id"])
    history = quote_lists.revisions_of(visit.context, visit.client, whole.card.number)
    problem = problem_of(refusal) if refusal is not None else None
    deeds = audit.history_of(visit.context, visit.client, whole.card.id)
    view: dict[str, Any] = quote_view(visit, whole)
    ordered = [each for each in history if each.order_list_id and each.revision < whole.card.revision]
    may_do = deeds_of(visit.client, whole.card, history, visit.context.today())
    later = history[-1] if history[-1].revision > whole.card.revision else None
    return visit.page(
        "quote.html", status, revisions=history, problem=problem, deeds=deeds, ordered_before=ordered,
        later=later, deeds_allowed=may_do.allowed, not_issued=may_do.not_issued, **view,
    )  # fmt: skip


def _overrides(visit: Visit) -> tuple[CheckOverride, ...]:
    """Checks that were given a reason, each named by code and place as the page wrote it."""
    pairs = zip(visit.form.getlist("check"), visit.form.getlist("reason"), strict=False)
    named = [{**parse_json(check.encode()), "reason": reason.strip()} for check, reason in pairs if reason.strip()]
    read_overrides: tuple[CheckOverride, ...] = read(IssueSchema(), {"overrides": named})["overrides"]
    return read_overrides


def _changed(visit: Visit, change: Any) -> Response:  # noqa: ANN401
    """A change at the version that was looked at; what keeps it from being made is told on the quote's page."""
    try:
        change(_whole(visit.form.get("version", "")) or 0)
    except EstimatorError as refusal:
        return _quote_page(visit, problem_of(refusal).status, refusal)
    return sent_on(f"/quotes/{visit.path['quote_id']}")


def _whole(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 8 else None


def _amount(text: str, locale: str) -> Decimal | None:
    """An amount as the reader's language writes it, else with a point for the decimals."""
    try:
        amount = parse_decimal(text.strip(), locale=locale, strict=True)
    except NumberFormatError:
        try:
            amount = Decimal(text.strip())
        except InvalidOperation:
            return None
    return round(amount, 2) if amount.is_finite() and abs(amount) < Decimal("1e12") else None
