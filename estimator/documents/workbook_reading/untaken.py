"""What was changed in a workbook where nothing may be filled in: every such cell is told, with why it is not taken."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.entries import Kind, Locked
from estimator.documents.workbook.sheets.provenance import PROVENANCE_SHEET
from estimator.documents.workbook_reading.cells import Cell
from estimator.documents.workbook_reading.changes import NotTaken
from estimator.documents.workbook_reading.figures import kept_digits
from estimator.documents.xlsx.plain_text import plain
from estimator.sentences import Sentence, say

MOST = 200
"""Cells told one by one; the rest is counted."""
REASONS: dict[Kind, Sentence] = {
    "unit_cost": say("the pricebook says what a part costs: give the line a price, or put the cost into a new edition"),
    "list_price": say("the pricebook says the list price: give the line a price, or put it into a new edition"),
    "unit_price": say("it follows from cost and margin: type it into the tinted column for a given price"),
    "line_price": say("it is quantity x unit price less discount: change one of these"),
    "line_cost": say("it follows from quantity and unit cost"),
    "quantity": say("it follows from the tinted cells for the ordered quantity and for striking"),
    "total": say("totals follow from the lines, the rates, freight and labour"),
    "rate": say("the pricebook decides it"),
    "validity": say("how long a quote holds is a choice of the quote: revise it with validity_days"),
    "labour": say("the pricebook's table of labour decides it"),
    "freight": say("the pricebook's table of freight decides it"),
    "reason": say("a reason alone changes nothing: it goes with a change of its line"),
    "formula": say("a formula other than plain arithmetic is not read: type the figure"),
    "row": say("its row holds a formula that is not read"),
    "override": say("its line was changed in this workbook: override the check again, for what is ordered now"),
    "option": say(
        "what is edited is option A: its changes hold in every option where they fit; an option's own way of "
        "building is a choice of the quote"
    ),
    "sheet": say("sheets of your own are not read"),
    "other": say("only the tinted cells are read"),
}
Cells = Mapping[tuple[str, str], Cell]
Written = Any
"""A sheet, or a cell of it, as openpyxl holds it before it is saved."""


def untaken_cells(
    draft: Draft, cells: Cells, titles: list[str], *, as_today: bool = True
) -> tuple[list[NotTaken], int]:
    """Every locked or foreign cell that was changed, the first of them one by one, and how many more there are.

    Args:
        draft: the workbook as it was written.
        cells: every cell of the file's sheets.
        titles: the file's sheets.
        as_today: whether its sheets are arranged as they are today; else only the figures of its lines are compared,
            which stand where they stand today.

    """
    entries = {(entry.sheet, entry.cell) for entry in draft.entries}
    written = {sheet.title: sheet for sheet in draft.workbook.worksheets if sheet.title != PROVENANCE_SHEET}
    found = [
        NotTaken(title, None, title, title, REASONS["sheet"], kind="sheet")
        for title in titles
        if title not in written and title != PROVENANCE_SHEET
    ]
    if not as_today:
        written = {title: written[title] for title in {entry.sheet for entry in draft.entries if entry.part}}
        found = []
    for title, sheet in written.items():
        found += _of_sheet(
            draft, title, sheet, {cell: each for (at, cell), each in cells.items() if at == title}, entries
        )
    return found[:MOST], max(0, len(found) - MOST)


def _of_sheet(
    draft: Draft,
    title: str,
    sheet: Written,
    cells: Mapping[str, Cell],
    entries: set[tuple[str, str]],
) -> Iterator[NotTaken]:
    values = draft.values.get(title, {})
    masters = {cell.shared: place for place, cell in cells.items() if cell.shared and cell.formula}
    seen: set[str] = set()
    for written in list(sheet._cells.values()):
        place = written.coordinate
        seen.add(place)
        if (title, place) in entries:
            continue
        found = cells.get(place)
        if written.data_type == "f":
            same = found is not None and _same_formula(sheet, written, found, masters)
        else:
            same = _same_constant(written._value, found)
        if not same:
            held = values.get(place) if written.data_type == "f" else written._value
            yield _not_taken(draft, sheet, (title, place), held, found)
    for place, found in cells.items():
        if place not in seen and (found.text.strip() or found.has_formula):
            yield _not_taken(draft, sheet, (title, place), None, found)


def _same_formula(sheet: Written, written: Written, found: Cell, masters: Mapping[str, str]) -> bool:
    if not found.has_formula:
        return False
    if found.shared and not found.formula:  # it says what the first cell that shares it says
        return found.shared in masters
    return _bare(found.formula) == _bare(str(written._value))


def _bare(formula: str) -> str:
    """A formula without what programs write one way or the other."""
    return "".join(formula.split()).removeprefix("=").replace("_xlfn.", "").casefold()


def _same_constant(held: object, found: Cell | None) -> bool:
    text = "" if found is None else found.text
    if found is not None and found.has_formula:
        return False
    if held is None or held == "":
        return not text.strip()
    if isinstance(held, bool):
        return text.strip().casefold() in (("1", "true") if held else ("0", "false"))
    if isinstance(held, (int, float, Decimal)):
        return _same_number(text, Decimal(str(held)))
    return _words(text) == _words(plain(str(held)))


def _same_number(text: str, held: Decimal) -> bool:
    try:
        return kept_digits(Decimal(text.strip())) == kept_digits(held)
    except InvalidOperation:
        return False


def _words(text: str) -> str:
    """Texts are the same whatever a program made of their white space."""
    return " ".join(text.replace("_x000D_", " ").split())


def _not_taken(
    draft: Draft,
    sheet: Written,
    place: tuple[str, str],
    held: object,
    found: Cell | None,
) -> NotTaken:
    title, cell = place
    shown = draft.shown.get(place) or _by_sheet(draft, sheet, place)
    text = "" if found is None else f"={found.formula}" if found.has_formula else found.text
    kept = Decimal(str(held)) if isinstance(held, (int, float, Decimal)) and not isinstance(held, bool) else None
    old = kept if kept is not None else str(held)[:60] if held not in (None, "") else None
    return NotTaken(
        shown.about or label_of(sheet, cell),
        old,
        text[:60],
        f"{title}!{cell}",
        REASONS[shown.kind],
        shown.kind,
        shown.detail,
    )


def _by_sheet(draft: Draft, sheet: Written, place: tuple[str, str]) -> Locked:
    """What a cell is that nobody noted: by its sheet, or by the label beside it."""
    title, cell = place
    kinds: dict[str, Kind] = {draft.t("Freight"): "freight", draft.t("Labour"): "labour"}
    kinds |= {draft.t("Price list"): "unit_cost", draft.t("Price breaks"): "unit_cost"}
    label = label_of(sheet, cell)
    if title in _sheets_of_options(draft):
        return Locked("option", label, title)
    if label == draft.t("Valid until"):
        return Locked("validity", label)
    return Locked(kinds.get(title, "other"), label)


def _sheets_of_options(draft: Draft) -> set[str]:
    letters = [draft.t("Option {letter}", letter=option.letter) for option in draft.offer.options]
    return {draft.t("Options"), *letters} if letters else set()


def label_of(sheet: Written, cell: str) -> str:
    """The nearest text to the left in the row."""
    letters = cell.rstrip("0123456789")
    row, column = int(cell[len(letters) :]), 0
    for letter in letters:
        column = column * 26 + ord(letter) - 64
    for left in range(column - 1, 0, -1):
        beside = sheet._cells.get((row, left))
        if beside is not None and beside.data_type == "s" and beside._value:
            return str(beside._value)[:60]
    return ""
