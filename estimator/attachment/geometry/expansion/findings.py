"""Gaps at which expansion splices divide the rails of an array but that have no room for them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from estimator.attachment.geometry.expansion.parts import ExpansionRule, RailPart
from estimator.errors import Finding
from estimator.job import Job
from estimator.layout import ArrayLayout, RoofLayout, Segment
from estimator.places import Place
from estimator.sentences import Sentence, say
from estimator.units import as_text


def expansion_gap_findings(
    job: Job,
    roof: RoofLayout,
    array: ArrayLayout,
    segments: Sequence[Segment],
    parted: Sequence[tuple[RailPart, ...]],
    rule: ExpansionRule | None,
) -> Iterator[Finding]:
    """An error for every column (row) after which the gap is too narrow for an expansion splice and two end clamps.

    Where the pricebook does not say how wide a gap has to be, the joint's own gap is asked for and a warning says so.
    """
    if rule is None:
        return
    joints = {
        (segment.direction, segment.first + part.last)
        for segment, parts in zip(segments, parted, strict=True)
        for part in parts
        if part.joined
    }
    if joints and rule.least_gap_mm is None:
        yield _unknown(roof, array)
    posted = job.roofs[roof.roof].arrays[array.array]
    for direction, at in sorted(joints):
        across, edge = direction == "row", array.module_x_mm if direction == "row" else array.module_y_mm
        starts = posted.left_of if across else posted.bottom_of
        gap = starts(at + 1, edge) - starts(at, edge) - edge
        if rule.is_narrow(gap):
            yield _narrow(job, Place(roof=roof.name, array=array.name), direction, at + 1, gap, rule)


def _narrow(job: Job, where: Place, direction: str, after: int, gap_mm: float, rule: ExpansionRule) -> Finding:
    least = rule.joint_mm if rule.least_gap_mm is None else rule.least_gap_mm
    found, needed, shift = (as_text(each, "length", job.display_units) for each in (gap_mm, least, least - gap_mm))
    by_column = direction == "row"
    named = replace(where, column=after) if by_column else replace(where, row=after)
    said: dict[str, Place | Sentence | str | int] = {
        "where": where, "number": after, "found": found, "needed": needed, "shift": shift,
    }  # fmt: skip
    text = (
        say(
            "{where}: an expansion splice parts the rails after column {number}, where the gap is {found}; the joint "
            "and two end clamps need {needed}. A wider gap there (wider_gaps) moves the columns right of it by {shift}",
            **said,
        )
        if by_column
        else say(
            "{where}: an expansion splice parts the rails after row {number}, where the gap is {found}; the joint "
            "and two end clamps need {needed}. A wider gap there (wider_gaps) moves the rows above it by {shift}",
            **said,
        )
    )
    return Finding("expansion_gap_narrow", "error", text, named, round(gap_mm, 3), least, "mm")


def _unknown(roof: RoofLayout, array: ArrayLayout) -> Finding:
    place = Place(roof=roof.name, array=array.name)
    text = say(
        "{where}: expansion splices part the rails; how wide the gap between modules has to be for the joint and two "
        "end clamps is not in the pricebook (least_gap in splices.csv), and not checked",
        where=place,
    )
    return Finding("expansion_gap_unchecked", "warning", text, place)
