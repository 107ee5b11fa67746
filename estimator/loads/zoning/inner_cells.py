"""Modules of an array that no exposed edge reaches, and where a line passes from them to exposed ones and back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Literal

from estimator.job import Array, Module
from estimator.places import INNER

Cells = frozenset[tuple[int, int]]
Crossed = tuple[tuple[float, ...], tuple[str, ...]]
"""Where the zone changes, mm, and the zones, one more."""


@dataclass(frozen=True, slots=True)
class InnerCells:
    """The (row, column) cells of one array that are not exposed; ``columns`` and ``rows``: where each begins, mm."""

    cells: Cells
    columns: tuple[float, ...]
    rows: tuple[float, ...]
    across: float = field(default=0.0)
    up: float = field(default=0.0)

    @staticmethod
    def of(array: Array, module: Module, exposed: Cells) -> InnerCells:
        """All cells of an array but the exposed ones."""
        w, h = module.width_mm, module.length_mm
        if array.orientation == "landscape":
            w, h = h, w
        cells = {(r, c) for r in range(array.rows) for c in range(array.columns)} - array.omit - exposed
        columns = tuple(array.left_of(column, w) for column in range(array.columns))
        rows = tuple(array.bottom_of(row, h) for row in range(array.rows))
        return InnerCells(frozenset(cells), columns, rows, w, h)

    def seam(self, seam: int, column: int, present: Cells) -> bool:
        """Whether all modules beside one edge across a column are inner; ``present``: cells that hold a module."""
        beside = {(seam - 1, column), (seam, column)} & present
        return bool(beside) and beside <= self.cells

    def crossed(
        self, axis: Literal["x", "y"], line: int, start: float, length: float
    ) -> tuple[list[float], list[bool]]:
        """Along a run in a row (x) or column (y): where inner and exposed modules meet, from its start, and which.

        The middle of the gap between two modules is the border.
        """
        starts, extent = (self.columns, self.across) if axis == "x" else (self.rows, self.up)
        inner = [((line, n) if axis == "x" else (n, line)) in self.cells for n in range(len(starts))]
        middles = [(a + extent + b) / 2 - start for a, b in pairwise(starts)]
        under = [n for n in range(len(starts)) if self._reaches(starts[n] - start, extent, length)]
        if not under:
            return [], [False]
        breaks = [middles[n] for n in under[:-1] if inner[n] != inner[n + 1]]
        kinds = [inner[under[0]], *(inner[n + 1] for n in under[:-1] if inner[n] != inner[n + 1])]
        return breaks, kinds

    @staticmethod
    def _reaches(start: float, extent: float, length: float) -> bool:
        """Whether the middle of a module lies over the run."""
        return 0.0 <= start + extent / 2 <= length


def with_inner(crossed: Crossed, breaks: Sequence[float], inner: Sequence[bool], known: frozenset[str]) -> Crossed:
    """Zones along a line with those parts renamed that lie under inner modules, where that zone is known.

    >>> with_inner(((500.0,), ("2", "1")), [800.0], [False, True], frozenset({"1 inner"}))
    ((500.0, 800.0), ('2', '1', '1 inner'))
    """
    ends, zones = crossed
    found_ends: list[float] = []
    found: list[str] = []
    for end in sorted({*ends, *breaks, float("inf")}):
        zone = zones[sum(each < end for each in ends)]
        name = zone + INNER if inner[sum(each < end for each in breaks)] else zone
        name = name if name in known else zone
        if found and found[-1] == name:
            found_ends[-1] = end
        else:
            found_ends.append(end)
            found.append(name)
    return tuple(round(end, 3) for end in found_ends[:-1]), tuple(found)
