"""The parts that every PDF is made of: paragraphs of escaped text, headings, tables in the house's look."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any, Literal
from xml.sax.saxutils import escape

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.utils import simpleSplit
from reportlab.platypus import Paragraph, Spacer, Table

from estimator.documents import style
from estimator.documents.fonts.faces import BOLD, REGULAR, drawable, ensure_fonts, text_width
from estimator.documents.pdf.page import colour
from estimator.documents.pdf.table import Command as Command
from estimator.documents.pdf.table import quick_table
from estimator.documents.pdf.tags import HeadingParagraph, TableTags, TaggedParagraph, TitleParagraph

Look = Literal["body", "bold", "small", "muted", "heading", "title", "alert"]
LEADING = 1.26


@lru_cache(maxsize=32)
def paragraph_style(look: Look, right: bool = False) -> ParagraphStyle:
    """The house's paragraph styles."""
    ensure_fonts()
    sizes = {
        "small": style.TYPE.small,
        "muted": style.TYPE.small,
        "heading": style.TYPE.heading,
        "title": style.TYPE.title,
    }
    size = sizes.get(look, style.TYPE.body)
    ink = {"muted": style.MUTED, "heading": style.BLUE, "title": style.BLUE, "alert": style.OCHRE}.get(look, style.INK)
    return ParagraphStyle(
        f"{look}{right}",
        fontName=BOLD if look in {"bold", "heading", "title", "alert"} else REGULAR,
        fontSize=size,
        leading=size * LEADING,
        textColor=colour(ink),
        alignment=2 if right else 0,
        splitLongWords=1,
        spaceBefore=0,
        spaceAfter=0,
    )


def paragraph(text: str, look: Look = "body", right: bool = False) -> Paragraph:
    """User text as a paragraph: drawable, escaped, its line ends kept. No markup of the text comes through."""
    safe = escape(drawable(text)).replace("\n", "<br/>")
    kind = TitleParagraph if look == "title" else TaggedParagraph
    return kind(safe, paragraph_style(look, right))


def heading(text: str) -> Paragraph:
    """A heading that stays with what follows it."""
    shaped = ParagraphStyle("spaced", parent=paragraph_style("heading"), spaceBefore=style.SPACING.section,
                            spaceAfter=style.SPACING.unit, keepWithNext=1)  # fmt: skip
    return HeadingParagraph(escape(drawable(text)), shaped)


def fitted(text: str, room: float, look: Look = "body", right: bool = False) -> str | Paragraph:
    """The text as it is where it fits on one line (a string sets fast), else as a paragraph."""
    shaped = paragraph_style(look)
    line = drawable(text)
    if "\n" not in line and text_width(line, shaped.fontName, shaped.fontSize) <= room:
        return line
    return paragraph(text, look, right)


def broken(head: str, width: float) -> str:
    """A column's head, broken between words where it is wider than its column."""
    return "\n".join(simpleSplit(drawable(head), BOLD, style.TYPE.small, width - 2 * style.SPACING.cell))


def gap(height: float = style.SPACING.block) -> Spacer:
    """Empty space."""
    return Spacer(1, height)


BASE: tuple[Command, ...] = (
    ("FONT", (0, 0), (-1, -1), REGULAR, style.TYPE.body, style.TYPE.body * LEADING),
    ("TEXTCOLOR", (0, 0), (-1, -1), colour(style.INK)),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), style.SPACING.cell),
    ("RIGHTPADDING", (0, 0), (-1, -1), style.SPACING.cell),
    ("TOPPADDING", (0, 0), (-1, -1), 1.3),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 1.7),
)
HEAD: tuple[Command, ...] = (
    ("FONT", (0, 0), (-1, 0), BOLD, style.TYPE.small, style.TYPE.small * LEADING),
    ("TEXTCOLOR", (0, 0), (-1, 0), colour(style.PAPER)),
    ("BACKGROUND", (0, 0), (-1, 0), colour(style.BLUE)),
    ("VALIGN", (0, 0), (-1, 0), "MIDDLE"),
)
ROW_LINES: Command = ("LINEBELOW", (0, 1), (-1, -1), 0.25, colour(style.RULE))


def grid(
    rows: Sequence[Sequence[Any]],
    widths: Sequence[float],
    commands: Sequence[Command] = (),
    head_rows: int = 1,
    layout: bool = False,
) -> Table:
    """A table in the house's look; its head repeats on every page, a row taller than a page is split.

    ``layout`` is for what only stands side by side: it is no table to whoever has the page read aloud.
    """
    return quick_table(
        rows,
        widths,
        [*BASE, *(HEAD if head_rows else ()), *commands],
        repeatRows=head_rows,
        splitInRow=1,
        hAlign="LEFT",
        renderCB=None if layout else TableTags(head_rows),
    )


def joined(tables: Sequence[Table]) -> list[Table]:
    """Tables that are parts of one: whoever has it read aloud hears one table with one head."""
    for table in tables[1:]:
        table._renderCB = tables[0]._renderCB
    return list(tables)


def right_from(column: int, last_row: int = -1) -> Command:
    """Align right from a column on."""
    return ("ALIGN", (column, 0), (-1, last_row), "RIGHT")
