"""What fails on the runs of a setting-out, in the estimator's words: one finding for an array and a cause."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

import numpy as np

from estimator.attachment.geometry.clamping import shift_to_ribs
from estimator.attachment.geometry.runs import ColumnRibs
from estimator.attachment.geometry.spacing.one_run import LimitFailure
from estimator.attachment.geometry.spacing.placer import UnplacedRun
from estimator.attachment.records import Limits, Run
from estimator.errors import Finding
from estimator.job import Job
from estimator.layout import ArrayLayout, RoofLayout, breaches, describe
from estimator.places import End, Place
from estimator.sentences import Figure, Sentence, figure, joined, placed, say
from estimator.units import as_text

_ENDS: dict[str, End] = {"first_cantilever": "left", "last_cantilever": "right"}
_CODES = {
    "ribs": "too_few_ribs_under_rail",
    "first_cantilever": "cantilever_too_long",
    "last_cantilever": "cantilever_too_long",
    "span": "span_too_long",
}
FROM_LIMITS = frozenset(_CODES.values())
"""The codes of what depends on how long spans and cantilevers may be."""


def unplaced_findings(job: Job, limits: Limits, unplaced: Iterable[UnplacedRun]) -> list[Finding]:
    """For every array and limit that no choice of ribs keeps: the worst run, by how much, and what would help."""
    worst: dict[tuple[int, int, str], tuple[UnplacedRun, LimitFailure]] = {}
    runs: dict[tuple[int, int, str], set[Place]] = {}
    for each in unplaced:
        for failure in each.failures:
            place = (each.run.roof, each.run.array, failure.limit)
            runs.setdefault(place, set()).add(each.run.place)
            if place not in worst or _excess(failure) > _excess(worst[place][1]) + 0.001:
                worst[place] = (each, failure)
    return [_unplaced(job, limits, each, failure, len(runs[place])) for place, (each, failure) in worst.items()]


def _excess(failure: LimitFailure) -> float:
    return abs(failure.found_mm - failure.allowed_mm)


def _unplaced(job: Job, limits: Limits, each: UnplacedRun, failure: LimitFailure, runs: int) -> Finding:
    both = {"first_cantilever", "last_cantilever"} <= {other.limit for other in each.failures}
    found, allowed = failure.found_mm, failure.allowed_mm
    what = _what_fails(job, limits, failure, both)
    if runs > 1:
        what = say("{what} ({count} runs of the array)", what=what, count=runs)
    place = replace(each.run.place, end=_ENDS.get(failure.limit))
    return Finding(
        code=_CODES[failure.limit],
        severity="error",
        message=placed(place, what),
        place=place,
        found=round(found, 3),
        allowed=round(allowed, 3),
        unit="" if failure.limit == "ribs" else "mm",
    )


def _what_fails(job: Job, limits: Limits, failure: LimitFailure, both: bool) -> Sentence:
    def mm(length: float) -> Figure:
        return as_text(length, "length", job.display_units)

    if failure.limit == "ribs":
        return say(
            "ribs under the rail: {count}, needed: 2; a longer row or rails along the ribs would help",
            count=figure(failure.found_mm, ".0f"),
        )
    found, allowed, excess = (
        mm(length) for length in (failure.found_mm, failure.allowed_mm, failure.found_mm - failure.allowed_mm)
    )
    if failure.limit == "span":
        return say(
            "neighbouring ribs {found} apart, {allowed} allowed ({source}), {excess} too far; a bracket and a rail with"
            " that span, or rails along the ribs, would help",
            found=found,
            allowed=allowed,
            source=limits.span_source,
            excess=excess,
        )
    first = failure.limit == "first_cantilever"
    far = say(
        "the rail overhangs {found} past the nearest rib on the left, {allowed} allowed ({source}), {excess} too far"
        if first
        else "the rail overhangs {found} past the nearest rib on the right, {allowed} allowed ({source}), {excess} too"
        " far",
        found=found,
        allowed=allowed,
        source=limits.cantilever_source,
        excess=excess,
    )
    return joined("; ", (far, _would_help(excess, first, both)))


def _would_help(excess: Figure, first: bool, both: bool) -> Sentence:
    if both:
        return say("a rail that may overhang that far would help")
    return say(
        "a rail that may overhang that far, or the array moved {excess} to the right if the other end allows it, "
        "would help"
        if first
        else "a rail that may overhang that far, or the array moved {excess} to the left if the other end allows "
        "it, would help",
        excess=excess,
    )


def column_findings(
    job: Job, roof: RoofLayout, array: ArrayLayout, columns: Mapping[int, ColumnRibs]
) -> Iterator[Finding]:
    """The columns whose clamping zones hold no rib, and how far each would have to move."""
    for column, ribs in columns.items():
        if ribs.chosen is None:
            yield _column(job, roof, array, column, shift_to_ribs(roof.ribs_x, ribs.zones))


def _column(job: Job, roof: RoofLayout, array: ArrayLayout, column: int, shift: float | None) -> Finding:
    move = say("no move along the eave would bring a rib under each")
    if shift is not None:
        move = say(
            "the column would have to move {distance} to the right"
            if shift > 0
            else "the column would have to move {distance} to the left",
            distance=as_text(abs(shift), "length", job.display_units),
        )
    place = Place(roof=roof.name, array=array.name, column=column + 1)
    return Finding(
        code="no_rib_in_clamping_zone",
        severity="error",
        message=say(
            "{where}: the two clamping zones of the modules do not each contain a rib; {move} (columns counted "
            "from the left)",
            where=place,
            move=move,
        ),
        place=place,
        found=None if shift is None else round(abs(shift), 3),
        allowed=0.0,
        unit="mm",
    )


def rail_end_findings(job: Job, roof: RoofLayout, array: ArrayLayout, runs: list[Run]) -> Iterator[Finding]:
    """Rails that leave the plane, enter a strip to be kept clear or cross an obstruction."""
    lines = np.array([_line(run) for run in runs]).reshape(-1, 4)
    for breach in breaches(lines, job.roofs[roof.roof]):
        found = describe(breach, lambda length: as_text(length, "length", job.display_units))
        others = [say("{count} rails of the array do", count=breach.count)] if breach.count > 1 else []
        place = breach.on(runs[breach.worst].place)
        yield Finding(
            code=f"rail_{breach.border}",
            severity="error",
            message=joined("; ", (say("{place}: the rail {reaches}", place=place, reaches=found), *others)),
            place=place,
            found=round(breach.distance_mm, 3),
            allowed=0.0,
            unit="mm",
        )


def _line(run: Run) -> tuple[float, float, float, float]:
    if run.axis == "x":
        return run.start_x, run.start_y, run.start_x + run.length_mm, run.start_y
    return run.start_x, run.start_y, run.start_x, run.start_y + run.length_mm
