"""One sheet being written: each cell gets its content and its look, each formula leaves its value behind."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any, cast

from openpyxl.cell import Cell
from openpyxl.utils import get_column_letter, quote_sheetname
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.worksheet import Worksheet

from estimator.documents.cached_values import Value
from estimator.documents.workbook.looks import HEADING, LINK, SUBTITLE, TEXT, TITLE, Look, Looks
from estimator.documents.workbook.plain_text import plain

Content = str | int | Decimal | None


def at(row: int, column: int) -> str:
    """A cell's address.

    >>> at(12, 28)
    'AB12'
    """
    return f"{get_column_letter(column)}{row}"


class Page:
    """A sheet, its styles and the values of its formulas."""

    def __init__(self, sheet: Worksheet, looks: Looks, values: dict[str, Value]) -> None:
        self.sheet = sheet
        self.title = str(sheet.title)
        self._looks = looks
        self._values = values
        self._place: Callable[[Cell], None] = cast(Any, sheet)._add_cell

    def put(self, row: int, column: int, content: Content, look: Look = TEXT) -> Cell:
        """A text, a number or nothing; a text is never taken for a formula."""
        if isinstance(content, str):
            return self._cell(row, column, plain(content), "s", look)
        return self._cell(row, column, content, "b" if isinstance(content, bool) else "n", look)

    def formula(self, row: int, column: int, formula: str, value: Value, look: Look) -> Cell:
        """A formula (written without its equals sign) and the value it has as the engine computed it."""
        self._values[at(row, column)] = plain(value) if isinstance(value, str) else value
        return self._cell(row, column, f"={formula}", "f", look)

    def _cell(self, row: int, column: int, content: Content, kind: str, look: Look) -> Cell:
        """A cell as it stands; the library's own way guesses its kind and checks again what ``plain`` made sure."""
        cell: Any = Cell(self.sheet, row, column)
        cell._value, cell.data_type, cell._style = content, kind, self._looks.style_of(look)
        self._place(cell)
        return cast(Cell, cell)

    def link(self, row: int, column: int, text: str, page: Page, target: str, look: Look = LINK) -> None:
        """A text that leads to a cell of another sheet."""
        cell: Any = self.put(row, column, text, look)
        cell._hyperlink = Hyperlink(ref=cell.coordinate, location=f"{quote_sheetname(page.title)}!{target}")

    def head(self, title: str, subtitle: str = "") -> None:
        """The sheet's title in the first row, a line below it about what stands here."""
        self.put(1, 1, title, TITLE)
        self.sheet.row_dimensions[1].height = 26
        if subtitle:
            self.put(2, 1, subtitle, SUBTITLE)

    def heading(self, row: int, text: str, column: int = 1) -> None:
        """The heading of a block."""
        self.put(row, column, text, HEADING)
        self.sheet.row_dimensions[row].height = 20

    def widths(self, *widths: float) -> None:
        """Widths of the first columns, in characters."""
        for column, width in enumerate(widths, start=1):
            self.sheet.column_dimensions[get_column_letter(column)].width = width

    def merge(self, row: int, first: int, last: int) -> None:
        """Make one cell of several side by side, all in the look of the first, nothing hidden in the others."""
        shared: Any = self.sheet.cell(row, first)
        for column in range(first + 1, last + 1):
            cell: Any = Cell(self.sheet, row, column)
            cell._style = shared._style
            self._place(cell)
        self.sheet.merged_cells.add(f"{at(row, first)}:{at(row, last)}")

    def lines(self, row: int, text: str, characters: float) -> None:
        """Height for a wrapped text of so many characters a line."""
        count = sum(max(1, -(-len(part) // max(1, int(characters)))) for part in text.split("\n"))
        if count > 1:
            self.sheet.row_dimensions[row].height = min(400.0, 12.5 * count + 2)
