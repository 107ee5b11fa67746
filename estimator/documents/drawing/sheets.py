"""The drawing on pages of a PDF, as vectors and to scale: an overview, and further sheets where the roof is large."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.lib.units import mm
from reportlab.platypus import Flowable, NextPageTemplate, PageBreak

from estimator.documents.drawing.annotations import margin_mm
from estimator.documents.drawing.pen import PlanPen
from estimator.documents.drawing.plan import RoofPlan
from estimator.documents.drawing.scale import Scale, Tile, detail_scale, scale_for, tiles
from estimator.documents.drawing.window import windowed
from estimator.documents.drawing.words import LegendItem, described, legend, notes, roof_title
from estimator.documents.fonts.faces import drawable
from estimator.documents.language.texts import Reader
from estimator.documents.pdf.page import LYING, UPRIGHT, frame_size
from estimator.documents.pdf.tags import Tags

HEAD_MM = 11.0
LEGEND_MM = 20.0
EDGE_MM = 4.0
RULER_MM = 7.0


class PlanSheet(Flowable):  # type: ignore[misc]
    """One sheet: title and scale above, the drawing, scale bar and legend below. It fills its page's frame."""

    def __init__(self, plan: RoofPlan, scale: Scale, reader: Reader, tile: Tile | None, grid: Sequence[Tile]) -> None:
        super().__init__()
        self.plan, self.scale, self.reader, self.tile, self.grid = plan, scale, reader, tile, grid

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
        left = max(left, (self.width - wide + left) / 2)
        low = self.height - HEAD_MM * mm - high
        pen.place(left - x0 / self.scale.denominator * mm, low - y0 / self.scale.denominator * mm)
        if self.tile is None:
            pen.roof(shown, None, blocks=bool(self.grid))
            pen.tile_grid(self.grid)
            pen.annotations(shown)
            below = low - margin_mm(self.plan, "x", self.reader) * mm
        else:
            pen.roof(shown, self.tile.window)
            pen.rulers(self.plan, self.tile.window)
            below = low - RULER_MM * mm
        pen.legend(self._legend(), below - 5 * mm, self.width, notes(self.plan, self.reader))

    def _legend(self) -> Sequence[LegendItem]:
        """All layers with their counts; on a further sheet without, since modules on its border are cut."""
        return legend(self.plan, self.reader, counted=self.tile is None)


def plan_pages(plans: Sequence[RoofPlan], reader: Reader, paper: str) -> list[Any]:
    """Every roof's sheets, each on a page of its own, lying where the roof is wider than high."""
    story: list[Any] = []
    for plan in plans:
        lying = plan.width_mm > 1.15 * plan.height_mm
        story += [NextPageTemplate(LYING if lying else UPRIGHT), PageBreak()]
        overview, detail, parts = sheets_of(plan, reader, paper, lying)
        story.append(PlanSheet(plan, overview, reader, None, parts))
        if detail is not None:
            for tile in parts:
                story += [PageBreak(), PlanSheet(plan, detail, reader, tile, ())]
    return story


def sheets_of(plan: RoofPlan, reader: Reader, paper: str, lying: bool) -> tuple[Scale, Scale | None, tuple[Tile, ...]]:
    """The overview's scale; the further sheets' scale and windows, if the roof needs them."""
    wide, high = (side / mm for side in frame_size(paper, lying))
    room_high = high - HEAD_MM - LEGEND_MM
    overview = scale_for(
        plan.width_mm,
        plan.height_mm,
        wide - margin_mm(plan, "y", reader) - EDGE_MM,
        room_high - margin_mm(plan, "x", reader),
        reader.formats.units,
    )
    detail = detail_scale(plan, overview, reader.formats.units)
    parts = tiles(plan, wide - RULER_MM - EDGE_MM, room_high - RULER_MM, detail) if detail else ()
    return overview, detail, parts
