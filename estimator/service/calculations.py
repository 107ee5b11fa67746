"""The long calculations by name, as a process beside the service may be asked for them; each tells its progress."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from estimator.comparison.compare import compare_everything, compare_materials, offer, plans_of
from estimator.comparison.records import Comparison, Offer
from estimator.comparison.repricing import reprice
from estimator.cutting.records import CutPlan, Effort, Standing
from estimator.errors import EstimatorError
from estimator.estimate import PROMPT, Estimate
from estimator.job import Choices, Job
from estimator.pricebook import Book
from estimator.pricing.rail_offers import without_offcuts
from estimator.sentences import Sentence, say
from estimator.service.cut_lists import CutList, CutListPlan, plan_cut_list
from estimator.service.last_results import LastResults
from estimator.storage.records.codec import LightThaw, thaw

Tell = Callable[[int, int | None], None]
"""Told how far a calculation is: so much done, of so much where that is known."""
Calculate = Callable[..., Any]
SEARCHES = LastResults(16)
"""What this process searched last: it changes the time of the next search, never its plan."""
ENDLESS = 1 << 40


def ignore(_done: int, _total: int | None) -> None:
    """For calculations whose progress nobody watches."""


def here(function: Callable[..., Any], *arguments: Any, tell: Tell = ignore) -> Any:  # noqa: ANN401
    """Calculate at once, in the thread that asks."""
    return function(*arguments, tell=tell)


def make_offer(
    job: Job, book: Book, choices: Choices, on: date, before: tuple[CutPlan, ...] = (), *, tell: Tell
) -> Offer:
    """The whole offer of a job; ``before`` are the cut plans of the one that is revised."""
    return offer(job, book, choices, on, SEARCHES, before=before)


def prove_offer(made: Offer, seconds: float, *, tell: Tell) -> Offer:
    """An offer with its cut plan searched on until it is proven or for so many seconds."""
    old, before = made.estimate, plans_of(made)
    aim = (old.job, without_offcuts(old.book), old.choices, old.provenance.priced_on)
    found = offer(*aim, effort=patient_effort(seconds, tell), before=before)
    return replace(found, estimate=_told_as_made(found.estimate, old), options=tuple(
        replace(each, estimate=_told_as_made(each.estimate, was.estimate))
        for each, was in zip(found.options, made.options, strict=True)
    ))  # fmt: skip


def _told_as_made(found: Estimate, old: Estimate) -> Estimate:
    """A plan that an offer keeps counts as that of an earlier offer only if it was so before."""
    plan = found.cut_plan
    if plan is None or old.cut_plan is None or plan.kept == "none":
        return found
    return replace(found, cut_plan=replace(plan, kept=old.cut_plan.kept))


def compare_every_way(chosen: Estimate, *, tell: Tell) -> Comparison:
    """Every other way to build what was chosen."""
    aim = (chosen.job, without_offcuts(chosen.book), chosen.choices, chosen.provenance.priced_on)
    return compare_everything(chosen, aim, SEARCHES)


def plan_cuts(cut_list: CutList, seconds: float | None, *, tell: Tell) -> CutListPlan:
    """The plan of a cut list."""
    effort = patient_effort(seconds or 0, tell)
    return plan_cut_list(cut_list, seconds, effort.watch)


def patient_effort(seconds: float, tell: Tell = ignore) -> Effort:
    """A search until proven or for so many seconds, counted from when it first looks at the clock.

    Before that the job is laid out and set out. ``tell`` hears of the seconds gone.
    """
    begun: list[float] = []

    def gone() -> float:
        begun[:] = begun or [time.monotonic()]
        return time.monotonic() - begun[0]

    def watch(standing: Standing) -> None:
        if standing.way is None:
            tell(int(gone()), int(seconds) or None)

    return replace(PROMPT, work_limit=ENDLESS, gap=0.0, patient=True, should_stop=lambda: gone() > seconds, watch=watch)


@dataclass(frozen=True, slots=True)
class RepricedTotals:
    """A quote by another edition in short: what became of its plan, totals, costs, why they differ; or a problem."""

    plan: str
    currency: str
    old_total: Decimal
    old_cost: Decimal
    new_total: Decimal | None = None
    new_cost: Decimal | None = None
    causes: tuple[tuple[str, Decimal], ...] = ()
    problem: Sentence | None = None


UNASKED = LightThaw(
    {
        Offer: frozenset({"comparison", "options"}),
        Estimate: frozenset({"decisions", "layout", "loads", "setting_out", "checks", "clearances"}),
    },
    shared=frozenset({Book}),
)
"""Totals by another edition need neither drawing nor checks of an offer, and its book is that of many others."""


def reprice_all(offers: Sequence[bytes], book: Book, on: date, *, tell: Tell) -> list[RepricedTotals]:
    """Kept offers by another edition, each in short."""
    return [_totals(UNASKED.thaw(each), book, on) for each in offers]


def reprice_offer(kept: bytes, book: Book, on: date, *, tell: Tell) -> Offer:
    """A kept offer by another edition, whole; its options are priced again like the job itself."""
    old: Offer = thaw(kept)
    before = plans_of(old)
    if old.options:
        return offer(old.estimate.job, book, old.estimate.choices, on, SEARCHES, before=before)
    new = reprice(old.estimate, book, on).estimate
    return Offer(new, compare_materials(new, (new.job, book, new.choices, on), SEARCHES, before))


def _in_another_currency(new: str, old: str) -> Sentence:
    return say("the edition is in {new}, the quote in {old}", new=new, old=old)


def _totals(old: Offer, book: Book, on: date) -> RepricedTotals:
    before = old.estimate.bill.totals
    told = RepricedTotals("all_anew", before.total.currency, before.total.amount, before.cost.amount)
    if book.currency != before.total.currency:
        return replace(told, problem=_in_another_currency(book.currency, before.total.currency))
    try:
        found = reprice(old.estimate, book, on)
    except EstimatorError as refusal:
        return replace(told, problem=refusal.told)
    after = found.estimate.bill.totals
    return replace(told, plan=found.plan, new_total=after.total.amount, new_cost=after.cost.amount, causes=found.causes)
