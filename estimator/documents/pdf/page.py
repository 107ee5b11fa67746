"""Pages of every PDF: paper, margins, running foot with page x of y, properties, and bytes that repeat.

Takes flowables and a ``PageHead``; knows nothing of quotes. The running foot shows the house, the document and where
its numbers come from.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

from estimator.documents import style
from estimator.documents.fonts.faces import BOLD, REGULAR, drawable, ensure_fonts
from estimator.documents.pdf.file import packed_with_structure
from estimator.documents.pdf.tags import Tags

UPRIGHT = "upright"
LYING = "lying"
TOP_MARGIN = 40.0


@dataclass(frozen=True, slots=True)
class PageHead:
    """What every page carries. ``page_of`` has places {page} and {pages}; ``marks`` head every page."""

    paper: str
    language: str
    title: str
    author: str
    dated: date
    foot: str
    page_of: str
    marks: tuple[str, ...] = ()
    subject: str = ""


def colour(name: str) -> HexColor:
    """A colour of the house for the PDF library."""
    return HexColor(int(name, 16))


def page_size(paper: str, lying: bool = False) -> tuple[float, float]:
    """Width and height in points."""
    wide, high = (side * mm for side in style.PAPER_MM[paper])
    return (high, wide) if lying else (wide, high)


def frame_size(paper: str, lying: bool = False) -> tuple[float, float]:
    """What a page leaves for its content, in points."""
    wide, high = page_size(paper, lying)
    return wide - 2 * style.SPACING.margin, high - TOP_MARGIN - style.SPACING.margin


def build_pdf(story: Sequence[Any], head: PageHead) -> bytes:
    """The flowables set on pages. The same story and head give the same bytes."""
    ensure_fonts()
    out = io.BytesIO()
    document = BaseDocTemplate(
        out,
        pagesize=page_size(head.paper),
        title=drawable(head.title),
        author=drawable(head.author),
        subject=drawable(head.subject),
        creator="estimator",
        producer="estimator",
        lang=head.language,
        invariant=1,
        pageCompression=0,  # packed once, with the structure
        initialFontName=REGULAR,
        initialFontSize=style.TYPE.body,
        splitInRow=1,
    )
    document.addPageTemplates([page_template(UPRIGHT, head.paper, False), page_template(LYING, head.paper, True)])
    tags = Tags()
    document.build(list(story), canvasmaker=_canvas_for(head, tags))
    return packed_with_structure(out.getvalue(), tags)


def page_template(name: str, paper: str, lying: bool) -> PageTemplate:
    """A page of that paper, upright or lying, with one frame inside the margins."""
    wide, high = frame_size(paper, lying)
    margin = style.SPACING.margin
    frame = Frame(margin, margin, wide, high, 0, 0, 0, 0, id=name)
    return PageTemplate(name, [frame], pagesize=page_size(paper, lying))


def _canvas_for(head: PageHead, tags: Tags) -> type[Canvas]:
    """A canvas that keeps its pages until their number is known, then writes the foot of each."""

    class NumberedCanvas(Canvas):  # type: ignore[misc]
        def __init__(self, *arguments: object, **options: object) -> None:
            super().__init__(*arguments, **options)
            self._kept: list[dict[str, Any]] = []
            self.tags = tags
            _date_of(self, head.dated)

        def showPage(self) -> None:  # noqa: N802
            self._kept.append(dict(self.__dict__))
            tags.page += 1
            self._startPage()

        def save(self) -> None:
            for number, state in enumerate(self._kept, start=1):
                self.__dict__.update(state)
                tags.artifact(self)
                _foot(self, head, number, len(self._kept))
                tags.close(self)
                super().showPage()
            super().save()

    return NumberedCanvas


def _date_of(canvas: Canvas, dated: date) -> None:
    """Stamp the document with its own date at midnight UTC instead of the clock's."""
    stamp = canvas._doc._timeStamp
    stamp.YMDhms = (dated.year, dated.month, dated.day, 0, 0, 0)
    stamp.dhh = stamp.dmm = 0
    stamp.tzname = "UTC"


def _foot(canvas: Canvas, head: PageHead, number: int, pages: int) -> None:
    """A hairline; below it where the numbers come from, and the page's number; the marks above the content."""
    wide, high = canvas._pagesize
    margin, size = style.SPACING.margin, style.TYPE.footer
    canvas.saveState()
    canvas.setStrokeColor(colour(style.RULE))
    canvas.setLineWidth(0.4)
    canvas.line(margin, style.SPACING.footer + 6, wide - margin, style.SPACING.footer + 6)
    canvas.setFillColor(colour(style.MUTED))
    canvas.setFont(REGULAR, size)
    page = head.page_of.format(page=number, pages=pages)
    room = wide - 2 * margin - stringWidth(page, REGULAR, size) - 12
    canvas.drawString(margin, style.SPACING.footer - 2, _shortened(drawable(head.foot), room, size))
    canvas.drawRightString(wide - margin, style.SPACING.footer - 2, page)
    canvas.setFillColor(colour(style.OCHRE))
    canvas.setFont(BOLD, style.TYPE.small)
    for line, text in enumerate(reversed(head.marks)):
        canvas.drawString(margin, high - TOP_MARGIN + 7 + 9.5 * line, drawable(text))
    canvas.restoreState()


def _shortened(text: str, room: float, size: float) -> str:
    if stringWidth(text, REGULAR, size) <= room:
        return text
    while text and stringWidth(text + "…", REGULAR, size) > room:
        text = text[:-1]
    return text + "…"
