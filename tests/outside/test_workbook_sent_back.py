"""A workbook edited, recalculated by two spreadsheet programs and sent back: its total, protection and causes.

Source: LibreOffice and formualizer reckon the sheet's own formulas; the account must add up to their totals."""

import io
from dataclasses import replace
from decimal import Decimal
from functools import cache

import openpyxl
import pytest

from estimator.comparison import offer_again
from estimator.documents.workbook import drafted, write_workbook
from estimator.documents.workbook_reading import account, read_workbook
from estimator.job import Alternate, Choices, OptionChoice
from tests.documents.quotes_to_write import DAY, HEAD, edited, entry_cell, the_offer, the_workbook
from tests.outside.spreadsheets import by_formualizer, by_libreoffice
from tests.searches import SEARCHES

UNTAKEN = [
    {("unit_cost", "B-AL"): 5},
    {("line_price", "SC-AL"): 99},
    {("unit_price", "CC-1"): 0.5},
    {("rate", "TaxRate"): 0.1},
    {("labour", "LabourRate"): 60},
    {("labour", "brackets", "minutes"): 6},
    {("total", "FreightTotal"): 10},
    {("total", "BeforeTax"): 2000},
    {("unit_cost", "B-AL"): 5, ("line_price", "SC-AL"): 99, ("total", "TaxTotal"): 1},
]
"""Figures that nobody may change, by kind, what they are about and the detail, with what is written in their place."""


@cache
def _taken():
    return {
        entry_cell("ordered", "B-AL"): "=100+25",
        entry_cell("line_discount", "N-1"): 0.125,
        entry_cell("margin"): 0.28,
    }


@cache
def _shown():
    """Where each figure stands."""
    shown = drafted(the_offer(), HEAD, "estimator").shown
    return {(each.kind, each.about, *filter(None, [each.detail])): place for place, each in shown.items()}


def _untaken(at):
    return {_shown()[name]: value for name, value in UNTAKEN[at].items()}


@pytest.fixture(scope="module")
def sheets(tmp_path_factory):
    """The workbook with what is taken, and then with each of what is not, recalculated by LibreOffice in one call."""
    edits = [_taken(), *({**_taken(), **_untaken(at)} for at in range(len(UNTAKEN)))]
    files = [edited(the_workbook(), each) for each in edits]
    return files, by_libreoffice(files, tmp_path_factory.mktemp("sheets"))


def _account(content):
    before = the_offer()
    changes = read_workbook(content, before, HEAD)
    assert {change.field for change in changes.changes} == {"margin", "ordered", "line_discount"}
    return _account_of(changes)


def _account_of(changes):
    before = the_offer()
    after = offer_again(before, changes.applied(before.estimate.choices), DAY, SEARCHES)
    found = account(changes, before, before, after)
    difference = found.revision_total.amount - found.sheet_total.amount
    assert sum((cause.amount.amount for cause in found.causes), Decimal(0)) == difference
    return found


def test_the_sheets_total_is_the_revisions_where_everything_was_taken(sheets):
    for content in (sheets[1][0], by_formualizer(sheets[0][0])):
        found = _account(content)
        assert not found.reckoned
        assert {cause.cause for cause in found.causes} <= {"other_cut_plan"}


@pytest.mark.parametrize("at", range(len(UNTAKEN)))
def test_every_change_that_is_not_taken_is_told_in_money(sheets, at):
    """The second engine takes no figure in the place of a table's formula, so it reckons the others only."""
    in_a_table = any(place[0] in ("Pricing", "Labor") and place[1] != "B4" for place in _untaken(at))
    by_second = [] if in_a_table else [by_formualizer(sheets[0][at + 1])]
    for content in (sheets[1][at + 1], *by_second):
        found = _account(content)
        causes = [cause for cause in found.causes if cause.cause != "other_cut_plan"]
        assert [cause.cause for cause in causes] == ["change_not_taken"] * len(UNTAKEN[at])
        assert {cause.cell for cause in causes} == {"!".join(place) for place in _untaken(at)}


def test_a_file_that_was_not_recalculated_is_told_as_such():
    """A program that changes a cell and leaves the old figures behind the formulas shows the old total."""
    old = read_workbook(the_workbook(), the_offer(), HEAD).sheet_total
    assert old == the_offer().estimate.bill.totals.total.amount
    changes = read_workbook(edited(the_workbook(), {entry_cell("discount"): 0.2}), the_offer(), HEAD)
    found = _account_of(replace(changes, sheet_total=old))
    assert [cause.cause for cause in found.causes] == ["not_recalculated"]


@pytest.mark.parametrize("edition", ["estimator", "customer"])
def test_sheets_stay_protected_but_for_tinted_cells_after_a_round_trip(edition, tmp_path):
    content = write_workbook(the_offer(), HEAD, edition)
    open_cells = {(each.sheet, each.cell) for each in drafted(the_offer(), HEAD, edition).entries}
    for written in (content, by_libreoffice([content], tmp_path)[0]):
        book = openpyxl.load_workbook(io.BytesIO(written))
        assert all(sheet.protection.sheet for sheet in book)
        assert not any(sheet.protection.password for sheet in book)
        unlocked = {(sheet.title, cell.coordinate) for sheet in book for row in sheet.iter_rows() for cell in row
                    if not cell.protection.locked}  # fmt: skip
        assert unlocked == open_cells
        texts = [str(cell.value) for row in book["Summary"].iter_rows() for cell in row]
        assert any("protected, without a password" in text for text in texts)


def test_options_and_alternates_of_the_quote_are_those_of_the_revision():
    """An alternate in the total is a line without counts behind it; an option is priced beside the quote."""
    choices = Choices(alternates=(Alternate("J-1", 3, included=True),), options=(OptionChoice(arrangement="direct"),))
    before = the_offer(choices)
    draft = drafted(before, HEAD, "estimator")
    discount = next((each.sheet, each.cell) for each in draft.entries if each.field == "discount")
    changes = read_workbook(edited(write_workbook(before, HEAD), {discount: 0.2}), before, HEAD)
    after = offer_again(before, changes.applied(before.estimate.choices), DAY, SEARCHES)
    assert [each.letter for each in after.options] == [each.letter for each in before.options] == ["B"]
    found = account(changes, before, before, after)
    assert (found.causes, found.sheet_total) == ((), after.estimate.bill.totals.total)


def test_the_cut_plan_is_the_same_object_of_search_while_nothing_it_hangs_on_changed():
    old = the_offer()
    before = old.estimate
    again = offer_again(old, replace(before.choices, discount=Decimal("0.1")), DAY).estimate
    assert again.cut_plan == replace(before.cut_plan, kept="whole")
    assert again.mounting == before.mounting
    other = offer_again(old, replace(before.choices, margin=Decimal("0.5")), DAY).estimate
    assert other.cut_plan.cost != before.cut_plan.cost
    assert Choices() != before.choices
