"""Room for an obstruction: which cells of an array lie on it, or nearer to it than its clearance."""

from __future__ import annotations

from estimator.job import Array, Module, Obstruction
from estimator.layout.cells import module_extent
from estimator.layout.ribs import TOLERANCE_MM


def cells_near(
    array: Array, module: Module, obstruction: Obstruction, clearance_mm: float
) -> frozenset[tuple[int, int]]:
    """The (row, column) cells, counted from 0, that overlap the obstruction grown by the clearance on every side.

    A module whose edge lies exactly at the clearance stays. Source: common practice, no source.

    >>> array = Array("A", 0.0, 0.0, 2, 3, "portrait", 20.0, 20.0)
    >>> module = Module("m", 1722.0, 1134.0, 30.0, 21.0, 430.0)
    >>> sorted(cells_near(array, module, Obstruction("vent", 1200.0, 100.0, 300.0, 300.0), 0.0))
    [(0, 1)]
    >>> sorted(cells_near(array, module, Obstruction("vent", 1200.0, 100.0, 300.0, 300.0), 100.0))
    [(0, 0), (0, 1)]
    """
    wide, high = module_extent(module, array.orientation)
    left, right = obstruction.x_mm - clearance_mm, obstruction.x_mm + obstruction.width_mm + clearance_mm
    low, top = obstruction.y_mm - clearance_mm, obstruction.y_mm + obstruction.height_mm + clearance_mm
    rows = [
        row
        for row in range(array.rows)
        for y in (array.y_mm + row * (high + array.gap_y_mm),)
        if y < top - TOLERANCE_MM and y + high > low + TOLERANCE_MM
    ]
    columns = [
        column
        for column in range(array.columns)
        for x in (array.left_of(column, wide),)
        if x < right - TOLERANCE_MM and x + wide > left + TOLERANCE_MM
    ]
    return frozenset((row, column) for row in rows for column in columns)
