"""The cells of an array: which hold a module, and the rectangle each module covers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from estimator.job import Array, Job, Module, Orientation

Present = NDArray[np.bool_]
Rectangles = NDArray[np.float64]
CellNumbers = NDArray[np.intp]


def module_extent(module: Module, orientation: Orientation) -> tuple[float, float]:
    """The module's extent along x and along y, mm: portrait has its longer side up the slope."""
    if orientation == "portrait":
        return module.width_mm, module.length_mm
    return module.length_mm, module.width_mm


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """The cells of one array: ``present`` is rows x columns; w, h the module's extent.

    ``lefts`` are the left edges of the columns, ``lows`` the lower edges of the rows.
    """

    lefts: NDArray[np.float64]
    lows: NDArray[np.float64]
    w: float
    h: float
    present: Present

    @property
    def modules(self) -> int:
        """How many cells hold a module."""
        return int(np.count_nonzero(self.present))

    def rectangles(self) -> tuple[Rectangles, CellNumbers]:
        """x0, y0, x1, y1 of every module, mm, and its (row, column), by rows from the eave."""
        cells = np.argwhere(self.present)
        x0 = self.lefts[cells[:, 1]]
        y0 = self.lows[cells[:, 0]]
        return np.column_stack((x0, y0, x0 + self.w, y0 + self.h)), cells


def grid_of(module: Module, array: Array) -> Grid:
    """The cells of an array of that module."""
    w, h = module_extent(module, array.orientation)
    present = np.ones((array.rows, array.columns), dtype=np.bool_)
    if array.omit:
        omitted = np.array(tuple(array.omit), dtype=np.intp)
        present[omitted[:, 0], omitted[:, 1]] = False
    lefts = np.array([array.left_of(column, w) for column in range(array.columns)], dtype=np.float64)
    lows = np.array([array.bottom_of(row, h) for row in range(array.rows)], dtype=np.float64)
    return Grid(lefts, lows, w, h, present)


def module_rectangles(job: Job, roof_index: int, array_index: int) -> tuple[Rectangles, CellNumbers]:
    """Every module of one array: an (n, 4) table of x0, y0, x1, y1 in mm, and an (n, 2) one of row and column.

    For drawings and loads; the job must have been laid out without a refusal.
    """
    return grid_of(job.module, job.roofs[roof_index].arrays[array_index]).rectangles()
