"""Row and column segments: the longest stretches of cells side by side with none left out."""

from __future__ import annotations

import numpy as np

from estimator.layout.cells import Grid, Present
from estimator.layout.records import Segment


def row_segments(grid: Grid) -> tuple[Segment, ...]:
    """The stretches along the rows, from the eave up, left to right.

    >>> grid = Grid(1020.0 * np.arange(4), np.array([0.0]), 1000.0, 1700.0, np.array([[True, True, False, True]]))
    >>> [(part.first, part.last, part.x0, part.x1) for part in row_segments(grid)]
    [(0, 1, 0.0, 2020.0), (3, 3, 3060.0, 4060.0)]
    """
    return tuple(
        Segment(
            "row",
            line,
            first,
            last,
            float(grid.lefts[first]),
            float(grid.lows[line]),
            float(grid.lefts[last]) + grid.w,
            float(grid.lows[line]) + grid.h,
        )
        for line, first, last in _stretches(grid.present)
    )


def column_segments(grid: Grid) -> tuple[Segment, ...]:
    """The stretches up the columns, left to right, each column from the eave up."""
    return tuple(
        Segment(
            "column",
            line,
            first,
            last,
            float(grid.lefts[line]),
            float(grid.lows[first]),
            float(grid.lefts[line]) + grid.w,
            float(grid.lows[last]) + grid.h,
        )
        for line, first, last in _stretches(grid.present.T)
    )


def _stretches(present: Present) -> list[tuple[int, int, int]]:
    """Line, first and last cell of every stretch along the second axis."""
    padded = np.zeros((present.shape[0], present.shape[1] + 2), dtype=np.int8)
    padded[:, 1:-1] = present
    change = np.diff(padded, axis=1)
    lines, firsts = np.nonzero(change == 1)
    _, ends = np.nonzero(change == -1)
    return list(zip(lines.tolist(), firsts.tolist(), (ends - 1).tolist(), strict=True))
