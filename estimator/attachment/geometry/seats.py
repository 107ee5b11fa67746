"""Attachments without rail: where the modules' edges that cross the ribs are held."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from estimator.attachment.geometry.clamping import further_ribs
from estimator.attachment.geometry.runs import ColumnRibs
from estimator.attachment.records import Limits, Seat
from estimator.errors import Finding
from estimator.job import Array, Job
from estimator.layout import TOLERANCE_MM, ArrayLayout, RoofLayout
from estimator.places import Place
from estimator.sentences import figure, say
from estimator.units import as_text

EdgeKey = tuple[int, int, int, int]
"""Roof, array, seam and column of one edge; seam 0 lies below row 0."""


@dataclass(frozen=True, slots=True)
class Edge:
    """One module edge to be held: its seam, its column, its place up the slope, and the clamp it takes."""

    seam: int
    column: int
    y: float
    clamp: Literal["mid_clamp", "end_clamp"]


def edges_to_hold(array: Array, laid: ArrayLayout) -> list[Edge]:
    """Every seam under or over a module, by seams from the eave up, then by columns.

    With modules on both sides it lies in the middle of the gap and takes mid clamps, else it is the module's own edge
    and takes end clamps. Source: common practice, no source.
    """
    edges = []
    for segment in laid.column_segments:
        edges.append(Edge(segment.first, segment.line, segment.y0, "end_clamp"))
        for seam in range(segment.first + 1, segment.last + 1):
            low, high = (array.bottom_of(row, laid.module_y_mm) for row in (seam - 1, seam))
            edges.append(Edge(seam, segment.line, (low + laid.module_y_mm + high) / 2, "mid_clamp"))
        edges.append(Edge(segment.last + 1, segment.line, segment.y1, "end_clamp"))
    return sorted(edges, key=lambda edge: (edge.seam, edge.column, edge.y))


def seats_of(
    array: Array,
    roof: RoofLayout,
    laid: ArrayLayout,
    columns: Mapping[int, ColumnRibs],
    wanted: Mapping[EdgeKey, int],
) -> tuple[list[Seat], list[Finding]]:
    """Two seats on every edge of one array, or as many as ``wanted`` says, and the edges that have too few ribs."""
    seats: list[Seat] = []
    findings = list(_too_far_apart(array, roof, laid))
    for edge in edges_to_hold(array, laid):
        column = columns[edge.column]
        ribs = column.shown
        asked = wanted.get((roof.roof, laid.array, edge.seam, edge.column), 2) if wanted else 2
        if asked > 2 and column.chosen:
            ribs = further_ribs(roof.ribs_x, column.zones, column.chosen, asked)
            if len(ribs) < asked:
                findings.append(_too_few(roof, laid, edge, len(ribs), asked))
        for rib in ribs:
            x = roof.ribs_x[rib]
            seats.append(Seat(roof.roof, laid.array, edge.seam, edge.column, x, edge.y, edge.clamp))
    return seats, findings


def _too_far_apart(array: Array, roof: RoofLayout, laid: ArrayLayout) -> Iterator[Finding]:
    """Rows whose modules no mid clamp holds together, since the gap between them is wider than the others."""
    for after, width in array.wider_row_gaps:
        if width > array.gap_y_mm:
            place = Place(roof=roof.name, array=laid.name, row=after)
            text = say(
                "{where}: the gap above this row is {width}; modules without rail are held together across it, which "
                "takes {usual}: rails, or two arrays there, would help",
                where=place,
                width=figure(width, "g", " mm", "length"),
                usual=figure(array.gap_y_mm, "g", " mm", "length"),
            )
            yield Finding("seam_gap_too_wide", "error", text, place, width, array.gap_y_mm, "mm")


def _too_few(roof: RoofLayout, laid: ArrayLayout, edge: Edge, found: int, asked: int) -> Finding:
    place = Place(roof=roof.name, array=laid.name, seam=edge.seam + 1, column=edge.column + 1)
    return Finding(
        code="too_few_ribs_in_clamping_zones",
        severity="error",
        message=say(
            "{place}: the loads require {asked} attachments on this edge, but only {found} ribs lie in the "
            "clamping zones",
            place=place,
            asked=asked,
            found=found,
        ),
        place=place,
        found=float(found),
        allowed=float(asked),
    )


def wide_seats(job: Job, roof: RoofLayout, laid: ArrayLayout, limits: Limits, seats: list[Seat]) -> Iterator[Finding]:
    """Neighbouring seats of one seam further apart than the span limit; the worst of the array.

    A span given in the job is kept (an error); the book's own is meant for rails, so beyond it there is a warning.
    """
    worst, count, seat = 0.0, 0, seats[0] if seats else None
    for left, right in pairwise(seats):
        if left.seam != right.seam or right.column > left.column + 1:
            continue
        apart = right.x - left.x
        if apart > limits.max_span_mm + TOLERANCE_MM:
            count += 1
            if apart > worst + TOLERANCE_MM:
                worst, seat = apart, left
    if seat is None or not count:
        return
    where = Place(roof=roof.name, array=laid.name, seam=seat.seam + 1, column=seat.column + 1)
    found, allowed = (as_text(length, "length", job.display_units) for length in (worst, limits.max_span_mm))
    yield Finding(
        code="span_too_long",
        severity="error" if limits.span_given else "warning",
        message=say(
            "{where}: attachments {found} apart, {allowed} allowed ({source}); {count} such places in the array; rails,"
            " or modules turned the other way, would help",
            where=where,
            found=found,
            allowed=allowed,
            source=limits.span_source,
            count=count,
        ),
        place=where,
        found=round(worst, 3),
        allowed=limits.max_span_mm,
        unit="mm",
    )
