"""Arrays of one roof plane whose modules lie on one another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from estimator.layout.cells import CellNumbers, Grid, Rectangles
from estimator.layout.ribs import TOLERANCE_MM

Pairs = NDArray[np.intp]
_NEIGHBOURS = 12
"""Modules that do not overlap share a bin as wide as their shorter side with at most eight others."""


@dataclass(frozen=True, slots=True)
class Overlap:
    """Modules of two arrays that lie on one another: numbers of the arrays, and the (row, column) cells of each."""

    earlier: int
    later: int
    earlier_cells: tuple[tuple[int, int], ...]
    later_cells: tuple[tuple[int, int], ...]


def overlaps(grids: Sequence[Grid]) -> list[Overlap]:
    """Every pair of arrays with overlapping modules, and which; arrays that interlock in left-out cells have none."""
    suspects = _suspects(grids)
    if len(suspects) < 2:
        return []
    rectangles, owners, cells = _all_rectangles(grids, suspects)
    size = min(min(grids[i].w, grids[i].h) for i in suspects)
    first, second = _same_bin_pairs(rectangles, owners, size)
    a, b = rectangles[first], rectangles[second]
    apart = np.maximum.reduce((a[:, 0] - b[:, 2], b[:, 0] - a[:, 2], a[:, 1] - b[:, 3], b[:, 1] - a[:, 3]))
    hit = apart < -TOLERANCE_MM
    found: dict[tuple[int, int], tuple[set[int], set[int]]] = {}
    for one, other in zip(first[hit].tolist(), second[hit].tolist(), strict=True):
        low, high = (one, other) if owners[one] < owners[other] else (other, one)
        of_pair = found.setdefault((int(owners[low]), int(owners[high])), (set(), set()))
        of_pair[0].add(low)
        of_pair[1].add(high)
    return [Overlap(*pair, *(_named(cells, modules) for modules in found[pair])) for pair in sorted(found)]


def _named(cells: CellNumbers, modules: set[int]) -> tuple[tuple[int, int], ...]:
    return tuple((int(row), int(column)) for row, column in cells[sorted(modules)].tolist())


def _suspects(grids: Sequence[Grid]) -> list[int]:
    """Arrays whose outlines meet another's."""
    if len(grids) < 2:
        return []
    outline = np.array([_outline(grid) for grid in grids])
    x0, y0, x1, y1 = (outline[:, i] for i in range(4))
    meets = (x0[:, None] < x1[None, :]) & (x1[:, None] > x0[None, :])
    meets &= (y0[:, None] < y1[None, :]) & (y1[:, None] > y0[None, :])
    np.fill_diagonal(meets, val=False)
    return np.nonzero(meets.any(axis=1))[0].tolist()


def _outline(grid: Grid) -> tuple[float, float, float, float]:
    rows, columns = grid.present.shape
    right = float(grid.lefts[columns - 1]) + grid.w - TOLERANCE_MM
    return float(grid.lefts[0]), float(grid.lows[0]), right, float(grid.lows[rows - 1]) + grid.h - TOLERANCE_MM


def _all_rectangles(grids: Sequence[Grid], suspects: Sequence[int]) -> tuple[Rectangles, Pairs, CellNumbers]:
    tables, cells = zip(*(grids[i].rectangles() for i in suspects), strict=True)
    owners = np.repeat(np.array(suspects, dtype=np.intp), [len(table) for table in tables])
    return np.concatenate(tables), owners, np.concatenate(cells)


def _same_bin_pairs(rectangles: Rectangles, owners: Pairs, size: float) -> tuple[Pairs, Pairs]:
    """Candidate pairs of modules of different arrays that share a square bin of that size."""
    low = np.floor(rectangles[:, :2] / size).astype(np.intp)
    reach = np.floor(rectangles[:, 2:] / size).astype(np.intp) - low + 1
    numbers, bins = [], []
    for i in range(int(reach[:, 0].max())):
        for j in range(int(reach[:, 1].max())):
            inside = np.nonzero((reach[:, 0] > i) & (reach[:, 1] > j))[0]
            numbers.append(inside)
            bins.append(low[inside] + (i, j))
    number, place = np.concatenate(numbers), np.concatenate(bins)
    order = np.lexsort((owners[number], place[:, 1], place[:, 0]))
    number, place = number[order], place[order]
    firsts, seconds = [], []
    for step in range(1, min(_NEIGHBOURS, len(number) - 1) + 1):
        same = (place[:-step] == place[step:]).all(axis=1) & (owners[number[:-step]] != owners[number[step:]])
        firsts.append(number[:-step][same])
        seconds.append(number[step:][same])
    return np.concatenate(firsts), np.concatenate(seconds)
