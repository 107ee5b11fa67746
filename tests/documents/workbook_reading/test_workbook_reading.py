"""A workbook sent back: every change named, every fault at once, nothing else in the file trusted."""

import io
from dataclasses import replace
from decimal import Decimal

import openpyxl
import pytest

from estimator.contract.fault_codes import code_of
from estimator.documents.workbook import write_workbook
from estimator.documents.workbook.write import drafted
from estimator.documents.workbook_reading import Change, WorkbookChanges, read_workbook
from estimator.documents.workbook_reading.changes import merged_lines
from estimator.errors import ChoiceRefused, Refused, StaleWorkbook
from estimator.job import CheckOverride, Choices, LineChange, OptionChoice
from estimator.places import Place
from tests.documents.quotes_to_write import HEAD, edited, entry_cell, the_offer, the_workbook
from tests.facts import facts, refusing


def read(changes=None):
    """What is read from the workbook after some cells were changed."""
    return read_workbook(edited(the_workbook(), changes or {}), the_offer(), HEAD)


def faults_of(found):
    return [(fault.pointer, fault.allowed) for fault in found.faults]


def test_a_workbook_nobody_changed_holds_no_change():
    assert read_workbook(the_workbook(), the_offer(), HEAD) == WorkbookChanges()
    assert read() == WorkbookChanges()


@pytest.mark.parametrize(
    ("field", "part", "typed", "old", "new"),
    [
        ("ordered", "B-AL", 125, 100, 125),
        ("unit_price", "B-AL", 6.1234, None, Decimal("6.1234")),
        ("line_discount", "N-1", 0.125, Decimal(0), Decimal("0.125")),
        ("line_discount", "CC-1", None, Decimal("0.10"), Decimal(0)),
        ("struck", "CC-1", "x", False, True),
        ("margin", "", 0.28, Decimal("0.30"), Decimal("0.28")),
        ("discount", "", 0.14999999999999999, Decimal("0.05"), Decimal("0.15")),
        ("contingency", "", 0, Decimal("0.025"), Decimal(0)),
        ("freight", "", "no", True, False),
        ("labour", "", "no", True, False),
    ],
)
def test_a_changed_cell_is_one_named_change(field, part, typed, old, new):
    sheet, cell = entry_cell(field, part)
    assert read({(sheet, cell): typed}).changes == (Change(part, field, old, new, f"{sheet}!{cell}"),)


def test_a_reason_beside_a_change_goes_with_it():
    changes = {entry_cell("ordered", "B-AL"): 125, entry_cell("reason", "B-AL"): "two rows more"}
    assert read(changes).line_changes == (LineChange("B-AL", ordered=125, reason="two rows more"),)


def test_a_line_added_on_a_free_row_becomes_changes_of_that_part():
    typed = {"added_part": "J-1", "ordered": 7, "unit_price": 2.75, "line_discount": 0.05, "reason": "spares"}
    found = read({entry_cell(field, added_row=4): value for field, value in typed.items()})
    assert found.faults == ()
    assert found.line_changes == (LineChange("J-1", ordered=7, unit_price=Decimal("2.7500"), reason="spares"),)
    assert found.line_discounts == (("J-1", Decimal("0.05")),)


def test_the_changes_are_laid_over_the_choices_of_the_revision_before():
    before = Choices(
        margin=Decimal("0.30"),
        line_changes=(LineChange("B-AL", ordered=200), LineChange("N-1", unit_price=Decimal("0.20"))),
        line_discounts=(("CC-1", Decimal("0.10")), ("N-1", Decimal("0.02"))),
        notes="kept",
    )
    found = read(
        {
            entry_cell("unit_price", "B-AL"): 6.5,
            entry_cell("line_discount", "CC-1"): 0.2,
            entry_cell("discount"): 0.08,
            entry_cell("freight"): "no",
        }
    )
    after = found.applied(before)
    assert after.line_changes == (
        LineChange("B-AL", ordered=200, unit_price=Decimal("6.5000")),
        LineChange("N-1", unit_price=Decimal("0.20")),
    )
    assert dict(after.line_discounts) == {"CC-1": Decimal("0.2"), "N-1": Decimal("0.02")}
    assert (after.margin, after.discount, after.freight, after.notes) == (
        Decimal("0.30"),
        Decimal("0.08"),
        False,
        "kept",
    )


def test_a_price_taken_out_again_and_a_line_struck_leave_nothing_behind():
    given = (LineChange("B-AL", unit_price=Decimal("6")), LineChange("N-1", ordered=5))
    cleared = Change("B-AL", "unit_price", Decimal("6"), None, "Pricing!J7")
    struck = Change("N-1", "struck", False, True, "Pricing!F9")
    assert merged_lines(given, (cleared, struck)) == (LineChange("N-1", struck=True),)


@pytest.mark.parametrize(
    ("field", "part", "typed"),
    [
        ("ordered", "B-AL", -1),
        ("ordered", "B-AL", 2.5),
        ("ordered", "B-AL", "many"),
        ("ordered", "B-AL", None),
        ("ordered", "B-AL", 10**9),
        ("ordered", "B-AL", True),
        ("unit_price", "B-AL", -0.01),
        ("unit_price", "B-AL", 1.00005),
        ("unit_price", "B-AL", "1e400"),
        ("unit_price", "B-AL", "NaN"),
        ("line_discount", "B-AL", 1.01),
        ("line_discount", "B-AL", "#N/A"),
        ("margin", "", 1),
        ("margin", "", None),
        ("discount", "", -0.05),
        ("contingency", "", "a lot"),
        ("freight", "", "perhaps"),
    ],
)
def test_an_entry_that_cannot_be_taken_is_a_fault_with_its_place_and_what_is_allowed(field, part, typed):
    sheet, cell = entry_cell(field, part)
    found = read({(sheet, cell): typed})
    assert [fault.pointer for fault in found.faults] == [f"{sheet}!{cell}"]
    assert found.faults[0].allowed
    assert found.changes == ()
    with pytest.raises(ChoiceRefused):
        found.applied(Choices())


def test_every_fault_is_told_at_once_beside_the_changes_that_hold():
    found = read(
        {
            entry_cell("ordered", "B-AL"): -5,
            entry_cell("margin"): 2,
            entry_cell("added_part", added_row=0): "no such part",
            entry_cell("added_part", added_row=1): "B-AL",
            entry_cell("ordered", added_row=2): 5,
            entry_cell("added_part", added_row=3): "J-1",
            entry_cell("discount"): 0.06,
        }
    )
    assert len(found.faults) == 6
    assert [change.field for change in found.changes] == ["discount"]


def test_a_struck_line_says_only_that():
    changes = {entry_cell("struck", "CC-1"): "x", entry_cell("ordered", "CC-1"): 7}
    assert [change.field for change in read(changes).changes] == ["struck"]


@pytest.mark.parametrize(
    ("typed", "taken"),
    [("=72+8*2", 88), ("=(100+25)/5*5", 125), ("=-1+101+20", 120), ("= 4 * 30 ", 120)],
)
def test_arithmetic_that_a_person_typed_is_read(typed, taken):
    """Source: the arithmetic itself; both spreadsheet engines of the tests give the same."""
    found = read({entry_cell("ordered", "B-AL"): typed})
    assert [(each.field, each.new) for each in found.changes] == [("ordered", taken)]
    assert found.not_taken == ()


@pytest.mark.parametrize("typed", ["=SUM(1,2)", "=E5*2", "=1/0", "=2^3", "=10%", "=1+", '="12"'])
def test_any_other_formula_is_told_as_not_taken_and_the_rest_is_read(typed):
    found = read({entry_cell("ordered", "B-AL"): typed, entry_cell("discount"): 0.06})
    assert [change.field for change in found.changes] == ["discount"]
    assert [(each.name, each.kind, each.found) for each in found.not_taken] == [("B-AL", "formula", typed)]


def test_a_fault_in_arithmetic_is_a_fault_of_its_figure():
    assert faults_of(read({entry_cell("unit_price", "B-AL"): "=10/3"})) == [
        ("!".join(entry_cell("unit_price", "B-AL")), "0 or more, with at most 4 decimals")
    ]


def _shown(kind, about):
    draft = drafted(the_offer(), HEAD, "estimator")
    return next(place for place, shown in draft.shown.items() if (shown.kind, shown.about) == (kind, about))


@pytest.mark.parametrize(
    ("kind", "about"),
    [
        ("unit_cost", "B-AL"),
        ("unit_price", "B-AL"),
        ("line_price", "B-AL"),
        ("total", "GrandTotal"),
        ("total", "PartsTotal"),
        ("rate", "TaxRate"),
        ("labour", "LabourRate"),
        ("labour", "brackets"),
    ],
)
def test_every_figure_that_is_changed_in_vain_is_told_with_the_reason(kind, about):
    place = _shown(kind, about)
    [left] = read({place: 1234.5}).not_taken
    assert (left.kind, left.name, left.found, left.cell) == (kind, about, "1234.5", "!".join(place))
    assert left.reason
    assert left.old is not None


def test_the_validity_a_note_a_free_cell_and_a_sheet_of_ones_own_are_told_too():
    book = openpyxl.load_workbook(io.BytesIO(the_workbook()))
    [label] = [cell for row in book["Summary"].iter_rows() for cell in row if cell.value == "Valid until"]
    label.offset(column=1).value = "2027-12-31"
    book["Takeoff"]["Z99"] = "call the customer"
    book.create_sheet("Mine")["A1"] = 1
    saved = io.BytesIO()
    book.save(saved)
    found = read_workbook(saved.getvalue(), the_offer(), HEAD)
    assert {(each.kind, each.cell) for each in found.not_taken} == {
        ("validity", f"Summary!{label.offset(column=1).coordinate}"),
        ("other", "Takeoff!Z99"),
        ("sheet", "Mine"),
    }


def test_whatever_is_edited_of_another_option_is_told_with_where_its_changes_come_from():
    made = the_offer(Choices(options=(OptionChoice("", material="steel"),)))
    content = write_workbook(made, HEAD)
    book = openpyxl.load_workbook(io.BytesIO(content))
    beside, lines = book["Options"], book["Option B"]
    [total] = [row[2].coordinate for row in beside.iter_rows() if row[0].value == "Total"]
    columns = {cell.value: cell.column_letter for cell in lines[4]}
    part, quantity, price = (lines[f"{columns[name]}5"] for name in ("Part", "Quantity", "Line price"))
    free = lines.cell(lines.max_row + 3, 1).coordinate
    typed = {("Options", total): 1, ("Option B", quantity.coordinate): quantity.value + 1,
             ("Option B", price.coordinate): 2, ("Option B", free): "cheaper?"}  # fmt: skip
    found = read_workbook(edited(content, typed), made, HEAD)
    assert (found.changes, found.faults) == ((), ())
    assert {(each.kind, each.cell) for each in found.not_taken} == {("option", f"{at}!{cell}") for at, cell in typed}
    assert [each.name for each in found.not_taken if each.cell.startswith("Option B!")][:2] == [part.value] * 2
    assert all("option A" in each.reason for each in found.not_taken)


def test_a_reason_typed_alone_is_told():
    found = read({entry_cell("reason", "B-AL"): "just so"})
    assert [(each.name, each.kind, each.found) for each in found.not_taken] == [("B-AL", "reason", "just so")]


def test_a_reason_beside_a_failed_check_overrides_it_and_a_changed_line_ends_an_older_word():
    short = CheckOverride("ordered_below_required", Place(part="B-AL"), "the rest is on site", by="Ann")
    made = the_offer(Choices(line_changes=(LineChange("B-AL", ordered=1),)))
    entries = {each.check: (each.sheet, each.cell) for each in drafted(made, HEAD, "estimator").entries if each.check}
    named = ("ordered_below_required", Place(part="B-AL"))
    content = write_workbook(made, HEAD)
    found = read_workbook(edited(content, {entries[named]: "the rest is on site"}), made, HEAD)
    assert found.applied(Choices()).overrides == (replace(short, by=""),)
    kept = replace(made, estimate=replace(made.estimate, overridden=(short,)))
    draft = drafted(kept, HEAD, "estimator")
    ordered = next((e.sheet, e.cell) for e in draft.entries if (e.field, e.part) == ("ordered", "B-AL"))
    after = read_workbook(edited(write_workbook(kept, HEAD), {ordered: 2}), kept, HEAD)
    assert after.applied(Choices(overrides=(short,))).overrides == ()
    assert [each.kind for each in after.not_taken] == ["override"]


def test_rows_that_were_moved_are_found():
    sheet, cell = entry_cell("ordered", "B-AL")
    part_cell = f"B{cell[1:]}"
    found = read({(sheet, part_cell): "SC-AL"})
    (fault,) = found.faults
    assert (code_of(fault), facts(fault.message)[-2:]) == ("moved", ["B-AL", "'SC-AL'"])


def test_what_the_pricebook_decides_is_not_taken_from_the_file_and_that_is_said():
    book = openpyxl.load_workbook(io.BytesIO(the_workbook()))
    sheet, cell = next(iter(book.defined_names["TaxRate"].destinations))
    found = read({(sheet, cell.replace("$", "")): 0.01})
    assert found.changes == ()
    assert [(each.name, each.old, each.found) for each in found.not_taken] == [("TaxRate", Decimal("0.20"), "0.01")]


def test_figures_outside_the_cells_to_be_filled_in_are_never_read_and_each_is_told():
    book = openpyxl.load_workbook(io.BytesIO(the_workbook()))
    formulas = 0
    for sheet in book:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    cell.value = 1_000_000
                    formulas += 1
    saved = io.BytesIO()
    book.save(saved)
    found = read_workbook(saved.getvalue(), the_offer(), HEAD)
    assert (found.changes, found.faults) == ((), ())
    assert len(found.not_taken) + found.more_not_taken == formulas
    assert all(each.reason for each in found.not_taken)


def test_a_workbook_of_another_quote_or_revision_or_edition_is_refused_with_the_reason():
    with refusing(Refused, ("/", "wrong_workbook"), holds=("'Q-7'", "'Q-8'")):
        read_workbook(the_workbook(), the_offer(), replace(HEAD, number="Q-8"))
    with refusing(StaleWorkbook, holds=("2", "Q-7", 3)):
        read_workbook(the_workbook(), the_offer(), replace(HEAD, revision=3))
    with refusing(Refused, ("/", "wrong_workbook"), holds=("2",)):
        read_workbook(the_workbook(), the_offer(), replace(HEAD, revision=1))
    with refusing(Refused, ("/", "wrong_workbook")):
        read_workbook(the_workbook("customer"), the_offer(), HEAD)


def test_a_workbook_of_other_figures_under_the_same_number_is_refused():
    other = write_workbook(the_offer(Choices(margin=Decimal("0.2"))), HEAD)
    with refusing(Refused, ("/", "wrong_workbook")):
        read_workbook(other, the_offer(), HEAD)


def test_a_workbook_that_was_not_written_here_is_refused():
    saved = io.BytesIO()
    openpyxl.Workbook().save(saved)
    with refusing(Refused, ("/", "wrong_workbook")):
        read_workbook(saved.getvalue(), the_offer(), HEAD)
