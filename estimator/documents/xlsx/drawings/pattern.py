"""The drawing of a cutting pattern: a bar of narrow cells, each piece a filled stretch with its length in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from openpyxl.utils import get_column_letter

from estimator.cutting.records import TENTHS_PER_MM, BarPattern
from estimator.documents import style
from estimator.documents.xlsx.looks import HEAD, Look
from estimator.documents.xlsx.numbers.measures import unit_of
from estimator.documents.xlsx.page import Page
from estimator.units import System, side_by_side

DRAWING_FROM = 10
"""The drawing's first column."""
CELLS = 60
"""Cells that the longest bar takes."""
MM_PER_INCH = 25.4
_PIECE = Look(size=7, across="center", middle=True, fill=style.BLUE_TINT, rule="edge")
_KEPT = Look(size=7, across="center", middle=True, italic=True, fill=style.OCHRE_TINT, rule="edge")
_SCRAP = Look(size=7, across="center", middle=True, colour=style.MUTED, fill=style.TINT, rule="edge")


def drawing_from(systems: Sequence[System]) -> int:
    """The drawing's first column; a second system's lengths stand before it."""
    return DRAWING_FROM + 2 * (len(systems) - 1)


def prepare_drawing(page: Page, row: int, head: str, systems: Sequence[System] = ("metric",)) -> None:
    """Narrow columns under one head, which gets the units of the lengths."""
    start = drawing_from(systems)
    page.sheet.column_dimensions[get_column_letter(start - 1)].width = 2
    for column in range(start, start + CELLS):
        page.sheet.column_dimensions[get_column_letter(column)].width = 1.6
    page.put(row, start, _head(head, systems), HEAD)
    page.merge(row, start, start + CELLS - 1)


def _head(head: str, systems: Sequence[System]) -> str:
    """The head with both units in its brackets."""
    units = "; ".join(unit_of("length", system) for system in systems)
    return head.replace("mm", units)


def draw_pattern(
    page: Page, row: int, pattern: BarPattern, longest: int, systems: Sequence[System] = ("metric",)
) -> None:
    """One bar to the scale of the longest: pieces in cutting order, then what is left."""
    start = drawing_from(systems)
    ends = [0]
    for length in pattern.pieces:
        ends.append(ends[-1] + length)
    cells = [round(end * CELLS / longest) for end in ends]
    whole = max(cells[-1], round(pattern.stock_length * CELLS / longest))
    for length, first, last in zip(pattern.pieces, cells, cells[1:], strict=False):
        _stretch(page, row, (start + first, start + last), _texts(length, systems), _PIECE)
    left = _texts(pattern.offcut, systems) if pattern.offcut else ("",)
    _stretch(page, row, (start + cells[-1], start + whole), left, _KEPT if pattern.reusable else _SCRAP)


def _texts(tenths: int, systems: Sequence[System]) -> tuple[str, ...]:
    """What may stand in a stretch, the longest first: its length in both systems, or in the first alone."""
    mm = tenths / TENTHS_PER_MM
    texts = [f"{mm:g}" if system == "metric" else f"{mm / MM_PER_INCH:.2f}" for system in systems]
    return side_by_side(texts), texts[0]


def _stretch(page: Page, row: int, cells: tuple[int, int], texts: Sequence[str], look: Look) -> None:
    """Fill the cells from first to below last; the first text that has room stands in it."""
    first, last = cells
    if last <= first:
        return
    shown = next((text for text in texts if (last - first) * 1.6 >= len(text) * 0.8), "")
    for column in range(first, last):
        page.put(row, column, None, replace(look, rule=""))
    page.put(row, first, shown, look)
    if last - first > 1:
        page.merge(row, first, last - 1)
