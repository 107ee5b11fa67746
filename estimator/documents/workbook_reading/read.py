"""Read a workbook back: only the cells that may be changed, against what the engine wrote in them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from decimal import Decimal, InvalidOperation

from estimator.comparison.records import Offer
from estimator.documents.header import QuoteHeader
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.entries import Entry, Field
from estimator.documents.workbook.sheets.provenance import LAYOUT, PROVENANCE_SHEET
from estimator.documents.workbook.write import drafted
from estimator.documents.workbook_reading.added import added_changes
from estimator.documents.workbook_reading.archive import Archive
from estimator.documents.workbook_reading.cells import Cell, read_cells, sheet_parts
from estimator.documents.workbook_reading.changes import Change, Figure, NotTaken, WorkbookChanges
from estimator.documents.workbook_reading.figures import FormulaCell, Taking, UnfitCell, figure_in, kept_digits
from estimator.documents.workbook_reading.identity import check_identity
from estimator.documents.workbook_reading.untaken import REASONS, untaken_cells
from estimator.documents.xlsx.plain_text import plain
from estimator.errors import Fault
from estimator.sentences import placed, say

_EMPTY: dict[Field, Figure | UnfitCell] = {
    "struck": False,
    "line_discount": Decimal(0),
    "ordered": UnfitCell(say("the quantity is missing"), say("a whole number; to strike a line, mark it struck")),
}
Cells = Mapping[tuple[str, str], Cell]
BESIDE = 50_000
"""Cells that people may have filled in besides those that were written."""


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
    as_today = check_identity(archive, offer, header) == LAYOUT
    draft = drafted(offer, header, "estimator")
    if not as_today:
        draft.entries[:] = [entry for entry in draft.entries if entry.field != "override"]
    titles = [title for title in sheet_parts(archive) if title != PROVENANCE_SHEET]
    written = [sheet.title for sheet in draft.workbook.worksheets if sheet.title != PROVENANCE_SHEET]
    held = sum(len(draft.workbook[title]._cells) for title in written)
    cells = read_cells(archive, dict.fromkeys(written), held + BESIDE)
    taking = Taking(draft.book.price_places, draft.t("yes"), draft.t("no"))
    found = _line_and_rate_changes(draft, cells, taking)
    added = added_changes(draft, cells, taking)
    untaken, more = untaken_cells(draft, cells, titles, as_today=as_today)
    changes = (*found.changes, *added.changes)
    vain = (*found.not_taken, *added.not_taken, *_lost_words(draft, changes), *untaken)
    faults = (*found.faults, *added.faults)
    return WorkbookChanges(changes, faults, vain, more, _sheet_total(draft, cells))


def _line_and_rate_changes(draft: Draft, cells: Cells, taking: Taking) -> WorkbookChanges:
    """Changes of the quote's rates, of the lines that stand in the takeoff, and of words for failed checks."""
    changes: list[Change] = []
    faults: list[Fault] = []
    vain: list[NotTaken] = []
    reasons = _reasons(draft, cells, taking)
    struck = {change.part for change in _struck_lines(draft, cells, taking)}
    for entry in _own_entries(draft.entries):
        found = _moved(entry, cells) or figure_in(cells.get((entry.sheet, entry.cell)), entry.field, taking)
        if isinstance(found, FormulaCell):
            vain.append(_formula_not_taken(entry, found))
        elif isinstance(found, UnfitCell):
            faults.append(_fault(entry, found))
        elif entry.part not in struck or entry.field == "struck":
            new = _checked(entry, found, draft)
            if isinstance(new, UnfitCell):
                faults.append(_fault(entry, new))
            elif not _stands(new, _held(entry, taking)):
                changes.append(_change(entry, new, taking, reasons))
    vain += _lone_reasons(draft, cells, taking, {change.part for change in changes})
    return WorkbookChanges(tuple(changes), tuple(_once(faults)), tuple(vain))


def _change(entry: Entry, new: Figure, taking: Taking, reasons: Mapping[str, Figure | UnfitCell]) -> Change:
    reason = reasons.get(entry.row_part) if entry.row_part else ""
    text = reason if isinstance(reason, str) else ""
    place = f"{entry.sheet}!{entry.cell}"
    return Change(entry.part, entry.field, _held(entry, taking), new, place, text, entry.check)


def _reasons(draft: Draft, cells: Cells, taking: Taking) -> dict[str, Figure | UnfitCell]:
    """What stands beside each line as its reason, by the cell that names the line's part."""
    return {
        entry.row_part: figure_in(cells.get((entry.sheet, entry.cell)), "reason", taking)
        for entry in draft.entries
        if entry.field == "reason" and entry.part
    }


def _lone_reasons(draft: Draft, cells: Cells, taking: Taking, changed: Set[str]) -> Iterator[NotTaken]:
    """Reasons beside lines in which nothing was changed, and formulas in the place of a reason."""
    for entry in draft.entries:
        if entry.field == "reason" and entry.part and entry.part not in changed:
            found = figure_in(cells.get((entry.sheet, entry.cell)), "reason", taking)
            if isinstance(found, FormulaCell):
                yield _formula_not_taken(entry, found)
            elif isinstance(found, str) and found:
                yield NotTaken(
                    entry.part, None, found[:60], f"{entry.sheet}!{entry.cell}", REASONS["reason"], kind="reason"
                )


def _formula_not_taken(entry: Entry, found: FormulaCell) -> NotTaken:
    held = entry.held if isinstance(entry.held, (str, Decimal)) or entry.held is None else Decimal(entry.held)
    place = f"{entry.sheet}!{entry.cell}"
    return NotTaken(entry.part or entry.field, held, found.message, place, REASONS["formula"], kind="formula")


def _lost_words(draft: Draft, changes: Sequence[Change]) -> Iterator[NotTaken]:
    """Words for checks about a part whose line was changed here, and that were not given again."""
    parts = {change.part for change in changes if change.part}
    anew = {change.check for change in changes if change.check is not None}
    for entry in draft.entries:
        if entry.check is not None and entry.held and entry.check[1].part in parts and entry.check not in anew:
            place = f"{entry.sheet}!{entry.cell}"
            yield NotTaken(entry.check[1].part, None, str(entry.held)[:60], place, REASONS["override"], kind="override")


def _sheet_total(draft: Draft, cells: Cells) -> Decimal | None:
    """The total as the file shows it; None where no figure stands behind the formula."""
    place = next((place for place, shown in draft.shown.items() if shown.about == "GrandTotal"), None)
    cell = cells.get(place) if place else None
    try:
        return kept_digits(Decimal(cell.text.strip())).normalize() if cell is not None and cell.text.strip() else None
    except InvalidOperation:
        return None


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
    message = say("the row of part {part} now names {found}", part=entry.part, found=repr(found))
    return UnfitCell(message, say("rows in the order they were written"), at=entry.row_part)


def _checked(entry: Entry, found: Figure, draft: Draft) -> Figure | UnfitCell:
    """What an empty cell means: nothing where that is a value, a fault where a figure must stand."""
    if found is not None:
        return found
    by_markup = draft.bill.pricing_method == "markup"
    if entry.field in ("unit_price", "override") or (entry.field == "margin" and by_markup):
        return None
    if entry.field in _EMPTY:
        return _EMPTY[entry.field]
    return UnfitCell(say("the cell is empty"), say("a figure; 0 % for none"))


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
    about = say("part {part}", part=entry.part) if entry.part else ""
    return Fault(f"{entry.sheet}!{unfit.at or entry.cell}", placed(about, unfit.message), unfit.allowed)


def _once(faults: list[Fault]) -> list[Fault]:
    """A moved row is one fault, not one for each of its cells."""
    seen: dict[str, Fault] = {}
    for fault in faults:
        seen.setdefault(fault.pointer, fault)
    return list(seen.values())
