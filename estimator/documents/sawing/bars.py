"""The drawing of a cutting pattern: one bar to scale, its pieces, the saw's kerf, trimmed ends and what is left.

Source: common practice, no source. What a stretch is shows in grey too: pieces are plain, dust and trims are black,
a left piece to keep is crossed, one to scrap is hatched.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable

from estimator.cutting.records import BarPattern, Saw
from estimator.documents import style
from estimator.documents.fonts.faces import REGULAR, drawable
from estimator.documents.pdf.page import colour
from estimator.documents.pdf.tags import Tags

StretchKind = Literal["piece", "kerf", "trim", "keep", "scrap"]
BAR_HIGH = 20.0
HATCH_STEP = 4.0
LEAST_KERF = 0.7
FILLS = {
    "piece": style.BLUE_TINT,
    "kerf": style.INK,
    "trim": style.MUTED,
    "keep": style.OCHRE_TINT,
    "scrap": style.PAPER,
}


@dataclass(frozen=True, slots=True)
class BarStretch:
    """A stretch of a bar, in tenths of a mm from its start; ``cut`` counts the pieces from 1, 0 elsewhere."""

    kind: StretchKind
    start: int
    length: int
    cut: int = 0


def stretches(pattern: BarPattern, saw: Saw) -> tuple[BarStretch, ...]:
    """The bar from end to end: trimmed start, pieces each with its kerf, what is left, trimmed end.

    An off-cut from the yard is not trimmed. What is left before the last kerf and shorter than it is sawdust.

    >>> bar = BarPattern("R6", 60_000, 1, (29_000, 20_000), ((),), 10_840, True, 0, 3)
    >>> [(each.kind, each.length) for each in stretches(bar, Saw(kerf=30, end_trim=50))]
    [('trim', 50), ('piece', 29000), ('kerf', 30), ('piece', 20000), ('kerf', 30), ('keep', 10840), ('trim', 50)]
    """
    trim = 0 if pattern.from_yard else saw.end_trim
    end = pattern.stock_length - trim
    found = [BarStretch("trim", 0, trim)]
    at = trim
    for cut, length in enumerate(pattern.pieces, start=1):
        found.append(BarStretch("piece", at, length, cut))
        at += length
        kerf = min(saw.kerf, end - at)
        found.append(BarStretch("kerf", at, kerf))
        at += kerf
    found.append(BarStretch("keep" if pattern.reusable else "scrap", at, end - at))
    found.append(BarStretch("trim", end, trim))
    return tuple(each for each in found if each.length > 0)


@dataclass(frozen=True, slots=True)
class DrawingWords:
    """What stands in a drawing: a text for every piece by its cut, texts for what is left (longest first), all told."""

    pieces: tuple[str, ...]
    left: tuple[str, ...]
    told: str


class BarDrawing(Flowable):  # type: ignore[misc]
    """One pattern on the page. ``points_per_tenth`` is the scale that all patterns of a list share."""

    def __init__(self, parts: tuple[BarStretch, ...], whole: int, points_per_tenth: float, words: DrawingWords) -> None:
        super().__init__()
        self.parts, self.whole, self.scale, self.words = parts, whole, points_per_tenth, words

    def wrap(self, _wide: float, _high: float) -> tuple[float, float]:
        """As wide as the bar is long."""
        self.width, self.height = self.whole * self.scale, BAR_HIGH + 2
        return self.width, self.height

    def draw(self) -> None:
        """Draw it as one figure that is told in words."""
        tags: Tags | None = getattr(self.canv, "tags", None)
        if tags is None:
            self._draw()
            return
        with tags.marked(self.canv, tags.add("Figure", drawable(self.words.told))):
            self._draw()

    def _draw(self) -> None:
        canvas = self.canv
        canvas.saveState()
        for part in self.parts:
            draw_stretch(canvas, part.kind, part.start * self.scale, part.length * self.scale)
            text = self._text(part)
            if text:
                _write(canvas, text, (part.start + part.length / 2) * self.scale)
        canvas.setStrokeColor(colour(style.INK))
        canvas.setLineWidth(0.8)
        canvas.rect(0, 1, self.whole * self.scale, BAR_HIGH)
        canvas.restoreState()

    def _text(self, part: BarStretch) -> str:
        """The longest of the stretch's texts that fits in it."""
        offered: tuple[str, ...] = ()
        if part.cut:
            offered = (self.words.pieces[part.cut - 1], str(part.cut))
        elif part.kind in {"keep", "scrap"}:
            offered = self.words.left
        room = part.length * self.scale - 4
        return next((text for text in offered if stringWidth(text, REGULAR, style.TYPE.drawing) <= room), "")


def draw_stretch(canvas: Any, kind: StretchKind, left: float, wide: float) -> None:  # noqa: ANN401
    """One stretch in its look, its foot 1 pt above the ground line."""
    canvas.setFillColor(colour(FILLS[kind]))
    if kind in {"kerf", "trim"}:
        seen = max(wide, LEAST_KERF)
        canvas.rect(left + wide / 2 - seen / 2, 1, seen, BAR_HIGH, stroke=0, fill=1)
        return
    canvas.setStrokeColor(colour(style.INK))
    canvas.setLineWidth(0.4)
    canvas.rect(left, 1, wide, BAR_HIGH, fill=1)
    for x0, y0, x1, y1 in _lines(kind, wide):
        canvas.line(left + x0, 1 + y0, left + x1, 1 + y1)


def _lines(kind: StretchKind, wide: float) -> Iterator[tuple[float, float, float, float]]:
    """The hatch of what is scrapped; the diagonals of what is kept."""
    if kind == "keep":
        yield 0, 0, wide, BAR_HIGH
        yield 0, BAR_HIGH, wide, 0
    elif kind == "scrap":
        at = -BAR_HIGH + HATCH_STEP
        while at < wide:
            low, high = max(0.0, -at), min(BAR_HIGH, wide - at)
            if high > low:
                yield at + low, low, at + high, high
            at += HATCH_STEP


def _write(canvas: Any, text: str, middle: float) -> None:  # noqa: ANN401
    """A text in the middle of a stretch, on a patch of paper so that no hatch runs through it."""
    size = style.TYPE.drawing
    wide = stringWidth(text, REGULAR, size)
    canvas.setFillColor(colour(style.PAPER))
    canvas.rect(middle - wide / 2 - 1, BAR_HIGH / 2 - size * 0.45, wide + 2, size * 1.3, stroke=0, fill=1)
    canvas.setFillColor(colour(style.INK))
    canvas.setFont(REGULAR, size)
    canvas.drawString(middle - wide / 2, BAR_HIGH / 2 - size * 0.1, text)
