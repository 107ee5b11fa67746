"""The drawing on pages of a PDF, as vectors and to scale: an overview, and further sheets where the roof is large."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from reportlab.lib.units import mm
from reportlab.lib.utils import simpleSplit
from reportlab.platypus import Flowable, NextPageTemplate, PageBreak

from estimator.documents import style
from estimator.documents.drawing.annotations import Annotations, annotate
from estimator.documents.drawing.dimensions import margin_mm
from estimator.documents.drawing.marks import rulers, sheet_marks
from estimator.documents.drawing.pen import PlanPen
from estimator.documents.drawing.plan import RoofPlan
from estimator.documents.drawing.scale import Scale, Tile, detail_scale, scale_for, tiles
from estimator.documents.drawing.window import windowed
from estimator.documents.drawing.words import LegendItem, described, legend, notes, roof_title
from estimator.documents.fonts.faces import REGULAR, drawable, text_width
from estimator.documents.language.texts import Reader
from estimator.documents.pdf.page import LYING, UPRIGHT, frame_size
from estimator.documents.pdf.tags import Tags

HEAD_MM = 11.0
LEGEND_MM = 20.0
EDGE_MM = 4.0
RULER_MM = 7.0
LEGEND_SHARE = 0.7
"""Of the paper's width, what the legend's samples surely have beside the scale bar."""
FITTING_STEPS = 5
NOTHING = Annotations((), (), 0.0, (), marked=False)


class PlanSheet(Flowable):  # type: ignore[misc]
    """One sheet: title and scale above, the drawing, scale bar and legend below. It fills its page's frame."""

    def __init__(
        self, plan: RoofPlan, scale: Scale, reader: Reader, shown: Annotations | Tile, grid: Sequence[Tile]
    ) -> None:
        super().__init__()
        self.plan, self.scale, self.reader, self.grid = plan, scale, reader, grid
        self.tile = shown if isinstance(shown, Tile) else None
        self.drawn = shown if isinstance(shown, Annotations) else NOTHING

    def wrap(self, wide: float, high: float) -> tuple[float, float]:
        """Take the whole frame."""
        self.width, self.height = wide, high
        return wide, high

    def draw(self) -> None:
        """Draw it on the canvas, as one figure told in words."""
        tags: Tags | None = getattr(self.canv, "tags", None)
        if tags is None:
            self._draw()
            return
        sheet = "" if self.tile is None else f" {self.reader.texts.t('Sheet {sheet}.', sheet=self.tile.name)}"
        with tags.marked(self.canv, tags.add("Figure", drawable(described(self.plan, self.reader)) + sheet)):
            self._draw()

    def _draw(self) -> None:
        t = self.reader.texts.t
        pen = PlanPen(self.canv, self.scale, self.reader)
        title = t("Plan of {roof}", roof=roof_title(self.plan, self.reader))
        if self.tile is not None:
            title = t("Plan of {roof}, sheet {sheet}", roof=self.plan.name, sheet=self.tile.name)
        scale = t("Scale {scale} on this paper size", scale=self.scale.text)
        pen.head(self.height, self.width, title, scale)
        shown = self.plan if self.tile is None else windowed(self.plan, self.tile.window)
        x0, y0, x1, y1 = self.tile.window if self.tile else (0.0, 0.0, self.plan.width_mm, self.plan.height_mm)
        wide, high = (x1 - x0) / self.scale.denominator * mm, (y1 - y0) / self.scale.denominator * mm
        left = (margin_mm(self.plan, "y", self.reader) if self.tile is None else RULER_MM) * mm
        right = max(EDGE_MM, self.drawn.right_mm) * mm
        left = max(left, (self.width - wide + left - right) / 2)
        low = self.height - HEAD_MM * mm - high
        pen.place(left - x0 / self.scale.denominator * mm, low - y0 / self.scale.denominator * mm)
        if self.tile is None:
            pen.roof(shown, None, blocks=bool(self.grid))
            if self.drawn.marked:
                pen.tile_grid(self.grid)
            pen.annotations(self.drawn)
            below = low - margin_mm(self.plan, "x", self.reader) * mm
        else:
            pen.roof(shown, self.tile.window)
            pen.write(rulers(self.plan, self.tile.window, self.scale.denominator, self.reader))
            below = low - RULER_MM * mm
        pen.legend(self._legend(), below - 5 * mm, self.width, notes(self.plan, self.reader, self.drawn.untold))

    def _legend(self) -> Sequence[LegendItem]:
        """All layers with their counts; on a further sheet without, since modules on its border are cut."""
        return legend(self.plan, self.reader, counted=self.tile is None)


def plan_pages(plans: Sequence[RoofPlan], reader: Reader, paper: str, *, further: bool = True) -> list[Any]:
    """Every roof's sheets, each on a page of its own, lying where the roof is wider than high.

    ``further``: whether a large roof is drawn again on further sheets, as a crew needs them; else its overview alone.
    """
    story: list[Any] = []
    for plan in plans:
        lying = plan.width_mm > 1.15 * plan.height_mm
        story += [NextPageTemplate(LYING if lying else UPRIGHT), PageBreak()]
        overview, detail, parts, drawn = sheets_of(plan, reader, paper, lying, further=further)
        story.append(PlanSheet(plan, overview, reader, drawn, parts))
        if detail is not None and further:
            for tile in parts:
                story += [PageBreak(), PlanSheet(plan, detail, reader, tile, ())]
    return story


def sheets_of(
    plan: RoofPlan, reader: Reader, paper: str, lying: bool, *, further: bool = True
) -> tuple[Scale, Scale | None, tuple[Tile, ...], Annotations]:
    """The overview's scale; the further sheets' scale and windows, if the roof needs them; what the overview says."""
    wide, high = (side / mm for side in frame_size(paper, lying))
    room_high = high - HEAD_MM - _legend_mm(plan, reader, wide)
    left, right = margin_mm(plan, "y", reader), EDGE_MM
    for _ in range(FITTING_STEPS):
        room = (wide - left - right, room_high - margin_mm(plan, "x", reader))
        overview = scale_for(plan.width_mm, plan.height_mm, *room, reader.formats.units)
        detail = detail_scale(plan, overview, reader.formats.units)
        parts = tiles(plan, wide - RULER_MM - EDGE_MM, room_high - RULER_MM, detail) if detail else ()
        marks = sheet_marks(plan, parts, overview.denominator) if further else ()
        drawn = annotate(plan, overview.denominator, reader, marks)
        if drawn.right_mm + 1.0 <= right:
            break
        right = drawn.right_mm + 1.0
    return overview, detail, parts, drawn


def _legend_mm(plan: RoofPlan, reader: Reader, wide_mm: float) -> float:
    """The paper that legend and notes need below the drawing."""
    size = style.TYPE.drawing
    items = sum(24 + text_width(drawable(item.text), REGULAR, size) + 12 for item in legend(plan, reader))
    lines = sum(len(simpleSplit(drawable(note), REGULAR, size, wide_mm * mm)) for note in notes(plan, reader, ("",)))
    rows = math.ceil(items / (wide_mm * mm * LEGEND_SHARE))
    return max(LEGEND_MM, 5.0 + float((rows * 11 + 13 + lines * 8.5) / mm))
