"""A pen that draws the layers of a roof on a PDF canvas: geometry in roof millimetres, text in points."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from reportlab.lib.units import mm
from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.pathobject import PDFPathObject

from estimator.documents import style
from estimator.documents.drawing.annotations import Annotations, scale_bar, symbol_unit
from estimator.documents.drawing.labels import Label
from estimator.documents.drawing.plan import Box, Crossing, RoofPlan
from estimator.documents.drawing.scale import Scale, Tile
from estimator.documents.drawing.symbols import ATTACHMENT_MM, LINE_LAYERS, PAPER_LAYERS, SPLICE_MM, SWATCHES
from estimator.documents.drawing.words import LegendItem
from estimator.documents.fonts.faces import BOLD, REGULAR, drawable
from estimator.documents.language.texts import Reader
from estimator.documents.pdf.page import colour

SIZE = style.TYPE.drawing


class PlanPen:
    """Draws one sheet. ``place`` says where the roof's lower left corner stands, in points within the frame."""

    def __init__(self, canvas: Canvas, scale: Scale, reader: Reader) -> None:
        self.canvas, self.scale, self.reader = canvas, scale, reader
        self.left = self.low = 0.0
        self.factor = mm / scale.denominator
        self.symbol = symbol_unit(scale.denominator)

    def head(self, top: float, wide: float, title: str, scale: str) -> None:
        """Title left, scale right, a rule below."""
        canvas = self.canvas
        canvas.setFillColor(colour(style.BLUE))
        canvas.setFont(BOLD, style.TYPE.heading)
        canvas.drawString(0, top - 12, drawable(title))
        canvas.setFillColor(colour(style.INK))
        canvas.setFont(REGULAR, style.TYPE.small)
        canvas.drawRightString(wide, top - 12, drawable(scale))

    def place(self, left: float, low: float) -> None:
        """Set the roof's corner."""
        self.left, self.low = left, low

    def roof(self, plan: RoofPlan, window: Box | None, blocks: bool = False) -> None:
        """Every layer of the roof, cut at the window if there is one; ``blocks`` leaves out what is too fine to see."""
        canvas = self.canvas
        canvas.saveState()
        canvas.translate(self.left, self.low)
        canvas.scale(self.factor, self.factor)
        if window is not None:
            clip = canvas.beginPath()
            clip.rect(window[0], window[1], window[2] - window[0], window[3] - window[1])
            canvas.clipPath(clip, stroke=0, fill=0)
        self._boxes("keep_clear", plan.strips)
        self._boxes("modules", plan.modules, outlined=not blocks)
        self._boxes("obstructions", [named.box for named in plan.obstructions])
        if not blocks:
            self._lines("ribs", [(rib, 0.0, rib, plan.height_mm) for rib in plan.ribs])
        self._polygons("zones", [zone.polygon for zone in plan.zones])
        self._boxes("roof", [(0.0, 0.0, plan.width_mm, plan.height_mm)])
        if not blocks:
            self._mounting(plan)
        canvas.restoreState()

    def _mounting(self, plan: RoofPlan) -> None:
        self._lines("rails", plan.rails)
        half = ATTACHMENT_MM * self.symbol / 2
        self._boxes("attachments", [(x - half, y - half, x + half, y + half) for x, y in plan.attachments])
        self._boxes("splices", [self._joint(c) for c in plan.splices])
        self._boxes("expansion_splices", [self._joint(c) for c in plan.expansion_splices])

    def annotations(self, drawn: Annotations) -> None:
        """Dimensions and names, marks of further sheets among them."""
        canvas = self.canvas
        canvas.saveState()
        canvas.translate(self.left, self.low)
        canvas.scale(self.factor, self.factor)
        self._lines("dimensions", drawn.lines)
        canvas.restoreState()
        for label in drawn.labels:
            self._write(label)

    def tile_grid(self, tiles: Sequence[Tile]) -> None:
        """Where the further sheets lie; their names stand outside the roof."""
        canvas = self.canvas
        for tile in tiles:
            x0, y0, x1, y1 = tile.window
            canvas.saveState()
            canvas.setStrokeColor(colour(style.INK))
            canvas.setLineWidth(0.5)
            canvas.setDash(3, 2)
            canvas.rect(*self._at(x0, y0), (x1 - x0) * self.factor, (y1 - y0) * self.factor)
            canvas.restoreState()

    def write(self, labels: Iterable[Label]) -> None:
        """Labels as they stand."""
        for label in labels:
            self._write(label)

    def legend(self, items: Sequence[LegendItem], top: float, wide: float, notes: Sequence[str]) -> None:
        """Samples with their words in as many lines as they need; the scale bar at the right; the notes below."""
        canvas, x, y = self.canvas, 0.0, top
        bar = scale_bar(self.scale.denominator, self.reader)
        length = bar.length_mm * self.factor
        text_width = stringWidth(bar.text, REGULAR, SIZE)
        room = wide - length - text_width - 24
        for item in items:
            text = drawable(item.text)
            need = 24 + stringWidth(text, REGULAR, SIZE) + 12
            if x and x + need > room:
                x, y = 0.0, y - 11
            self._swatch(item.layer, x, y)
            self._text(text, x + 24, y)
            x += need
        step = length / bar.steps
        for number in range(bar.steps):
            canvas.setFillColor(colour(style.INK if number % 2 == 0 else style.PAPER))
            canvas.setStrokeColor(colour(style.INK))
            canvas.setLineWidth(0.4)
            canvas.rect(wide - length + number * step, top, step, 3.4, fill=1)
        self._text(bar.text, wide - length - text_width - 4, top)
        canvas.setFillColor(colour(style.MUTED))
        canvas.setFont(REGULAR, SIZE)
        y -= 13
        for line in (line for note in notes for line in simpleSplit(drawable(note), REGULAR, SIZE, wide)):
            canvas.drawString(0, y, line)
            y -= 8.5

    def _swatch(self, layer: str, x: float, y: float) -> None:
        canvas, look = self.canvas, style.LOOKS[layer]
        canvas.saveState()
        self._ink(layer, mm)
        if layer in LINE_LAYERS:
            canvas.line(x, y + 2.2, x + 18, y + 2.2)
        else:
            wide, high = (side * mm for side in SWATCHES.get(layer, (6.3, 2.2)))
            canvas.rect(x + (18 - wide) / 2, y + 2.2 - high / 2, wide, high, fill=1 if look.fill else 0)
        canvas.restoreState()

    def _text(self, text: str, x: float, y: float) -> None:
        self.canvas.setFillColor(colour(style.INK))
        self.canvas.setFont(REGULAR, SIZE)
        self.canvas.drawString(x, y, text)

    def _joint(self, joint: Crossing) -> Box:
        long, short = SPLICE_MM * self.symbol, 0.55 * SPLICE_MM * self.symbol
        a, b = (long, short) if joint.axis == "x" else (short, long)
        return joint.x - a, joint.y - b, joint.x + a, joint.y + b

    def _unit(self, layer: str) -> float:
        return self.scale.denominator if layer in PAPER_LAYERS else self.symbol

    def _ink(self, layer: str, unit: float) -> None:
        """Colours, width and dashes of a layer; ``unit`` is a millimetre of paper in the canvas's own units."""
        look = style.LOOKS[layer]
        self.canvas.setStrokeColor(colour(look.line))
        self.canvas.setLineWidth(look.width_mm * unit)
        self.canvas.setDash([dash * unit for dash in look.dash_mm])
        if look.fill:
            self.canvas.setFillColor(colour(look.fill))

    def _boxes(self, layer: str, boxes: Iterable[Box], outlined: bool = True) -> None:
        path = PDFPathObject([f"{x0:.2f} {y0:.2f} {x1 - x0:.2f} {y1 - y0:.2f} re" for x0, y0, x1, y1 in boxes])
        if not path.getCode():
            return
        self._ink(layer, self._unit(layer))
        self.canvas.drawPath(path, stroke=1 if outlined else 0, fill=1 if style.LOOKS[layer].fill else 0)

    def _lines(self, layer: str, lines: Iterable[Box]) -> None:
        path = PDFPathObject([f"{x0:.2f} {y0:.2f} m {x1:.2f} {y1:.2f} l" for x0, y0, x1, y1 in lines])
        if not path.getCode():
            return
        self._ink(layer, self._unit(layer))
        self.canvas.drawPath(path, stroke=1, fill=0)

    def _polygons(self, layer: str, polygons: Iterable[Sequence[tuple[float, float]]]) -> None:
        path = self.canvas.beginPath()
        for polygon in polygons:
            path.moveTo(*polygon[0])
            for point in polygon[1:]:
                path.lineTo(*point)
            path.close()
        if not path.getCode():
            return
        self._ink(layer, self._unit(layer))
        self.canvas.drawPath(path, stroke=1, fill=0)

    def _at(self, x: float, y: float) -> tuple[float, float]:
        return self.left + x * self.factor, self.low + y * self.factor

    def _write(self, label: Label) -> None:
        """A label on a patch of paper, so that no line runs through it."""
        canvas, font, size = self.canvas, BOLD if label.bold else REGULAR, label.size_mm * mm
        text = drawable(label.text)
        wide = stringWidth(text, font, size)
        shift = {"start": 0.0, "middle": -wide / 2, "end": -wide}[label.anchor]
        canvas.saveState()
        canvas.translate(*self._at(label.x, label.y))
        if label.turned:
            canvas.rotate(90)
        canvas.setFillColor(colour(style.PAPER))
        canvas.rect(shift - 0.6, -0.22 * size, wide + 1.2, 0.98 * size, stroke=0, fill=1)
        canvas.setFillColor(colour(style.INK))
        canvas.setFont(font, size)
        canvas.drawString(shift, 0, text)
        canvas.restoreState()
