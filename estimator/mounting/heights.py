"""How high the modules lie above the sheet, and whether the air gap under them is what the pricebook wants."""

from __future__ import annotations

from collections.abc import Iterator

from estimator.errors import Finding
from estimator.job import Job, Roof
from estimator.mounting.records import Clearance, MountingChoice
from estimator.places import Place
from estimator.pricebook import Book
from estimator.sentences import say
from estimator.units import as_text

_TOLERANCE_MM = 0.05


def clearances(job: Job, choice: MountingChoice, book: Book) -> tuple[tuple[Clearance, ...], tuple[Finding, ...]]:
    """The clearance under the modules of every roof, mm, beside the window for the air gap.

    Clearance = rib height + the bracket's height in the arrangement + the rail's height where the rail stands on the
    bracket (``rail_on_top``). Below the window is a warning, above it a note. Source: common practice, no source.

    A rib of 1.25 in under a bracket whose side rail ends 3.75 in above the crown gives 5.0 in; with the foot laid flat
    (2.75 in) and a rail of 1.75 in on it 5.75 in; without the rail 4.0 in.
    """
    found = tuple(_clearance(roof, choice, book) for roof in job.roofs)
    findings = [finding for each in found for finding in _outside_window(job, each)]
    return found, tuple(findings)


def _clearance(roof: Roof, choice: MountingChoice, book: Book) -> Clearance:
    bracket = choice.bracket.heights_mm[choice.arrangement]
    rail = choice.rail.height_mm if choice.rail is not None and choice.held.rail_adds_height else 0.0
    under = roof.ribs.height_mm + bracket + rail
    return Clearance(roof.name, roof.ribs.height_mm, bracket, rail, under, book.defaults.air_gap_window_mm)


def _outside_window(job: Job, each: Clearance) -> Iterator[Finding]:
    low, high = each.window_mm
    if low - _TOLERANCE_MM <= each.under_module_mm <= high + _TOLERANCE_MM:
        return
    under, least, most = (as_text(length, "length", job.display_units) for length in (each.under_module_mm, low, high))
    below, place = each.under_module_mm < low, Place(roof=each.roof)
    effect = say("less air passes under the modules") if below else say("beyond that the output rises little")
    yield Finding(
        code="air_gap_too_small" if below else "air_gap_larger_than_needed",
        severity="warning" if below else "note",
        message=say(
            "{roof}: {under} under the modules, {least} to {most} wanted for the air gap; {effect}",
            roof=place,
            under=under,
            least=least,
            most=most,
            effect=effect,
        ),
        place=place,
        found=round(each.under_module_mm, 3),
        allowed=low if below else high,
        unit="mm",
    )
