"""Lines that the estimator added on the free rows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.entries import Entry, Field
from estimator.documents.workbook_reading.cells import Cell
from estimator.documents.workbook_reading.changes import Change, Figure, NotTaken, WorkbookChanges
from estimator.documents.workbook_reading.figures import FormulaCell, Taking, UnfitCell, figure_in
from estimator.documents.workbook_reading.untaken import REASONS
from estimator.documents.xlsx.plain_text import plain
from estimator.errors import Fault
from estimator.sentences import say


@dataclass(frozen=True, slots=True)
class _FreeRow:
    """One free row: its entries by field, and what was found in them."""

    entries: Mapping[Field, Entry]
    found: Mapping[Field, Figure | UnfitCell]

    def place(self, field: Field) -> str:
        entry = self.entries[field]
        return f"{entry.sheet}!{entry.cell}"


def added_changes(draft: Draft, cells: Mapping[tuple[str, str], Cell], taking: Taking) -> WorkbookChanges:
    """Every added line as changes: its quantity, and its price and discount where they were given.

    A row with a formula that is not read is not taken as a whole: half a line would be another one.
    """
    changes: list[Change] = []
    faults: list[Fault] = []
    vain: list[NotTaken] = []
    names = {plain(part): part for part in draft.book.parts}
    taken = {line.line.part for line in draft.bill.lines}
    for row in _rows(draft, cells, taking):
        if any(isinstance(found, FormulaCell) for found in row.found.values()):
            vain += _vain_row(row)
            continue
        wrong = _faults_of(row, names, taken)
        faults += wrong
        if not wrong and row.found["added_part"] is not None:
            part = names[str(row.found["added_part"])]
            taken.add(part)
            changes += _changes_of(row, part)
    return WorkbookChanges(tuple(changes), tuple(faults), tuple(vain))


def _vain_row(row: _FreeRow) -> Iterator[NotTaken]:
    part = str(row.found["added_part"] or "") if not isinstance(row.found["added_part"], UnfitCell) else ""
    for field, found in row.found.items():
        if isinstance(found, FormulaCell):
            yield NotTaken(part, None, found.message, row.place(field), REASONS["formula"], kind="formula")
        elif found is not None:
            text = found.message if isinstance(found, UnfitCell) else str(found)
            yield NotTaken(part, None, text[:60], row.place(field), REASONS["row"], kind="row")


def _rows(draft: Draft, cells: Mapping[tuple[str, str], Cell], taking: Taking) -> list[_FreeRow]:
    by_row: dict[int, dict[Field, Entry]] = {}
    for entry in draft.entries:
        if entry.added_row is not None:
            by_row.setdefault(entry.added_row, {})[entry.field] = entry
    return [
        _FreeRow(
            entries, {field: figure_in(cells.get((e.sheet, e.cell)), field, taking) for field, e in entries.items()}
        )
        for entries in by_row.values()
    ]


def _faults_of(row: _FreeRow, names: Mapping[str, str], taken: set[str]) -> list[Fault]:
    faults = [
        Fault(row.place(field), found.message, found.allowed)
        for field, found in row.found.items()
        if isinstance(found, UnfitCell)
    ]
    if faults or all(found is None for found in row.found.values()):
        return faults
    return _faults_together(row, names, taken)


def _faults_together(row: _FreeRow, names: Mapping[str, str], taken: set[str]) -> list[Fault]:
    """Faults of a row whose cells are each right by themselves."""
    part, ordered = row.found["added_part"], row.found["ordered"]
    if part is None:
        return [Fault(row.place("added_part"), say("the row names no part"), say("a part of the price list"))]
    if str(part) not in names:
        return [Fault(row.place("added_part"), say("part {part} is not in the price list", part=repr(str(part)[:60])))]
    if names[str(part)] in taken:
        text = say("part {part} has a line already", part=str(part))
        return [Fault(row.place("added_part"), text, say("a change of that line, or one free row for each part"))]
    if not ordered:
        return [
            Fault(
                row.place("ordered"),
                say("part {part}: the quantity is missing", part=str(part)),
                say("a whole number from 1 on"),
            )
        ]
    return []


def _changes_of(row: _FreeRow, part: str) -> list[Change]:
    found = row.found
    reason = str(found["reason"] or "")
    changes = [Change(part, "added_part", None, _figure(found["ordered"]), row.place("added_part"), reason)]
    if found["unit_price"] is not None:
        changes.append(Change(part, "unit_price", None, _figure(found["unit_price"]), row.place("unit_price"), reason))
    if found["line_discount"]:
        discount = _figure(found["line_discount"])
        changes.append(Change(part, "line_discount", Decimal(0), discount, row.place("line_discount"), reason))
    return changes


def _figure(found: Figure | UnfitCell) -> Figure:
    assert not isinstance(found, UnfitCell)
    return found
