"""The long calculations by name, as a process beside the service may be asked for them; each tells its progress."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

from estimator.comparison.compare import compare_everything, offer
from estimator.comparison.records import Comparison, Offer
from estimator.cutting.records import Effort, Standing
from estimator.estimate import PROMPT, Estimate
from estimator.job import Job, Wishes
from estimator.pricebook import Book
from estimator.pricing.rail_offers import without_offcuts
from estimator.service.cut_lists import CutList, CutListPlan, plan_cut_list
from estimator.service.last_results import LastResults

Tell = Callable[[int, int | None], None]
"""Told how far a calculation is: so much done, of so much where that is known."""
Calculate = Callable[..., Any]
SEARCHES = LastResults(16)
"""What this process searched last: it changes the time of the next search, never its plan."""
ENDLESS = 1 << 40


def ignore(_done: int, _total: int | None) -> None:
    """Nobody asks how far it is."""


def here(function: Callable[..., Any], *arguments: Any, tell: Tell = ignore) -> Any:  # noqa: ANN401
    """Calculate at once, in the thread that asks."""
    return function(*arguments, tell=tell)


def make_offer(job: Job, book: Book, wishes: Wishes, on: date, *, tell: Tell) -> Offer:
    """The whole offer of a job."""
    return offer(job, book, wishes, on, SEARCHES)


def prove_offer(job: Job, book: Book, wishes: Wishes, on: date, seconds: float, *, tell: Tell) -> Offer:
    """The whole offer, its cut plan searched until it is proven or for so many seconds."""
    return offer(job, book, wishes, on, effort=patient_effort(seconds, tell))


def compare_every_way(chosen: Estimate, *, tell: Tell) -> Comparison:
    """Every other way to build what was chosen."""
    aim = (chosen.job, without_offcuts(chosen.book), chosen.wishes, chosen.provenance.priced_on)
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

    def watch(_standing: Standing) -> None:
        tell(int(gone()), int(seconds) or None)

    return replace(PROMPT, work_limit=ENDLESS, gap=0.0, patient=True, should_stop=lambda: gone() > seconds, watch=watch)
