"""Save a finished workbook with the engine's own values behind its formulas, its bytes the same every time.

The library writes formulas without values; a reader that does not recalculate then sees nothing. Here the rows are
written as text, each formula with its value beside it, and a formula without one is refused; the library writes
everything else. Every part is packed once, and all times are the document's date.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator, Mapping
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from openpyxl import Workbook
from openpyxl.drawing.spreadsheet_drawing import SpreadsheetDrawing
from openpyxl.utils import get_column_letter
from openpyxl.worksheet._writer import WorksheetWriter
from openpyxl.writer.excel import ExcelWriter

Value = Decimal | int | str | bool
CachedValues = Mapping[str, Mapping[str, Value]]

_NO_ROWS = re.compile(rb"<sheetData\s*(?:/>|></sheetData>)")
_ZIP_TIME = (1980, 1, 1, 0, 0, 0)


class FormulaWithoutValue(ValueError):
    """A formula cell for which the engine gave no value, or a value for a cell without formula."""


def saved_workbook(workbook: Workbook, values: CachedValues, dated: date) -> bytes:
    """The workbook as a file, every formula's value beside it, all its times set to the document's date.

    Args:
        workbook: the finished workbook.
        values: by sheet title and cell, the value of each formula.
        dated: the document's date.

    Raises:
        FormulaWithoutValue: a formula has no value here, or a value has no formula.

    """
    workbook.properties.created = workbook.properties.modified = datetime.combine(dated, time())
    out = io.BytesIO()
    with _Archive(out, "w", zipfile.ZIP_DEFLATED) as archive:
        _BookWriter(workbook, archive, values).write_data()
    return out.getvalue()


class _Archive(zipfile.ZipFile):
    """A ZIP file whose parts carry no clock."""

    def writestr(self, part: Any, content: Any, *_: object) -> None:  # noqa: ANN401
        """One part, packed."""
        entry = zipfile.ZipInfo(part, _ZIP_TIME)
        entry.compress_type = zipfile.ZIP_DEFLATED
        super().writestr(entry, content)


class _BookWriter(ExcelWriter):
    """The library's writer, its sheets' rows written here."""

    def __init__(self, workbook: Any, archive: _Archive, values: CachedValues) -> None:  # noqa: ANN401
        super().__init__(workbook, archive)
        self._parts, self._values = archive, values
        self._style_numbers: dict[int, int] = {}

    def write_worksheet(self, sheet: Any) -> None:  # noqa: ANN401
        """One sheet's part, and what it leads to."""
        sheet._drawing = SpreadsheetDrawing()
        sheet._drawing.charts, sheet._drawing.images = sheet._charts, sheet._images
        writer = _SheetWriter(sheet, self._values.get(sheet.title, {}), self._style_numbers)
        sheet._rels = writer.relations
        self._parts.writestr(sheet.path[1:], writer.part())
        self.manifest.append(sheet)


class _SheetWriter(WorksheetWriter):
    """One sheet: the library writes what stands before and after the rows."""

    def __init__(self, sheet: Any, values: Mapping[str, Value], style_numbers: dict[int, int]) -> None:  # noqa: ANN401
        self._sheet: Any = sheet
        self._written = io.BytesIO()
        super().__init__(sheet, out=self._written)
        self.relations: Any = vars(self)["_rels"]
        self._values, self._style_numbers = values, style_numbers
        self._missing: list[str] = []
        self._formulas = 0

    def part(self) -> bytes:
        """The whole part."""
        rows = "".join(self._rows())
        if self._missing:
            first = "; ".join(self._missing[:5])
            raise FormulaWithoutValue(
                f"sheet {self._sheet.title!r}: no value for {first} ({len(self._missing)} in all)"
            )
        if self._formulas != len(self._values):
            raise FormulaWithoutValue(
                f"sheet {self._sheet.title!r}: {len(self._values)} values, {self._formulas} formulas"
            )
        self.write()
        before, after = _NO_ROWS.split(self._written.getvalue(), maxsplit=1)
        return b"".join((before, b"<sheetData>", rows.encode(), b"</sheetData>", after))

    def write_rows(self) -> None:
        """An empty place for the rows."""
        stream: Any = self.xf.send(True)
        with stream.element("sheetData"):
            pass
        self.xf.send(None)

    def _rows(self) -> Iterator[str]:
        """Each row's text, in order; a row of nothing but a height too."""
        rows: dict[int, list[tuple[int, Any]]] = {row: [] for row in list(self._sheet.row_dimensions)}
        for (row, column), cell in self._sheet._cells.items():
            rows.setdefault(row, []).append((column, cell))
        looks = self._sheet.row_dimensions
        for row in sorted(rows):
            more = "".join(f" {name}={quoteattr(text)}" for name, text in looks[row]) if row in looks else ""
            cells = rows[row]
            cells.sort(key=lambda each: each[0])
            yield f'<row r="{row}"{more}>{"".join([self._cell(row, *each) for each in cells])}</row>'

    def _cell(self, row: int, column: int, cell: Any) -> str:  # noqa: ANN401
        value, kind, place = cell._value, cell.data_type, f"{get_column_letter(column)}{row}"
        if cell._hyperlink is not None:
            self._sheet._hyperlinks.append(cell._hyperlink)
        start = f'<c r="{place}" s="{self._style_number(cell)}"'
        if kind == "f":
            return f"{start}{self._formula(place, value[1:])}</c>"
        if value is None or value == "":
            return f"{start}/>"
        if kind == "s":
            space = "" if value == value.strip() else ' xml:space="preserve"'
            return f'{start} t="inlineStr"><is><t{space}>{escape(value)}</t></is></c>'
        mark, text = _written(value)
        return f"{start}{mark}><v>{text}</v></c>"

    def _style_number(self, cell: Any) -> int:  # noqa: ANN401
        """The number of the cell's style, found once for all that share it."""
        shared = cell._style
        if shared is None:
            return 0
        number = self._style_numbers.get(id(shared))
        if number is None:
            number = self._style_numbers[id(shared)] = int(cell.style_id)
        return number

    def _formula(self, place: str, formula: str) -> str:
        value = self._values.get(place)
        if value is None:
            self._missing.append(f"{place}: ={formula}")
            return ">"
        self._formulas += 1
        mark, text = _written(value)
        return f"{mark}><f>{escape(formula)}</f><v>{text}</v>"


def _written(value: Value) -> tuple[str, str]:
    """The cell's type attribute and the text of its value."""
    if isinstance(value, bool):
        return ' t="b"', "1" if value else "0"
    if isinstance(value, str):
        return ' t="str"', escape(value)
    return "", f"{value:f}" if isinstance(value, Decimal) else str(value)
