"""One way to mount a job, as far as loads go: how high its modules lie, where everything stands, what does not hold.

What prices and cut plans are made of, and all that somebody needs who asks for loads alone.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from estimator.attachment import limits_for
from estimator.attachment.geometry.expansion.thermal import rails_that_meet
from estimator.attachment.geometry.permissions import spans_without_loads
from estimator.attachment.load_report import LoadReport, panel_settings, report_loads
from estimator.attachment.records import SettingOut
from estimator.attachment.under_load.checks.splices import RigidJoint, SplicedRails, check_splices
from estimator.attachment.under_load.setting_out import set_out_under_load
from estimator.errors import ChoiceRefused, Fault, Finding
from estimator.job import Choices, Job
from estimator.layout.records import Layout
from estimator.layout.work import Work
from estimator.loads import Pressures, find_pressures
from estimator.mounting import clearances
from estimator.mounting.records import Clearance, MountingChoice
from estimator.pricebook import Book
from estimator.sentences import day, say

NOT_OF_THE_BUILDING = say(
    "Not checked here: the roof sheet itself, how it is fastened, and the structure that carries it."
)
CAUTIONS = (
    say("An aid for estimating: a licensed engineer checks loads and spacings for this site before anything is built."),
    say("The building, fire and electrical codes in force at the site come before anything stated here."),
    NOT_OF_THE_BUILDING,
    say("Secure everybody who works on the roof against falling."),
    say("Follow the part makers' instructions for installation and tightening torques."),
)


@dataclass(frozen=True, slots=True)
class Trial:
    """What every trial of the choice loop shares; ``work`` counts what all of them take.

    ``known`` is what mountings of one geometry have in common.
    """

    job: Job
    book: Book
    choices: Choices
    on: date
    findings: tuple[Finding, ...]
    work: Work = field(default_factory=Work, compare=False)
    known: dict[Hashable, Any] = field(default_factory=dict, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class PlacedMounting:
    """One mounting placed under its loads, and what was found on the way there."""

    heights: tuple[Clearance, ...]
    loads: LoadReport
    setting_out: SettingOut
    later: tuple[Finding, ...]
    pressures: tuple[Pressures, ...] = ()


def with_splices(
    trial: Trial, mounting: MountingChoice, placed: PlacedMounting, joints: Sequence[RigidJoint]
) -> PlacedMounting:
    """The same with its rigid splices checked where the cut plan puts them."""
    rail, loads = mounting.rail, placed.loads
    kind = "splice"
    splice = next((s for s in trial.book.splices if rail and (s.rail, s.kind) == (rail.rail, kind)), None)
    if rail is None or not placed.pressures:
        return placed
    rails = SplicedRails(
        placed.setting_out.runs,
        tuple(loads.checks[number].line if number >= 0 else None for number in loads.check_of),
        placed.pressures,
        tuple(roof.strength for roof in loads.roofs if roof.strength is not None),
    )
    checks, findings = check_splices(trial.job, mounting, splice, rails, joints)
    return replace(placed, loads=replace(loads, splices=checks), later=(*findings, *placed.later))


def check_in_force(book: Book, on: date) -> None:
    """Refuse (ChoiceRefused) a date outside the edition's validity."""
    if not book.valid_from <= on <= book.valid_until:
        allowed = say(
            "{valid_from} to {valid_until}", valid_from=day(book.valid_from), valid_until=day(book.valid_until)
        )
        message = say(
            "pricebook {book} {edition} is not in force on {on}", book=book.id, edition=book.edition, on=day(on)
        )
        raise ChoiceRefused(message, [Fault("/on", message, allowed)])


def place(trial: Trial, layout: Layout, mounting: MountingChoice) -> PlacedMounting:
    """A mounting through the stages up to its setting-out under load."""
    heights, height_findings = clearances(trial.job, mounting, trial.book)
    loads, setting_out, pressures = _set_out(trial, layout, mounting, heights)
    spans = () if loads.computed else (spans_without_loads(trial.job, mounting),)
    meeting = rails_that_meet(trial.job, mounting, trial.book, setting_out.runs)
    return PlacedMounting(tuple(heights), loads, setting_out, (*spans, *meeting, *height_findings), pressures)


def _set_out(
    trial: Trial, layout: Layout, mounting: MountingChoice, heights: Sequence[Clearance]
) -> tuple[LoadReport, SettingOut, tuple[Pressures, ...]]:
    """Where the attachments stand under every roof's loads; twice, the second time with the hardware's own mass."""
    job = trial.job
    limits = limits_for(job, mounting)
    under_modules = [each.under_module_mm for each in heights]
    laid: SettingOut | None = None
    for _ in range(2):
        settings = panel_settings(job, layout, mounting, trial.book, under_modules, laid)
        pairs = zip(job.roofs, settings, strict=True)
        pressures = [find_pressures(job.site.loads, roof, job.module, setting, trial.known) for roof, setting in pairs]
        loaded = set_out_under_load(job, layout, mounting, limits, pressures, trial.work, trial.known)
        laid = loaded.setting_out
        if not loaded.pressures:
            break
    assert laid is not None
    return report_loads(job, pressures, loaded), laid, loaded.pressures
