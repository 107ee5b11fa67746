"""Tables that set fast: cells of one look share its record, heights of one-line rows are known, strings go straight in.

The library keeps a record for every cell, measures every row on every page, and draws each string by way of a text
object. Cells of one line, nearly all there are, are written here instead; everything else is the library's.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from typing import Any

from reportlab.pdfbase.pdfmetrics import getFont
from reportlab.platypus import Table
from reportlab.platypus.tables import CellStyle, _setCellStyle

from estimator.documents.fonts.faces import text_width

Command = tuple[Any, ...]
_OF_CELLS = {
    "FONT", "FONTNAME", "FACE", "SIZE", "FONTSIZE", "LEADING", "TEXTCOLOR", "ALIGN", "ALIGNMENT", "VALIGN",
    "LEFTPADDING", "RIGHTPADDING", "TOPPADDING", "BOTTOMPADDING",
}  # fmt: skip
"""Commands that set how cells look; all others are the whole table's: lines, backgrounds, joined cells."""

_ESCAPED = str.maketrans({mark: f"\\{mark}" for mark in "()\\"})
"""Source: ISO 32000-1, 7.3.4.2, literal strings."""


class QuickTable(Table):  # type: ignore[misc]
    """A table whose one-line strings are written without a text object."""

    _curcellstyle: Any

    def _drawCell(self, value: Any, look: Any, place: tuple[float, float], size: tuple[float, float]) -> None:  # noqa: ANN401, N802
        if not isinstance(value, str) or "\n" in value or look.alignment not in ("LEFT", "RIGHT"):
            super()._drawCell(value, look, place, size)
        elif value:
            self._write(value, look, place, size)

    def _write(self, text: str, look: Any, place: tuple[float, float], size: tuple[float, float]) -> None:  # noqa: ANN401
        canvas = self.canv
        worn = self._curcellstyle
        if worn is not look:
            if worn is None or worn.color != look.color:
                canvas.setFillColor(look.color)
            canvas.setFont(look.fontname, look.fontsize, look.leading)
            self._curcellstyle = look
        x = place[0] + look.leftPadding
        if look.alignment == "RIGHT":
            x = place[0] + size[0] - look.rightPadding - text_width(text, look.fontname, look.fontsize)
        y = place[1] + _above(look, size[1]) - look.fontsize
        canvas._code.append(f"BT 1 0 0 1 {x:.3f} {y:.3f} Tm {_shown(canvas, text, look)} ET")


def _above(look: Any, height: float) -> float:  # noqa: ANN401
    """How far the top of the text stands above the foot of its cell."""
    if look.valign == "TOP":
        return float(height - look.topPadding)
    if look.valign == "BOTTOM":
        return float(look.bottomPadding + look.leading)
    return float((look.bottomPadding + height - look.topPadding + look.leading) / 2)


def _shown(canvas: Any, text: str, look: Any) -> str:  # noqa: ANN401
    """The operators that show a text: each subset of the font with the codes it has for the letters.

    The first subset holds the printable ASCII characters at their own codes, as the library sets its fonts up.
    """
    font = getFont(look.fontname)
    if not (font._asciiReadable and text.isascii() and text.isprintable()):
        return " ".join(
            f"{font.getSubsetInternalName(subset, canvas._doc)} {look.fontsize:g} Tf ({canvas._escape(codes)}) Tj"
            for subset, codes in font.splitString(text, canvas._doc)
        )
    worn: dict[tuple[str, float], str] = canvas.__dict__.setdefault("_first_subsets", {})
    set_font = worn.get((look.fontname, look.fontsize))
    if set_font is None:
        font.splitString(" ", canvas._doc)  # makes the font known to the file
        name = font.getSubsetInternalName(0, canvas._doc)
        set_font = worn[look.fontname, look.fontsize] = f"{name} {look.fontsize:g} Tf"
    return f"{set_font} ({text.translate(_ESCAPED)}) Tj"


def quick_table(
    rows: Sequence[Sequence[Any]], widths: Sequence[float], commands: Sequence[Command], **options: object
) -> QuickTable:
    """A table as the library takes it, each look made once.

    Args:
        rows: cells: strings, parts of a page or lists of these.
        widths: points.
        commands: the library's commands of style.
        options: anything else that the library's table takes.

    """
    looks = _looks(len(rows), len(widths), [each for each in commands if each[0] in _OF_CELLS])
    joined = {each[1][1] % len(rows) for each in commands if each[0] == "SPAN"}
    rows = [list(row) if number in joined else _within(row, widths, looks[number]) for number, row in enumerate(rows)]
    return QuickTable(
        rows,
        colWidths=list(widths),
        rowHeights=[None if number in joined else _height(row, looks[number]) for number, row in enumerate(rows)],
        cellStyles=looks,
        style=[each for each in commands if each[0] not in _OF_CELLS],
        **options,
    )


def _within(row: Sequence[Any], widths: Sequence[float], looks: Sequence[Any]) -> list[Any]:
    """A row's cells, a text that would run into a neighbour broken between its words."""
    cells = list(row)
    for at, (cell, look) in enumerate(zip(row, looks, strict=True)):
        if isinstance(cell, str) and " " in cell and "\n" not in cell:
            room = widths[at] - look.leftPadding - look.rightPadding
            free = look.alignment == "LEFT" and row[at + 1 : at + 2] in ([""], ("",))
            if not free and text_width(cell, look.fontname, look.fontsize) > room:
                cells[at] = "\n".join(_broken(cell, room, look))
    return cells


def _broken(text: str, room: float, look: Any) -> list[str]:  # noqa: ANN401
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, look.fontname, look.fontsize) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _looks(rows: int, columns: int, commands: Sequence[Command]) -> list[list[Any]]:
    """Every cell's look; cells that the same commands reach share one."""
    plain = CellStyle("cell")
    looks = [[plain] * columns for _ in range(rows)]
    made: dict[tuple[int, int], Any] = {}
    for number, (name, first, last, *values) in enumerate(commands):
        left, top, right, bottom = (
            place % count for place, count in zip((*first, *last), (columns, rows) * 2, strict=True)
        )
        for row in looks[top : bottom + 1]:
            for column in range(left, right + 1):
                before = row[column]
                after = made.get((id(before), number))
                if after is None:
                    after = made[id(before), number] = copy(before)
                    _setCellStyle([[after]], 0, 0, name, values)
                row[column] = after
    return looks


def _height(row: Sequence[Any], looks: Sequence[Any]) -> float | None:
    """The height of a row of one-line strings; nothing where the library has to measure."""
    if not all(isinstance(cell, str) and "\n" not in cell for cell in row):
        return None
    return max(float(look.leading + look.topPadding + look.bottomPadding) for look in looks)
