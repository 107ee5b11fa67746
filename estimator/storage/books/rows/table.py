"""A CSV file as a spreadsheet saves it, as checked rows."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass

from estimator.errors import Fault, FilePlace
from estimator.sentences import figure, say
from estimator.storage.books.files import OPTIONAL_TABLES
from estimator.storage.books.rows.number_signs import sign_of
from estimator.storage.books.rows.older_words import in_words_of_today
from estimator.storage.books.rows.row import Reading, Row

MAX_ROWS = 20_000
MAX_TECHNICAL_ROWS = 500
_SEPARATORS = ",;\t"
WORDED = frozenset({
    "part", "role", "description", "name", "note", "supplier", "supplier_part", "group", "email", "address", "postcode",
    "city", "account", "source", "text", "translation", "rule", "activity", "zone", "rail", "bracket",
})  # fmt: skip
"""Columns of words: what stands there does not tell how a table writes its numbers."""


@dataclass(frozen=True, slots=True)
class TableShape:
    """What a table looks like: the columns it must have, those it may have, and the ones that name a row."""

    file: str
    required: tuple[str, ...]
    optional: tuple[str, ...] = ()
    key: tuple[str, ...] = ()
    most_rows: int = MAX_ROWS


def read_table(files: Mapping[str, bytes], shape: TableShape, reading: Reading) -> tuple[Row, ...]:
    """The rows of a table, row numbers as a spreadsheet shows them; faults of its shape go to ``reading``.

    Takes a byte order mark, CRLF, semicolons or tabs between cells, empty rows and empty columns at the end.
    Passes over remarks: rows whose first cell begins with # and a blank.
    """
    if shape.file not in files:
        if shape.file not in OPTIONAL_TABLES:
            reading.faults.append(
                Fault(
                    FilePlace(shape.file),
                    say("the file is missing"),
                    say("columns {names}", names=", ".join(shape.required)),
                )
            )
        return ()
    records = _records(files[shape.file], shape, reading)
    if not records:
        return ()
    top = next((at for at, cells in enumerate(records) if not _is_remark(cells)), 0)
    records[top:] = in_words_of_today(records[top:])
    header = _header(records[top], top + 1, shape, reading)
    numbered = [
        (number, cells)
        for number, cells in enumerate(records[top + 1 :], start=top + 2)
        if any(map(str.strip, cells)) and not _is_remark(cells)
    ]
    counted = [at for at, name in enumerate(header) if name not in WORDED]
    sign = sign_of((cells[at] for _, cells in numbered for at in counted if at < len(cells)), reading.locale)
    rows = tuple(_row(cells, header, Row(shape.file, number, {}, reading, sign)) for number, cells in numbered)
    _refuse_duplicates(rows, shape)
    return rows


def _records(content: bytes, shape: TableShape, reading: Reading) -> list[list[str]]:
    file = shape.file
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        reading.faults.append(Fault(FilePlace(file), say("the file is not in UTF-8"), say('save it as "CSV UTF-8"')))
        return []
    first = next((line for line in text.splitlines() if not _is_remark([line])), "")
    separator = max(_SEPARATORS, key=first.count)
    try:
        records = list(csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True))
    except csv.Error as fault:
        reading.faults.append(
            Fault(
                FilePlace(file),
                say("the file cannot be read as CSV: {fault}", fault=str(fault)),
                say("a quotation mark closes"),
            )
        )
        return []
    if not records:
        reading.faults.append(Fault(FilePlace(file), say("the file is empty"), say("a row of column names")))
    if len(records) > shape.most_rows + 1:
        reading.faults.append(
            Fault(
                FilePlace(file),
                say("{count} rows", count=figure(len(records) - 1, ",")),
                say("at most {most_rows}", most_rows=figure(shape.most_rows, ",")),
            )
        )
        return []
    return records


def _is_remark(cells: list[str]) -> bool:
    """Whether a row is a remark for people."""
    return bool(cells) and cells[0].lstrip("\"' ").startswith("# ")


def _header(cells: list[str], row: int, shape: TableShape, reading: Reading) -> list[str]:
    names = [cell.strip() for cell in cells]
    while names and not names[-1]:
        names.pop()
    known = [*shape.required, *shape.optional]
    for name in dict.fromkeys(names):
        if name not in known:
            reading.faults.append(
                Fault(FilePlace(shape.file, row, name), say("unknown column {name}", name=repr(name)), ", ".join(known))
            )
        elif names.count(name) > 1:
            reading.faults.append(
                Fault(FilePlace(shape.file, row, name), say("the column {name} stands twice", name=repr(name)))
            )
    for name in shape.required:
        if name not in names:
            reading.faults.append(
                Fault(
                    FilePlace(shape.file, row, name),
                    say("the column {name} is missing", name=repr(name)),
                    ", ".join(known),
                )
            )
    return names


def _row(cells: list[str], header: list[str], row: Row) -> Row:
    padded = cells + [""] * (len(header) - len(cells))
    if any(cell.strip() for cell in cells[len(header) :]):
        row.fault(
            "",
            say("{cells} cells under {columns} columns", cells=len(cells), columns=len(header)),
            say("a cell with a separator in it is quoted"),
        )
    row.fill(dict(zip(header, padded, strict=False)))
    return row


def _refuse_duplicates(rows: tuple[Row, ...], shape: TableShape) -> None:
    seen: dict[tuple[str, ...], int] = {}
    for row in rows:
        key = tuple(row.cells.get(name, "") for name in shape.key)
        if shape.key and any(key):
            if key in seen:
                row.fault(
                    shape.key[0],
                    say("{key} stands in row {row} already", key=repr(" ".join(key)), row=seen[key]),
                    say("one row each"),
                )
            seen.setdefault(key, row.number)
