"""What does not hold on the runs of a setting-out, in the estimator's words: one finding for an array and a cause."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

import numpy as np

from estimator.attachment.clamping import shift_to_ribs
from estimator.attachment.placing import UnplacedRun
from estimator.attachment.records import Limits, Run
from estimator.attachment.runs import ColumnRibs
from estimator.attachment.spacing import LimitFailure
from estimator.errors import Finding
from estimator.job import Job
from estimator.layout import ArrayLayout, RoofLayout, breaches, describe
from estimator.units import as_text

_CODES = {
    "ribs": "too_few_ribs_under_rail",
    "first_cantilever": "cantilever_too_long",
    "last_cantilever": "cantilever_too_long",
    "span": "span_too_long",
}


def unplaced_findings(job: Job, limits: Limits, unplaced: Iterable[UnplacedRun]) -> list[Finding]:
    """For every array and limit that no choice of ribs keeps: the worst run, by how much, and what would help."""
    worst: dict[tuple[int, int, str], tuple[UnplacedRun, LimitFailure]] = {}
    runs: dict[tuple[int, int, str], set[str]] = {}
    for each in unplaced:
        for failure in each.failures:
            place = (each.run.roof, each.run.array, failure.limit)
            runs.setdefault(place, set()).add(each.run.label)
            if place not in worst or _excess(failure) > _excess(worst[place][1]) + 0.001:
                worst[place] = (each, failure)
    return [_unplaced(job, limits, each, failure, len(runs[place])) for place, (each, failure) in worst.items()]


def _excess(failure: LimitFailure) -> float:
    return abs(failure.found_mm - failure.allowed_mm)


def _unplaced(job: Job, limits: Limits, each: UnplacedRun, failure: LimitFailure, runs: int) -> Finding:
    both = {"first_cantilever", "last_cantilever"} <= {other.limit for other in each.failures}
    found, allowed = failure.found_mm, failure.allowed_mm
    like = f" ({runs} runs of the array)" if runs > 1 else ""
    side = "left" if failure.limit == "first_cantilever" else "right"
    return Finding(
        code=_CODES[failure.limit],
        severity="error",
        message=f"{each.run.label}: {_what_fails(job, limits, failure, both)}{like}",
        where=each.run.label + (f" / {side} end" if "cantilever" in failure.limit else ""),
        found=round(found, 3),
        allowed=round(allowed, 3),
        unit="" if failure.limit == "ribs" else "mm",
    )


def _what_fails(job: Job, limits: Limits, failure: LimitFailure, both: bool) -> str:
    def mm(length: float) -> str:
        return as_text(length, "length", job.display_units)

    if failure.limit == "ribs":
        return (
            f"ribs under the rail: {failure.found_mm:.0f}, needed: 2; a longer row or rails along the ribs would help"
        )
    excess = mm(failure.found_mm - failure.allowed_mm)
    if failure.limit == "span":
        return (
            f"neighbouring ribs {mm(failure.found_mm)} apart, {mm(failure.allowed_mm)} allowed ({limits.span_source}),"
            f" {excess} too far; a bracket and a rail with that span, or rails along the ribs, would help"
        )
    side, way = ("left", "right") if failure.limit == "first_cantilever" else ("right", "left")
    move = "" if both else f", or the array moved {excess} to the {way} if the other end allows it,"
    return (
        f"the rail overhangs {mm(failure.found_mm)} past the nearest rib on the {side},"
        f" {mm(failure.allowed_mm)} allowed ({limits.cantilever_source}), {excess} too far;"
        f" a rail that may overhang so far{move} would help"
    )


def column_findings(
    job: Job, roof: RoofLayout, array: ArrayLayout, columns: Mapping[int, ColumnRibs]
) -> Iterator[Finding]:
    """The columns whose clamping zones hold no rib, and how far each would have to move."""
    for column, ribs in columns.items():
        if ribs.chosen is None:
            yield _column(job, roof, array, column, shift_to_ribs(roof.ribs_x, ribs.zones))


def _column(job: Job, roof: RoofLayout, array: ArrayLayout, column: int, shift: float | None) -> Finding:
    move = "no move along the eave would bring a rib under each"
    if shift is not None:
        way = "right" if shift > 0 else "left"
        move = f"the column would have to move {as_text(abs(shift), 'length', job.display_units)} to the {way}"
    return Finding(
        code="no_rib_in_clamping_zone",
        severity="error",
        message=f"{roof.name}, array {array.name}, column {column + 1}: the clamping zones of the modules do not both"
        f" hold a rib of their own; {move} (columns counted from the left)",
        where=f"{roof.name} / {array.name} / column {column + 1}",
        found=None if shift is None else round(abs(shift), 3),
        allowed=0.0,
        unit="mm",
    )


def rail_end_findings(job: Job, roof: RoofLayout, array: ArrayLayout, runs: list[Run]) -> Iterator[Finding]:
    """Rails that leave the plane, enter a strip to be kept clear or cross an obstruction."""
    lines = np.array([_line(run) for run in runs]).reshape(-1, 4)
    for breach in breaches(lines, job.roofs[roof.roof]):
        found = describe(breach, lambda length: as_text(length, "length", job.display_units))
        others = f"; {breach.count} rails of the array do" if breach.count > 1 else ""
        yield Finding(
            code=f"rail_{breach.border}",
            severity="error",
            message=f"{runs[breach.worst].label}: the rail {found}{others}",
            where=f"{roof.name} / {array.name} / rails / {breach.what}",
            found=round(breach.distance_mm, 3),
            allowed=0.0,
            unit="mm",
        )


def _line(run: Run) -> tuple[float, float, float, float]:
    if run.axis == "x":
        return run.start_x, run.start_y, run.start_x + run.length_mm, run.start_y
    return run.start_x, run.start_y, run.start_x, run.start_y + run.length_mm
