"""The files of a shipped book, and changes to single cells as an estimator would make them."""

import csv
import io

from estimator.contract.fault_codes import code_of
from estimator.demo import books_folder
from estimator.errors import Fault, PricebookRefused
from estimator.sentences import Sentence
from estimator.storage.books import files_of_folder, read_book_files

US = books_folder() / "prairie-us" / "2026-12"
EU = books_folder() / "hanse-eu" / "2026-12"


def us_files() -> dict[str, bytes]:
    """The US book, comma-separated."""
    return files_of_folder(US)


def records_of(files: dict[str, bytes], table: str) -> list[list[str]]:
    """A comma-separated table as lists of cells."""
    return list(csv.reader(io.StringIO(files[table].decode())))


def written(records: list[list[str]], separator: str = ",", line_end: str = "\n") -> bytes:
    """Lists of cells as a table."""
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator=line_end).writerows(records)
    return out.getvalue().encode()


def with_cell(table: str, row: int, column: str, value: str, files: dict[str, bytes] | None = None) -> dict[str, bytes]:
    """The US book (or ``files``) with one cell changed; rows as a spreadsheet counts them."""
    files = dict(files or us_files())
    records = records_of(files, table)
    if column not in records[0]:
        records = [[*record, column if index == 0 else ""] for index, record in enumerate(records)]
    records[row - 1][records[0].index(column)] = value
    return files | {table: written(records)}


def without_row(table: str, row: int) -> dict[str, bytes]:
    """The US book with one row deleted."""
    files = us_files()
    records = records_of(files, table)
    del records[row - 1]
    return files | {table: written(records)}


def with_row(table: str, **cells: str) -> dict[str, bytes]:
    """The US book with a row added at the end."""
    files = us_files()
    records = records_of(files, table)
    assert set(cells) <= set(records[0])
    return files | {table: written([*records, [cells.get(name, "") for name in records[0]]])}


def with_head(old: str, new: str) -> dict[str, bytes]:
    """The US book with a line of its head changed."""
    files = us_files()
    assert old.encode() in files["book.toml"]
    return files | {"book.toml": files["book.toml"].replace(old.encode(), new.encode())}


def row_of(table: str, column: str, value: str) -> int:
    """The first row of the US book with that cell, as a spreadsheet counts."""
    records = records_of(us_files(), table)
    place = records[0].index(column)
    return next(number for number, record in enumerate(records, start=1) if record[place] == value)


def faults_in(files: dict[str, bytes]) -> list[tuple[str, Sentence, str]]:
    """Pointer, message and allowed of every fault; none where the book is read."""
    try:
        read_book_files(files)
    except PricebookRefused as refused:
        return [(fault.pointer, fault.message, fault.allowed) for fault in refused.faults]
    return []


def codes_in(files: dict[str, bytes]) -> list[tuple[str, str]]:
    """Pointer and code of every fault; none where the book is read."""
    return [(pointer, code_of(Fault(pointer, message, allowed))) for pointer, message, allowed in faults_in(files)]
