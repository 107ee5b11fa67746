"""The rail lines under an array, before any attachment stands on them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from estimator.attachment.geometry.clamping import (
    ColumnZones,
    into_zone,
    nearest_ribs,
    ribs_for_column,
    zone_along_x,
    zone_along_y,
)
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


def rails_across(job: Job, choice: MountingChoice, roof: RoofLayout, array: ArrayLayout) -> Iterator[Run]:
    """Runs along x: ``rails_per_row`` in every row segment, from the eave up; keys are given later.

    With two they stand at ``f * h`` and ``(1 - f) * h`` above the segment's lower edge, f inside the clamping zone of
    the side along y; a third stands at ``h / 2``. Source: common practice, no source.
    """
    heights = rail_heights(job, choice, job.roofs[roof.roof].arrays[array.array], array.module_y_mm)
    sections = section_numbers(array.row_segments)
    for number, segment in enumerate(array.row_segments):
        for position, height in enumerate(heights):
            yield Run(
                key=-1,
                place=run_place(roof.name, array.name, segment, sections[number], position),
                roof=roof.roof,
                array=array.array,
                segment=number,
                line=segment.line,
                position=position,
                axis="x",
                start_x=segment.x0 - choice.rail_overhang_mm,
                start_y=segment.y0 + height,
                length_mm=segment.x1 - segment.x0 + 2 * choice.rail_overhang_mm,
                modules=segment.modules,
                tributary_mm=array.module_y_mm / len(heights),
                attachments_mm=(),
            )


def rail_heights(job: Job, choice: MountingChoice, array: Array, module_y_mm: float) -> tuple[float, ...]:
    """How far above a row's lower edge its rails stand, mm, ascending."""
    f = into_zone(choice.clamping_position, zone_along_y(job.module, array.orientation))
    low, high = f * module_y_mm, (1 - f) * module_y_mm
    return (low, module_y_mm / 2, high) if choice.rails_per_row == 3 else (low, high)


@dataclass(frozen=True, slots=True)
class ColumnRibs:
    """Where the two attachments of a column of modules may stand along x, and the ribs chosen for them.

    ``chosen`` is None where the zones do not hold a rib each; ``shown`` are then the nearest ribs.
    """

    zones: ColumnZones
    chosen: tuple[int, int] | None
    shown: tuple[int, ...]


def ribs_of_columns(job: Job, choice: MountingChoice, roof: RoofLayout, array: ArrayLayout) -> dict[int, ColumnRibs]:
    """For every column of an array that has modules: its zones and ribs."""
    posted = job.roofs[roof.roof].arrays[array.array]
    zone = zone_along_x(job.module, posted.orientation)
    columns = {}
    for column in sorted({segment.line for segment in array.column_segments}):
        x0 = posted.x_mm + column * (array.module_x_mm + posted.gap_x_mm)
        zones = ColumnZones.of(x0, array.module_x_mm, choice.clamping_position, zone)
        chosen = ribs_for_column(roof.ribs_x, zones)
        columns[column] = ColumnRibs(zones, chosen, chosen or nearest_ribs(roof.ribs_x, zones) or ())
    return columns


def rails_along(
    choice: MountingChoice, roof: RoofLayout, array: ArrayLayout, columns: Mapping[int, ColumnRibs]
) -> Iterator[Run]:
    """Runs along y: two in every column segment, each on the rib chosen for its side; keys are given later.

    Where the clamping zones hold no rib, the nearest ribs serve and the setting-out carries an error for the column.
    """
    sections = section_numbers(array.column_segments)
    for number, segment in enumerate(array.column_segments):
        for position, rib in enumerate(columns[segment.line].shown):
            yield Run(
                key=-1,
                place=run_place(roof.name, array.name, segment, sections[number], position),
                roof=roof.roof,
                array=array.array,
                segment=number,
                line=segment.line,
                position=position,
                axis="y",
                start_x=roof.ribs_x[rib],
                start_y=segment.y0 - choice.rail_overhang_mm,
                length_mm=segment.y1 - segment.y0 + 2 * choice.rail_overhang_mm,
                modules=segment.modules,
                tributary_mm=array.module_x_mm / 2,
                attachments_mm=(),
            )


def section_numbers(segments: tuple[Segment, ...]) -> list[int | None]:
    """For every segment its number in its line, counted from 1; None where the line is whole."""
    lines = Counter(segment.line for segment in segments)
    seen: Counter[int] = Counter()
    numbers: list[int | None] = []
    for segment in segments:
        seen[segment.line] += 1
        numbers.append(seen[segment.line] if lines[segment.line] > 1 else None)
    return numbers
