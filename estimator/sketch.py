"""A job drawn while it is being entered: laid out and set out by the first mounting whose checks hold; no cut plan.

What it shows is not yet what a quote takes: only an estimate compares every mounting and knows a price.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from estimator.attachment.load_report import LoadReport
from estimator.attachment.records import SettingOut
from estimator.checks import all_checks
from estimator.errors import Finding
from estimator.job import Choices, Job
from estimator.layout import lay_out
from estimator.layout.records import Layout
from estimator.mounting import mounting_choices
from estimator.mounting.records import MountingChoice
from estimator.pricebook import Book
from estimator.takeoff import count
from estimator.takeoff.records import Counts
from estimator.trial import Trial, check_in_force, place

MOST_TRIED = 3
"""Mountings set out until one passes, so that a keystroke is answered at once. Own decision, no source."""


@dataclass(frozen=True, slots=True)
class Sketch:
    """A job set out one way. ``open_ways``: between how many mountings a quote will choose."""

    job: Job
    layout: Layout
    setting_out: SettingOut
    loads: LoadReport
    mounting: MountingChoice
    counts: Counts
    checks: tuple[Finding, ...]
    open_ways: int


def sketch(job: Job, book: Book, choices: Choices, on: date) -> Sketch:
    """The job drawn. Refuses as ``estimate`` does."""
    check_in_force(book, on)
    layout = lay_out(job)
    mountings, findings, _ = mounting_choices(job, book, choices)
    trial = Trial(job, book, choices, on, findings)
    tried = []
    for mounting in mountings[:MOST_TRIED]:
        made = _set_out(trial, layout, mounting, len(mountings))
        tried.append(made)
        if not any(check.severity == "error" for check in made.checks):
            return made
    return min(tried, key=lambda made: sum(check.severity == "error" for check in made.checks))


def _set_out(trial: Trial, layout: Layout, mounting: MountingChoice, open_ways: int) -> Sketch:
    placed = place(trial, layout, mounting)
    before = (*trial.findings, *layout.findings, *placed.setting_out.findings)
    counts = count(trial.job, layout, placed.setting_out, None).counts
    checks = all_checks(before, placed.loads, placed.later, units=trial.job.display_units)
    return Sketch(trial.job, layout, placed.setting_out, placed.loads, mounting, counts, checks, open_ways)
