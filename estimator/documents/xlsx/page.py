"""One sheet being written: each cell gets its content and its look, each formula leaves its value behind."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any, cast

from openpyxl.cell import Cell
from openpyxl.utils import get_column_letter, quote_sheetname
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.worksheet import Worksheet

from estimator.documents.fonts.faces import BOLD, REGULAR, text_width
from estimator.documents.xlsx.cached_values import Value
from estimator.documents.xlsx.looks import HEAD, HEADING, LINK, SUBTITLE, TEXT, TITLE, Look, Looks
from estimator.documents.xlsx.plain_text import plain

Content = str | int | Decimal | None


def at(row: int, column: int) -> str:
    """A cell's address.

    >>> at(12, 28)
    'AB12'
    """
    return f"{get_column_letter(column)}{row}"


_UNIT = 5.25
"""Points of one unit of a column's width: 7 pixels, the widest digit of the workbook's first font."""
_PADDING = 10.0
"""Points that a cell keeps free beside its text: its padding and an indent."""


def columns_for(text: str, *, bold: bool = False, whole: bool = False) -> float:
    """The width of a column in which a text's longest word, or the whole text, keeps to one line.

    >>> round(columns_for("Zeilennachlass je Teil", bold=True), 1)
    15.6
    """
    face = BOLD if bold else REGULAR
    parts = [text] if whole else text.split()
    return max((text_width(part, face, 9.0) for part in parts), default=0.0) / _UNIT + 1.2


def _wrapped_lines(text: str, room: float) -> int:
    """Lines that a text takes in so many points, broken between words, a word too long for a line within it."""
    lines, left = 1, room
    for word in text.split(" "):
        wide = text_width(f"{word} ", REGULAR, 9.0) * 1.04  # other programs set the letters a little wider
        if wide > left and left < room:
            lines, left = lines + 1, room
        while wide > room:
            lines, wide = lines + 1, wide - room
        left -= wide
    return lines


class Page:
    """A sheet, its styles and the values of its formulas."""

    def __init__(self, sheet: Worksheet, looks: Looks, values: dict[str, Value]) -> None:
        self.sheet = sheet
        self.title = str(sheet.title)
        self._looks = looks
        self._values = values
        self._heads: dict[tuple[int, int], float] = {}
        self._place: Callable[[Cell], None] = cast(Any, sheet)._add_cell

    def put(self, row: int, column: int, content: Content, look: Look = TEXT) -> Cell:
        """A text, a number or nothing; a text is never taken for a formula."""
        if look is HEAD and isinstance(content, str):
            self._heads[row, column] = columns_for(content, bold=True)
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
        self._heads.pop((row, first), None)
        for column in range(first + 1, last + 1):
            cell: Any = Cell(self.sheet, row, column)
            cell._style = shared._style
            self._place(cell)
        self.sheet.merged_cells.add(f"{at(row, first)}:{at(row, last)}")

    def lines(self, row: int, text: str, characters: float) -> None:
        """Height for a wrapped text in a column of that width, unless the row is higher already."""
        room = max(20.0, characters * _UNIT - _PADDING)
        count = sum(_wrapped_lines(part, room) for part in text.split("\n"))
        if count > 1:
            row_look = self.sheet.row_dimensions[row]
            row_look.height = max(row_look.height or 0.0, min(400.0, 12.5 * count + 2))

    def fit_heads(self) -> None:
        """Columns at least as wide as the longest word of each of their heads."""
        for (_, column), width in self._heads.items():
            dimension = self.sheet.column_dimensions[get_column_letter(column)]
            dimension.width = max(dimension.width, width)
