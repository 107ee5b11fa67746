"""The rail lines under an array, before any attachment stands on them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from estimator.attachment.geometry.clamping import (
    ColumnZones,
    into_zone,
    nearest_ribs,
    ribs_for_column,
    zone_along_x,
    zone_along_y,
)
from estimator.attachment.geometry.expansion.parts import Cells, ExpansionRule, RailPart, rail_parts
from estimator.attachment.geometry.module_shares import module_shares
from estimator.attachment.records import Run
from estimator.job import Array, Job
from estimator.layout import ArrayLayout, RoofLayout, Segment
from estimator.mounting.records import MountingChoice
from estimator.places import Place


def run_place(roof: str, array: str, segment: Segment, section: int | None, position: int) -> Place:
    """A run's place: rows are counted from 1 at the eave, columns from 1 at the left, rails in the same directions.

    ``section`` is the segment's number where left-out cells part the row.
    """
    across = segment.direction == "row"
    return Place(
        roof=roof,
        array=array,
        row=segment.line + 1 if across else None,
        column=None if across else segment.line + 1,
        section=section,
        rail=position + 1,
    )


KnownParts = dict[Cells, tuple[RailPart, ...]]
"""How rails under modules of one arrangement are divided; new ones are added. It holds for one rule of division."""


def rails_across(
    job: Job, choice: MountingChoice, roof: RoofLayout, array: ArrayLayout, known: KnownParts | None = None
) -> Iterator[Run]:
    """Runs along x: ``rails_per_row`` in every row segment, from the eave up; keys are given later.

    With two they stand at ``f * h`` and ``(1 - f) * h`` above the segment's lower edge, f inside the clamping zone of
    the side along y; a third stands at ``h / 2``. What each carries: ``module_shares``. Source: common practice, no
    source.
    """
    posted = job.roofs[roof.roof].arrays[array.array]
    heights = rail_heights(job, choice, posted, array.module_y_mm)
    shares = module_shares(tuple(height / array.module_y_mm for height in heights))
    parts = row_parts(job, choice, roof, array, known)
    for number, index, part, label in _numbered(array.row_segments, parts):
        segment = array.row_segments[number]
        for position, height in enumerate(heights):
            yield Run(
                key=-1,
                place=run_place(roof.name, array.name, segment, label, position),
                roof=roof.roof,
                array=array.array,
                segment=number,
                line=segment.line,
                position=position,
                axis="x",
                start_x=part.start_mm,
                start_y=segment.y0 + height,
                length_mm=part.length_mm,
                modules=part.last - part.first + 1,
                tributary_mm=array.module_y_mm * shares[position].checked,
                attachments_mm=(),
                reversed_mm=array.module_y_mm * shares[position].reversed,
                part=index,
                joined=part.joined,
                wide_gaps=posted.wide_gaps("row", segment.first + part.first, segment.first + part.last),
            )


def rail_heights(job: Job, choice: MountingChoice, array: Array, module_y_mm: float) -> tuple[float, ...]:
    """How far above a row's lower edge its rails stand, mm, ascending."""
    f = into_zone(choice.clamping_position, zone_along_y(job.module, array.orientation))
    low, high = f * module_y_mm, (1 - f) * module_y_mm
    return (low, module_y_mm / 2, high) if choice.rails_per_row == 3 else (low, high)


@dataclass(frozen=True, slots=True)
class ColumnRibs:
    """Where the two attachments of a column of modules may stand along x, and the ribs chosen for them.

    ``chosen`` is None where the zones do not hold a rib each; ``shown`` are then the nearest ribs. ``x0`` is the left
    edge of the column's modules.
    """

    x0: float
    zones: ColumnZones
    chosen: tuple[int, int] | None
    shown: tuple[int, ...]

    def places(self, roof: RoofLayout, array: ArrayLayout) -> tuple[float, ...]:
        """Where the ribs lie across the modules of the column, as shares of their width from the left."""
        return tuple((roof.ribs_x[rib] - self.x0) / array.module_x_mm for rib in self.shown)


def ribs_of_columns(job: Job, choice: MountingChoice, roof: RoofLayout, array: ArrayLayout) -> dict[int, ColumnRibs]:
    """For every column of an array that has modules: its zones and ribs."""
    posted = job.roofs[roof.roof].arrays[array.array]
    zone = zone_along_x(job.module, posted.orientation)
    columns = {}
    for column in sorted({segment.line for segment in array.column_segments}):
        x0 = posted.left_of(column, array.module_x_mm)
        zones = ColumnZones.of(x0, array.module_x_mm, choice.clamping_position, zone)
        chosen = ribs_for_column(roof.ribs_x, zones)
        columns[column] = ColumnRibs(x0, zones, chosen, chosen or nearest_ribs(roof.ribs_x, zones) or ())
    return columns


def rails_along(
    job: Job,
    choice: MountingChoice,
    roof: RoofLayout,
    array: ArrayLayout,
    columns: Mapping[int, ColumnRibs],
    known: KnownParts | None = None,
) -> Iterator[Run]:
    """Runs along y: two in every column segment, each on the rib chosen for its side; keys are given later.

    What each carries: ``module_shares``. Where the clamping zones contain no rib, the nearest ribs are taken and the
    setting-out carries an error for the column.
    """
    posted, parts = job.roofs[roof.roof].arrays[array.array], column_parts(job, choice, roof, array, known)
    for number, index, part, label in _numbered(array.column_segments, parts):
        segment = array.column_segments[number]
        column = columns[segment.line]
        shares = module_shares(column.places(roof, array)) if column.shown else ()
        for position, rib in enumerate(column.shown):
            yield Run(
                key=-1,
                place=run_place(roof.name, array.name, segment, label, position),
                roof=roof.roof,
                array=array.array,
                segment=number,
                line=segment.line,
                position=position,
                axis="y",
                start_x=roof.ribs_x[rib],
                start_y=part.start_mm,
                length_mm=part.length_mm,
                modules=part.last - part.first + 1,
                tributary_mm=array.module_x_mm * shares[position].checked,
                attachments_mm=(),
                reversed_mm=array.module_x_mm * shares[position].reversed,
                part=index,
                joined=part.joined,
                wide_gaps=posted.wide_gaps("column", segment.first + part.first, segment.first + part.last),
            )


Parted = Sequence[tuple[RailPart, ...]]
"""For every segment the parts of a rail under it."""


def row_parts(
    job: Job, choice: MountingChoice, roof: RoofLayout, array: ArrayLayout, known: KnownParts | None = None
) -> Parted:
    """How rails along the rows of an array are divided, segment by segment."""
    posted = job.roofs[roof.roof].arrays[array.array]
    lefts = [posted.left_of(column, array.module_x_mm) for column in range(posted.columns)]
    cells = [
        tuple((lefts[c], lefts[c] + array.module_x_mm) for c in range(segment.first, segment.last + 1))
        for segment in array.row_segments
    ]
    return _parted(cells, choice, {} if known is None else known)


def column_parts(
    job: Job, choice: MountingChoice, roof: RoofLayout, array: ArrayLayout, known: KnownParts | None = None
) -> Parted:
    """How rails up the columns of an array are divided, segment by segment."""
    posted = job.roofs[roof.roof].arrays[array.array]
    lows = [posted.bottom_of(row, array.module_y_mm) for row in range(posted.rows)]
    cells = [
        tuple((lows[r], lows[r] + array.module_y_mm) for r in range(segment.first, segment.last + 1))
        for segment in array.column_segments
    ]
    return _parted(cells, choice, {} if known is None else known)


def _parted(cells: Sequence[Cells], choice: MountingChoice, known: KnownParts) -> Parted:
    """The rail under modules with the same positions is divided in the same way, and only once."""
    rule = ExpansionRule.of(choice)
    return [
        known.get(each) or known.setdefault(each, rail_parts(each, choice.rail_overhang_mm, rule)) for each in cells
    ]


def _numbered(segments: Sequence[Segment], parted: Parted) -> Iterator[tuple[int, int, RailPart, int | None]]:
    """Every part with its segment's number, its own number in it, and its number in the line from 1 (None: whole)."""
    lines = Counter(segment.line for segment, parts in zip(segments, parted, strict=True) for _ in parts)
    seen: Counter[int] = Counter()
    for number, (segment, parts) in enumerate(zip(segments, parted, strict=True)):
        for index, part in enumerate(parts):
            seen[segment.line] += 1
            yield number, index, part, seen[segment.line] if lines[segment.line] > 1 else None
