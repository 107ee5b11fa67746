"""From the files of an edition to the Book, or to every fault of them at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from estimator.errors import Fault, FilePlace, PricebookRefused
from estimator.pricebook import Book
from estimator.pricebook.checks import faults_of
from estimator.sentences import say
from estimator.storage.books.files import MAX_FILE_BYTES, TABLES, files_of_folder, files_of_zip, files_sha256
from estimator.storage.books.head.head import Head, read_head
from estimator.storage.books.head.logo import logo_of
from estimator.storage.books.rows.misspelt import blame_misspelt
from estimator.storage.books.rows.row import Reading, Row
from estimator.storage.books.rows.table import read_table
from estimator.storage.books.tables.brackets import BRACKETS, JOINTS, TESTS, BracketTables, brackets_of
from estimator.storage.books.tables.parts import BREAKS, PARTS, SUPPLIERS, parts_of, suppliers_of
from estimator.storage.books.tables.rails import CLAMPS, RAILS, SPLICES, STOCK, clamps_of, rails_of, splices_of
from estimator.storage.books.tables.rules import FREIGHT, LABOUR, RULES, Known, freight_of, labour_of, rules_of
from estimator.storage.books.tables.texts import TEXTS, texts_of

FORMS = (
    PARTS,
    BREAKS,
    BRACKETS,
    TESTS,
    JOINTS,
    RAILS,
    STOCK,
    CLAMPS,
    SPLICES,
    RULES,
    SUPPLIERS,
    FREIGHT,
    LABOUR,
    TEXTS,
)
_DEFINED = {
    "part": (PARTS.file, "part"),
    "bracket": (BRACKETS.file, "part"),
    "rail": (RAILS.file, "rail"),
    "supplier": (SUPPLIERS.file, "supplier"),
}
"""The table and column that each kind of name comes from."""
Tables = Mapping[str, tuple[Row, ...]]


def read_book(folder: Path) -> Book:
    """The edition in a folder. Refuses (PricebookRefused) with every fault of its files."""
    return read_book_files(files_of_folder(folder))


def read_book_zip(archive: bytes) -> Book:
    """The edition in an uploaded zip. Refuses (PricebookRefused) with every fault of its files."""
    return read_book_files(files_of_zip(archive))


def read_book_files(files: Mapping[str, bytes]) -> Book:
    """The edition in files by name (``book.toml`` and the tables); each table has its own form.

    Refuses (PricebookRefused) with every fault, each at its file, row and column. The hash is of these files.
    """
    reading = Reading()
    large = [
        Fault(FilePlace(name), say("the file is too large"))
        for name, each in files.items()
        if len(each) > MAX_FILE_BYTES
    ]
    if large:
        raise PricebookRefused(say("files too large"), large)
    head = read_head(files, reading)
    for name in sorted(set(files) - {*TABLES, "book.toml", reading.logo}):
        reading.faults.append(
            Fault(FilePlace(name), say("no table of a pricebook is called {name}", name=repr(name)), ", ".join(TABLES))
        )
    head = replace(head, seller=replace(head.seller, logo=logo_of(files, reading)))
    tables = {shape.file: read_table(files, shape, reading) for shape in FORMS}
    book = _assembled(head, tables, files_sha256(files))
    blame_misspelt(reading, {what: (column, tables[file]) for what, (file, column) in _DEFINED.items()})
    faulty = frozenset(fault.file for fault in reading.faults)
    faults = [*reading.faults, *faults_of(book, faulty)]
    if faults:
        named: dict[str, str | int] = {"book": head.id or "?", "edition": head.edition, "count": len(faults)}
        raise PricebookRefused(
            say("pricebook {book} {edition} has {count} faults", **named)
            if len(faults) > 1
            else say("pricebook {book} {edition} has {count} fault", **named),
            faults,
        )
    return book


def _assembled(head: Head, tables: Tables, sha256: str) -> Book:
    suppliers = suppliers_of(tables[SUPPLIERS.file])
    parts = parts_of(tables[PARTS.file], tables[BREAKS.file], suppliers)
    rails = rails_of(tables[RAILS.file], tables[STOCK.file], parts)
    bracket_tables = BracketTables(tables[BRACKETS.file], tables[TESTS.file], tables[JOINTS.file])
    brackets = brackets_of(bracket_tables, parts, rails)
    known = Known(parts, brackets, rails)
    book = Book(
        **{name: getattr(head, name) for name in Head.__dataclass_fields__},
        parts=parts,
        brackets=brackets,
        rails=rails,
        clamps=clamps_of(tables[CLAMPS.file], parts),
        splices=splices_of(tables[SPLICES.file], parts, rails),
        rules=rules_of(tables[RULES.file], known),
        suppliers=suppliers,
        freight=freight_of(tables[FREIGHT.file]),
        labour=labour_of(tables[LABOUR.file], known),
        sha256=sha256,
    )
    return replace(book, texts=texts_of(tables[TEXTS.file], book))
