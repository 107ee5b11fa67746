"""What names the further sheets on the overview, and what stands beside the drawing on each of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from estimator.documents.drawing.labels import TEXT_MM, Label, width_of
from estimator.documents.drawing.plan import Box, RoofPlan
from estimator.documents.drawing.scale import Tile
from estimator.documents.language.texts import Reader

ABOVE_MM = 3.7
RIGHT_MM = 1.4
EVERY_RIB = (5, 10, 20, 50, 100)
BETWEEN_MM = 14.0
"""Paper at least between two distances from the eave."""


def sheet_marks(plan: RoofPlan, tiles: Sequence[Tile], paper_mm: float) -> tuple[Label, ...]:
    """Letters of the columns above the roof, numbers of the rows at its right; sheet A1 is column A, row 1."""
    columns = {tile.column: tile.window for tile in tiles}
    rows = {tile.row: tile.window for tile in tiles}
    above = plan.height_mm + ABOVE_MM * paper_mm
    right = plan.width_mm + RIGHT_MM * paper_mm
    return (
        *(Label(name, (box[0] + box[2]) / 2, above, bold=True) for name, box in columns.items()),
        *(
            Label(name, right, (box[1] + box[3]) / 2 - TEXT_MM / 3 * paper_mm, "start", bold=True)
            for name, box in rows.items()
        ),
    )


def rulers(plan: RoofPlan, window: Box, paper_mm: float, reader: Reader) -> Iterator[Label]:
    """Rib numbers below a window of the roof, distances from the eave left of it."""
    x0, y0, x1, y1 = window
    need = (width_of(str(len(plan.ribs))) + 1.0) * paper_mm
    every = next((each for each in EVERY_RIB if each * plan.rib_spacing_mm >= need), EVERY_RIB[-1])
    for number, rib in enumerate(plan.ribs, start=1):
        if x0 <= rib < x1 and number % every == 0:
            yield Label(str(number), rib, y0 - 3.0 * paper_mm)
    yield Label(reader.texts.t("rib number from the left roof edge"), x0, y0 - 5.8 * paper_mm, "start")
    free = float("-inf")
    for low in sorted({round(box[1], 1) for box in plan.modules if y0 <= box[1] <= y1}):
        text = reader.formats.length(low)
        wide = width_of(text)
        if low >= free and low + wide * paper_mm <= y1:
            yield Label(text, x0 - 1.2 * paper_mm, low, "start", turned=True)
            free = low + max(BETWEEN_MM, wide + 1) * paper_mm
