"""Where the modules of an array lie on their plane: cells and corners."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from estimator.job import Array, Module

Floats = npt.NDArray[np.float64]


def array_cells(array: Array) -> list[tuple[int, int]]:
    """The (row, column) cells that hold a module, row after row."""
    return [(r, c) for r in range(array.rows) for c in range(array.columns) if (r, c) not in array.omit]


def module_corners(array: Array, module: Module) -> Floats:
    """The four corners of every module of an array, mm; shape (4 n, 2), module after module."""
    w, h = module.width_mm, module.length_mm
    if array.orientation == "landscape":
        w, h = h, w
    rows, columns = np.asarray(array_cells(array), dtype=np.float64).reshape(-1, 2).T
    lefts = np.array([array.left_of(column, w) for column in range(array.columns)], dtype=np.float64)
    lows = np.array([array.bottom_of(row, h) for row in range(array.rows)], dtype=np.float64)
    left, low = lefts[columns.astype(np.int_)], lows[rows.astype(np.int_)]
    corners = [np.stack((left + dx, low + dy), axis=-1) for dx, dy in ((0, 0), (w, 0), (w, h), (0, h))]
    return np.stack(corners, axis=1).reshape(-1, 2)
