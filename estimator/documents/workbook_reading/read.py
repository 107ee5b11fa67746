"""Read a workbook back: only the cells that may be changed, against what the engine wrote in them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal, InvalidOperation

from estimator.comparison.records import Offer
from estimator.documents.header import QuoteHeader
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.entries import Entry, Field
from estimator.documents.workbook.write import drafted
from estimator.documents.workbook_reading.added import added_changes
from estimator.documents.workbook_reading.archive import Archive
from estimator.documents.workbook_reading.cells import Cell, read_cells
from estimator.documents.workbook_reading.changes import Change, Figure, NotTaken, WorkbookChanges
from estimator.documents.workbook_reading.figures import Taking, UnfitCell, figure_in, kept_digits
from estimator.documents.workbook_reading.identity import check_identity
from estimator.documents.xlsx.plain_text import plain
from estimator.errors import Fault

_EMPTY: dict[Field, Figure | UnfitCell] = {
    "struck": False,
    "line_discount": Decimal(0),
    "ordered": UnfitCell("the quantity is missing", "a whole number; to strike a line, mark it struck"),
}
Cells = Mapping[tuple[str, str], Cell]


def read_workbook(content: bytes, offer: Offer, header: QuoteHeader) -> WorkbookChanges:
    """Every change an estimator made in the workbook of this offer.

    Args:
        content: the file as it was sent back, whatever it is.
        offer: the offer the workbook was written from.
        header: the quote's head as it stands now.

    Raises:
        Refused: the file is broken, too large, encrypted, of another quote, or the customer's edition.
        StaleVersion: the file is of an older revision.

    Faults in single cells come back with the changes, all at once.

    """
    archive = Archive(content)
    check_identity(archive, offer, header)
    draft = drafted(offer, header, "estimator")
    cells = read_cells(archive, _wanted(draft))
    taking = Taking(draft.book.price_places, draft.t("yes"), draft.t("no"))
    changes, faults = _line_and_rate_changes(draft, cells, taking)
    added, added_faults = added_changes(draft, cells, taking)
    return WorkbookChanges((*changes, *added), (*faults, *added_faults), _not_taken(draft, cells))


def _wanted(draft: Draft) -> dict[str, set[str]]:
    wanted: dict[str, set[str]] = {}
    for entry in draft.entries:
        wanted.setdefault(entry.sheet, set()).update({entry.cell, entry.row_part} - {""})
    for fixed in draft.fixed:
        wanted.setdefault(fixed.sheet, set()).add(fixed.cell)
    return wanted


def _line_and_rate_changes(draft: Draft, cells: Cells, taking: Taking) -> tuple[list[Change], list[Fault]]:
    """Changes of the quote's rates and of the lines that stand in the takeoff."""
    changes: list[Change] = []
    faults: list[Fault] = []
    reasons = {
        entry.row_part: figure_in(cells.get((entry.sheet, entry.cell)), "reason", taking)
        for entry in draft.entries
        if entry.field == "reason" and entry.part
    }
    struck = {change.part for change in _struck_lines(draft, cells, taking)}
    for entry in _own_entries(draft.entries):
        found = _moved(entry, cells) or figure_in(cells.get((entry.sheet, entry.cell)), entry.field, taking)
        if isinstance(found, UnfitCell):
            faults.append(_fault(entry, found))
            continue
        if entry.part in struck and entry.field != "struck":
            continue
        new = _checked(entry, found, draft)
        if isinstance(new, UnfitCell):
            faults.append(_fault(entry, new))
        elif not _stands(new, _held(entry, taking)):
            reason = reasons.get(entry.row_part)
            place = f"{entry.sheet}!{entry.cell}"
            text = reason if isinstance(reason, str) else ""
            changes.append(Change(entry.part, entry.field, _held(entry, taking), new, place, text))
    return changes, _once(faults)


def _own_entries(entries: Sequence[Entry]) -> list[Entry]:
    return [entry for entry in entries if entry.added_row is None and entry.field != "reason"]


def _struck_lines(draft: Draft, cells: Cells, taking: Taking) -> list[Change]:
    return [
        Change(entry.part, "struck", False, True, f"{entry.sheet}!{entry.cell}")
        for entry in draft.entries
        if entry.field == "struck" and figure_in(cells.get((entry.sheet, entry.cell)), "struck", taking) is True
    ]


def _moved(entry: Entry, cells: Cells) -> UnfitCell | None:
    """A row that no longer names its part: rows were inserted, deleted or sorted in spite of the protection."""
    if not entry.row_part:
        return None
    named = cells.get((entry.sheet, entry.row_part))
    if named is not None and named.text == plain(entry.part):
        return None
    found = named.text[:60] if named is not None else ""
    message = f"the row of part {entry.part} now names {found!r}"
    return UnfitCell(message, "rows in the order they were written", at=entry.row_part)


def _checked(entry: Entry, found: Figure, draft: Draft) -> Figure | UnfitCell:
    """What an empty cell means: nothing where that is a value, a fault where a figure must stand."""
    if found is not None:
        return found
    by_markup = draft.bill.pricing_method == "markup"
    if entry.field == "unit_price" or (entry.field == "margin" and by_markup):
        return None
    if entry.field in _EMPTY:
        return _EMPTY[entry.field]
    return UnfitCell("the cell is empty", "a figure; 0 % for none")


def _held(entry: Entry, taking: Taking) -> Figure:
    """What the engine wrote, as the reading gives it."""
    if entry.field == "struck":
        return False
    if entry.field in ("freight", "labour"):
        return entry.held == taking.yes
    return entry.held


def _stands(new: Figure, held: Figure) -> bool:
    """Whether a figure is still the engine's, to the digits that a spreadsheet keeps."""
    if isinstance(new, Decimal) and isinstance(held, Decimal):
        return kept_digits(new) == kept_digits(held)
    return new == held


def _fault(entry: Entry, unfit: UnfitCell) -> Fault:
    about = f"part {entry.part}: " if entry.part else ""
    return Fault(f"{entry.sheet}!{unfit.at or entry.cell}", f"{about}{unfit.message}", unfit.allowed)


def _once(faults: list[Fault]) -> list[Fault]:
    """A moved row is one fault, not one for each of its cells."""
    seen: dict[str, Fault] = {}
    for fault in faults:
        seen.setdefault(fault.pointer, fault)
    return list(seen.values())


def _not_taken(draft: Draft, cells: Cells) -> tuple[NotTaken, ...]:
    """Figures of the pricebook that were changed in the file; they stay as they were."""
    found = []
    for fixed in draft.fixed:
        cell = cells.get((fixed.sheet, fixed.cell))
        text = cell.text if cell is not None else ""
        if not _same(text, fixed.held):
            found.append(NotTaken(fixed.name, fixed.held, text[:60], f"{fixed.sheet}!{fixed.cell}"))
    return tuple(found)


def _same(text: str, held: Decimal) -> bool:
    try:
        return abs(Decimal(text.strip()) - held) < Decimal("1E-12")
    except InvalidOperation:
        return False
