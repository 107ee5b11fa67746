"""The cells of a drawn job, those left out among them, and its arrays: what somebody may point at while entering it."""

from __future__ import annotations

from estimator.documents.drawing.plan import Drawn

Cell = tuple[float, float, float, float, int, int, int, int]
"""x0, y0, x1, y1; the array, from 0; row and column, from 1; whether a module lies there."""


def cells_of(drawn: Drawn, roof: int) -> list[Cell]:
    """Every cell of every array of one roof."""
    found: list[Cell] = []
    for laid in drawn.layout.roofs[roof].arrays:
        array = drawn.job.roofs[roof].arrays[laid.array]
        wide, high = laid.module_x_mm, laid.module_y_mm
        for row in range(array.rows):
            low = array.y_mm + row * (high + array.gap_y_mm)
            for column in range(array.columns):
                left = array.left_of(column, wide)
                there = int((row, column) not in array.omit)
                box = (round(left, 1), round(low, 1), round(left + wide, 1), round(low + high, 1))
                found.append((*box, laid.array, row + 1, column + 1, there))
    return found
