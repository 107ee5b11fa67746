"""Structured tables: columns with a key, a head in the reader's language, a look, one formula for all their cells."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.filters import AutoFilter
from openpyxl.worksheet.table import Table, TableColumn, TableFormula

from estimator.documents.xlsx.cached_values import Value
from estimator.documents.xlsx.looks import HEAD, TEXT, Look
from estimator.documents.xlsx.page import Content, Page, columns_for

_BOLD = 0.9
"""Bold letters need so much more room: a share of the column's width is left to them."""
_USUAL = 9.0
_SURELY_FITS = 0.7
"""Letters for each unit of a column's width that fit on one line whichever they are."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column. ``formula`` (without equals sign) stands alike in every cell; empty: the rows' own constants."""

    key: str
    head: str
    width: float
    look: Look = TEXT
    formula: str = ""


def head_name(head: str) -> str:
    """A head as formulas can name it: without the signs that references to columns use.

    >>> head_name("Unit mass, kg [net]")
    'Unit mass kg net'
    """
    plain = head.replace("'", "’")
    return " ".join("".join(" " if ch in ",[]#@\n" else ch for ch in plain).split())


Row = Mapping[str, Content | bool]


@dataclass(frozen=True, slots=True)
class Heads:
    """A table's name and its heads by key, to be used in formulas."""

    table: str
    heads: Mapping[str, str]

    def column(self, key: str, table: str = "") -> str:
        """The whole column, of this table or of another with the same heads.

        >>> Heads("Pricing", {"price": "Line price"}).column("price")
        'Pricing[Line price]'
        """
        return f"{table or self.table}[{head_name(self.heads[key])}]"

    def this(self, key: str) -> str:
        """The column's cell in the same row, in the form files use.

        >>> Heads("Pricing", {"price": "Line price"}).this("price")
        'Pricing[[#This Row],[Line price]]'
        """
        return f"{self.table}[[#This Row],[{head_name(self.heads[key])}]]"


@dataclass(frozen=True, slots=True)
class Placed:
    """Where a table stands: its first and last row of content, and each column's number by key."""

    first: int
    last: int
    columns: Mapping[str, int]

    def span(self, key: str) -> str:
        """The column's cells as an address range."""
        letter = get_column_letter(self.columns[key])
        return f"{letter}{self.first}:{letter}{self.last}"


def write_table(page: Page, top: int, name: str, columns: Sequence[Column], rows: Sequence[Row]) -> Placed:
    """Write heads and rows from ``top`` on as a structured table; at least one row.

    A row gives, by key, a column's constant, or the value of its formula (which every row must have).
    """
    _check(name, columns, rows)
    for at_column, column in enumerate(columns, start=1):
        page.put(top, at_column, head_name(column.head), HEAD)
        page.sheet.column_dimensions[get_column_letter(at_column)].width = column.width
    page.sheet.row_dimensions[top].height = 30
    for column in columns:
        page.lines(top, head_name(column.head), max(column.width, columns_for(column.head, bold=True)) * _BOLD)
    for at_row, row in enumerate(rows, start=top + 1):
        for at_column, column in enumerate(columns, start=1):
            if column.formula:
                page.formula(at_row, at_column, column.formula, _value_of(row, column), column.look)
            else:
                page.put(at_row, at_column, row.get(column.key), column.look)
                _heighten(page, at_row, column, row.get(column.key))
    last = top + len(rows)
    _add_table(page, name, columns, f"A{top}:{get_column_letter(len(columns))}{last}")
    return Placed(top + 1, last, {column.key: number for number, column in enumerate(columns, start=1)})


def _heighten(page: Page, row: int, column: Column, content: Content | bool) -> None:
    """Room for a text that its column breaks; texts in small print have their rows' heights set by their sheets."""
    look = column.look
    if look.wrap and look.size >= _USUAL and isinstance(content, str) and len(content) > column.width * _SURELY_FITS:
        page.lines(row, content, column.width)


def _value_of(row: Row, column: Column) -> Value:
    value = row[column.key]
    if value is None:
        raise ValueError(f"column {column.head!r} has a formula and a row without its value")
    return value


def _check(name: str, columns: Sequence[Column], rows: Sequence[Row]) -> None:
    heads = [head_name(column.head).lower() for column in columns]
    if len(set(heads)) != len(heads):
        raise ValueError(f"table {name!r} has two columns of one head: {heads}")
    if not rows:
        raise ValueError(f"table {name!r} has no row")


def _add_table(page: Page, name: str, columns: Sequence[Column], place: str) -> None:
    table = Table(displayName=name, name=name, ref=place, autoFilter=AutoFilter(ref=place))
    for number, column in enumerate(columns, start=1):
        entry = TableColumn(id=number, name=head_name(column.head))
        if column.formula:
            entry.calculatedColumnFormula = TableFormula(attr_text=column.formula)
        table.tableColumns.append(entry)
    page.sheet.add_table(table)
