"""The drawing of a cutting pattern: a bar of narrow cells, each piece a filled stretch with its length in it."""

from __future__ import annotations

from dataclasses import replace

from openpyxl.utils import get_column_letter

from estimator.cutting.records import TENTHS_PER_MM, BarPattern
from estimator.documents import style
from estimator.documents.workbook.looks import HEAD, Look
from estimator.documents.workbook.page import Page

DRAWING_FROM = 10
"""The drawing's first column."""
CELLS = 60
"""Cells that the longest bar takes."""
_PIECE = Look(size=7, across="center", middle=True, fill=style.BLUE_TINT, rule="edge")
_KEPT = Look(size=7, across="center", middle=True, italic=True, fill=style.OCHRE_TINT, rule="edge")
_SCRAP = Look(size=7, across="center", middle=True, colour=style.MUTED, fill=style.TINT, rule="edge")


def prepare_drawing(page: Page, row: int, head: str) -> None:
    """Narrow columns under one head."""
    page.sheet.column_dimensions[get_column_letter(DRAWING_FROM - 1)].width = 2
    for column in range(DRAWING_FROM, DRAWING_FROM + CELLS):
        page.sheet.column_dimensions[get_column_letter(column)].width = 1.6
    page.put(row, DRAWING_FROM, head, HEAD)
    page.merge(row, DRAWING_FROM, DRAWING_FROM + CELLS - 1)


def draw_pattern(page: Page, row: int, pattern: BarPattern, longest: int) -> None:
    """One bar to the scale of the longest: pieces in cutting order, then what is left."""
    ends = [0]
    for length in pattern.pieces:
        ends.append(ends[-1] + length)
    cells = [round(end * CELLS / longest) for end in ends]
    whole = max(cells[-1], round(pattern.stock_length * CELLS / longest))
    for length, first, last in zip(pattern.pieces, cells, cells[1:], strict=False):
        _stretch(page, row, (first, last), f"{length / TENTHS_PER_MM:g}", _PIECE)
    left = f"{pattern.offcut / TENTHS_PER_MM:g}" if pattern.offcut else ""
    _stretch(page, row, (cells[-1], whole), left, _KEPT if pattern.reusable else _SCRAP)


def _stretch(page: Page, row: int, cells: tuple[int, int], text: str, look: Look) -> None:
    """Fill the cells from first to below last; the text stands in it where it has room."""
    first, last = cells
    if last <= first:
        return
    room = (last - first) * 1.6 >= len(text) * 0.8
    for column in range(first, last):
        page.put(row, DRAWING_FROM + column, None, replace(look, rule=""))
    page.put(row, DRAWING_FROM + first, text if room else "", look)
    if last - first > 1:
        page.merge(row, DRAWING_FROM + first, DRAWING_FROM + last - 1)
