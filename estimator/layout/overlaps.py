"""Arrays of one roof plane whose modules lie on one another."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from estimator.layout.cells import Grid, Rectangles
from estimator.layout.ribs import TOLERANCE_MM

Pairs = NDArray[np.intp]
_NEIGHBOURS = 12
"""Modules that do not overlap share a bin as wide as their shorter side with at most eight others."""


def overlapping_arrays(grids: Sequence[Grid]) -> list[tuple[int, int]]:
    """Pairs (earlier, later) of arrays with overlapping modules; arrays that interlock in left-out cells do not."""
    suspects = _suspects(grids)
    if len(suspects) < 2:
        return []
    rectangles, owners = _all_rectangles(grids, suspects)
    size = min(min(grids[i].w, grids[i].h) for i in suspects)
    first, second = _same_bin_pairs(rectangles, owners, size)
    a, b = rectangles[first], rectangles[second]
    apart = np.maximum.reduce((a[:, 0] - b[:, 2], b[:, 0] - a[:, 2], a[:, 1] - b[:, 3], b[:, 1] - a[:, 3]))
    hit = apart < -TOLERANCE_MM
    pairs = np.sort(np.column_stack((owners[first[hit]], owners[second[hit]])), axis=1)
    return sorted({(int(i), int(j)) for i, j in pairs.tolist()})


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
    right = grid.x + (columns - 1) * grid.step_x + grid.w - TOLERANCE_MM
    return grid.x, grid.y, right, grid.y + (rows - 1) * grid.step_y + grid.h - TOLERANCE_MM


def _all_rectangles(grids: Sequence[Grid], suspects: Sequence[int]) -> tuple[Rectangles, Pairs]:
    tables = [grids[i].rectangles()[0] for i in suspects]
    owners = np.repeat(np.array(suspects, dtype=np.intp), [len(table) for table in tables])
    return np.concatenate(tables), owners


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
