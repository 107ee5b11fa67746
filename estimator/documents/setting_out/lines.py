"""What the crew measures: string lines, brackets on them by rib and distance, splices, rail ends; as plain records.

Lines that carry the same brackets at the same places stand together, so that a roof of a hundred equal rows needs one
table and a hundred string lines. Millimetres from the left roof edge along the eave, and from the eave up the slope.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Literal

from estimator.attachment.records import Run, Seat
from estimator.cutting.records import TENTHS_PER_MM, CutPlan
from estimator.documents.drawing.plan import OpenGap, open_gaps
from estimator.estimate import Estimate
from estimator.job import Roof
from estimator.layout.records import RoofLayout

Kind = Literal["across", "along", "seam"]
RIB_TOLERANCE_MM = 1.0


@dataclass(frozen=True, slots=True)
class BracketAt:
    """One bracket on a line: its rib (1 the first from the left), distances from the edge and from its neighbour."""

    number: int
    rib: int | None
    from_edge_mm: float
    from_previous_mm: float | None
    clamp: str = ""


@dataclass(frozen=True, slots=True)
class SpliceAt:
    """Where two pieces of a rail meet, from the same edge as the brackets."""

    from_edge_mm: float
    kind: Literal["splice", "expansion"]


@dataclass(frozen=True, slots=True)
class StringLine:
    """One line to snap, with the splices of its rail.

    ``row`` (column, seam) and ``rail`` count from 1 at the eave or the left; ``rib`` is set for rails along a rib;
    ``part`` is the part of a row that left-out modules or expansion splices divide, as the checks number it, else None.
    """

    row: int
    rail: int | None
    at_mm: float
    rib: int | None = None
    splices: tuple[SpliceAt, ...] = ()
    part: int | None = None


@dataclass(frozen=True, slots=True)
class LineGroup:
    """Lines with the same brackets and rail ends (None without a rail). ``number`` is the array's place on the roof."""

    number: int
    array: str
    kind: Kind
    lines: tuple[StringLine, ...]
    ends_mm: tuple[float, float] | None
    brackets: tuple[BracketAt, ...]


@dataclass(frozen=True, slots=True)
class RoofLines:
    """Everything to measure on one roof."""

    roof: int
    name: str
    first_rib_mm: float
    rib_spacing_mm: float
    ribs: int
    groups: tuple[LineGroup, ...]
    outlines: tuple[ArrayOutline, ...]


@dataclass(frozen=True, slots=True)
class ArrayOutline:
    """Where an array begins and how its outline is proved square: two diagonals of one length.

    ``x_mm`` and ``y_mm`` are of the lower left corner of the first module of its lowest row; ``gaps_mm`` are those
    between modules along the eave and up the slope, ``open_gaps`` the ones that are wider.
    """

    number: int
    array: str
    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    gaps_mm: tuple[float, float] = (0.0, 0.0)
    open_gaps: tuple[OpenGap, ...] = ()

    @property
    def diagonal_mm(self) -> float:
        """From corner to corner of the outline. Source: Pythagoras.

        >>> ArrayOutline(0, "A", 0.0, 0.0, 3000.0, 4000.0).diagonal_mm
        5000.0
        """
        return hypot(self.width_mm, self.height_mm)


_Places = tuple[float, ...]


def setting_out_of(estimate: Estimate) -> tuple[RoofLines, ...]:
    """Every roof's lines, grouped, in the order of arrays and rows."""
    splices = _splices(estimate.setting_out.runs, estimate.cut_plan)
    result = []
    for layout in estimate.layout.roofs:
        roof = estimate.job.roofs[layout.roof]
        names = {array.array: array.name for array in layout.arrays}
        runs = [run for run in estimate.setting_out.runs if run.roof == layout.roof]
        seats = [seat for seat in estimate.setting_out.seats if seat.roof == layout.roof]
        groups = (*_run_groups(runs, names, layout.ribs_x, splices), *_seam_groups(seats, names, layout.ribs_x))
        result.append(
            RoofLines(
                layout.roof,
                layout.name,
                roof.ribs.first_at_mm,
                roof.ribs.spacing_mm,
                len(layout.ribs_x),
                groups,
                tuple(_outlines(layout, roof)),
            )
        )
    return tuple(result)


def _outlines(layout: RoofLayout, roof: Roof) -> Iterator[ArrayOutline]:
    for laid in layout.arrays:
        rows = laid.row_segments
        if rows:
            first = min(rows, key=lambda segment: (segment.y0, segment.x0))
            wide = max(segment.x1 for segment in rows) - min(segment.x0 for segment in rows)
            high = max(segment.y1 for segment in rows) - min(segment.y0 for segment in rows)
            posted = roof.arrays[laid.array]
            gaps, wider = (posted.gap_x_mm, posted.gap_y_mm), tuple(open_gaps(posted))
            yield ArrayOutline(laid.array, laid.name, first.x0, first.y0, wide, high, gaps, wider)


def _splices(runs: Sequence[Run], plan: CutPlan | None) -> Mapping[int, tuple[SpliceAt, ...]]:
    """The splices of each run by its key, from the roof's edge."""
    found: dict[int, list[SpliceAt]] = defaultdict(list)
    for joint in plan.joints if plan else ():
        run = runs[joint.run]
        start = run.start_x if run.axis == "x" else run.start_y
        found[run.key].append(SpliceAt(start + joint.at / TENTHS_PER_MM, joint.kind))
    return {key: tuple(sorted(each, key=lambda splice: splice.from_edge_mm)) for key, each in found.items()}


def _run_groups(
    runs: Sequence[Run], names: Mapping[int, str], ribs: Sequence[float], splices: Mapping[int, tuple[SpliceAt, ...]]
) -> Iterator[LineGroup]:
    groups: dict[tuple[int, str, _Places, _Places], list[Run]] = defaultdict(list)
    for run in runs:
        start = run.start_x if run.axis == "x" else run.start_y
        places = tuple(round(start + at, 1) for at in run.attachments_mm)
        ends = (round(start, 1), round(start + run.length_mm, 1))
        groups[run.array, run.axis, places, ends].append(run)
    for members in groups.values():
        first = members[0]
        axis = first.axis
        start = first.start_x if axis == "x" else first.start_y
        places = tuple(start + at for at in first.attachments_mm)
        yield LineGroup(
            number=first.array,
            array=names[first.array],
            kind="across" if axis == "x" else "along",
            lines=tuple(_line(run, ribs, splices.get(run.key, ())) for run in members),
            ends_mm=(start, start + first.length_mm),
            brackets=tuple(_brackets(places, ribs if axis == "x" else (), ())),
        )


def _line(run: Run, ribs: Sequence[float], splices: tuple[SpliceAt, ...]) -> StringLine:
    part = run.place.section
    if run.axis == "x":
        return StringLine(run.line + 1, run.position + 1, run.start_y, None, splices, part)
    return StringLine(run.line + 1, run.position + 1, run.start_x, _rib(run.start_x, ribs), splices, part)


def _seam_groups(seats: Sequence[Seat], names: Mapping[int, str], ribs: Sequence[float]) -> Iterator[LineGroup]:
    """Seams of an array with the same ribs and clamps together."""
    seams: dict[tuple[int, int, float], list[Seat]] = defaultdict(list)
    for seat in seats:
        seams[seat.array, seat.seam, round(seat.y, 1)].append(seat)
    groups: dict[tuple[int, _Places, tuple[str, ...]], list[StringLine]] = defaultdict(list)
    for (array, seam, at), members in seams.items():
        members.sort(key=lambda seat: seat.x)
        places, clamps = tuple(seat.x for seat in members), tuple(str(seat.clamp) for seat in members)
        groups[array, places, clamps].append(StringLine(seam + 1, None, at))
    for (array, places, clamps), lines in groups.items():
        yield LineGroup(array, names[array], "seam", tuple(lines), None, tuple(_brackets(places, ribs, clamps)))


def _brackets(places: _Places, ribs: Sequence[float], clamps: Sequence[str]) -> Iterator[BracketAt]:
    before: float | None = None
    for number, place in enumerate(places, start=1):
        clamp = clamps[number - 1] if clamps else ""
        yield BracketAt(number, _rib(place, ribs), place, None if before is None else place - before, clamp)
        before = place


def _rib(place: float, ribs: Sequence[float]) -> int | None:
    """The number of the rib at a place, 1 the first from the left; None where none stands there."""
    at = bisect_left(ribs, place - RIB_TOLERANCE_MM)
    return at + 1 if at < len(ribs) and abs(ribs[at] - place) <= RIB_TOLERANCE_MM else None
