"""Module edges held without rail, as lines: each a beam over its seats under half of each module beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import groupby
from operator import attrgetter

from estimator.attachment.geometry.limit_steps import TOLERANCE_MM
from estimator.attachment.geometry.seats import EdgeKey
from estimator.attachment.records import Seat
from estimator.attachment.under_load.lines.zones import ZoneLines
from estimator.attachment.under_load.records import Line
from estimator.layout import ArrayLayout, Layout

_edge_key = attrgetter("roof", "array", "seam", "column")


@dataclass(frozen=True, slots=True)
class HeldEdge:
    """One edge: its key, its seats' places in the setting-out, and the line it makes (None: it cannot be checked)."""

    key: EdgeKey
    first: int
    last: int
    line: Line | None
    clamp: str

    @property
    def seats(self) -> int:
        """How many hold it."""
        return self.last - self.first


@dataclass(frozen=True, slots=True)
class _EdgeColumns:
    """One array: where its columns begin, the modules' extent, and the (seam, column) of lower edges."""

    starts_mm: dict[int, float]
    width_mm: float
    height_mm: float
    lower: frozenset[tuple[int, int]]
    cells: frozenset[tuple[int, int]]

    @staticmethod
    def of(array: ArrayLayout) -> _EdgeColumns:
        segments = array.column_segments
        return _EdgeColumns(
            {segment.line: segment.x0 for segment in segments},
            array.module_x_mm,
            array.module_y_mm,
            frozenset((segment.first, segment.line) for segment in segments),
            frozenset((row, each.line) for each in segments for row in range(each.first, each.last + 1)),
        )


@dataclass(slots=True)
class EdgeLines:
    """The lines of all edges of a layout; an edge with as many seats as before is not worked out again."""

    zones: tuple[ZoneLines, ...]
    columns: dict[tuple[int, int], _EdgeColumns]
    known: dict[tuple[EdgeKey, int], Line | None] = field(default_factory=dict)

    @staticmethod
    def under(layout: Layout, zones: tuple[ZoneLines, ...]) -> EdgeLines:
        """Those of one layout."""
        arrays = [(roof.roof, array) for roof in layout.roofs for array in roof.arrays]
        return EdgeLines(zones, {(roof, array.array): _EdgeColumns.of(array) for roof, array in arrays})

    def held(self, seats: Sequence[Seat]) -> list[HeldEdge]:
        """The edges that the seats hold, in their order."""
        edges = []
        place = 0
        for key, group in groupby(seats, key=_edge_key):
            held = list(group)
            known = (key, len(held))
            if known not in self.known:
                self.known[known] = self._line(key, held)
            edges.append(HeldEdge(key, place, place + len(held), self.known[known], held[0].clamp))
            place += len(held)
        return edges

    def _line(self, key: EdgeKey, seats: list[Seat]) -> Line | None:
        """A beam along x; None with fewer than two seats on the edge."""
        roof, array, seam, column = key
        columns = self.columns[roof, array]
        start, width, height = columns.starts_mm[column], columns.width_mm, columns.height_mm
        if len(seats) < 2 or seats[0].x < start - TOLERANCE_MM or seats[-1].x > start + width + TOLERANCE_MM:
            return None
        at = tuple([min(max(round(seat.x - start, 6), 0.0), width) for seat in seats])
        centre, tributary = seats[0].y, height
        if seats[0].clamp == "end_clamp":
            tributary = height / 2
            centre += height / 4 if (seam, column) in columns.lower else -height / 4
        zones = self.zones[roof]
        crossed = zones.along("x", centre, tributary / 2, start, width)
        borders, names = zones.beside(array, seam, column, crossed, columns.cells)
        return Line(round(width, 6), at, round(tributary, 6), borders, names)
