"""The quote's workbook: figures behind every formula, inputs and protection, print set-up, charts, links."""

import io
import re
import zipfile
from datetime import date
from decimal import Decimal

import openpyxl
import pytest

from estimator.documents.workbook import write_workbook
from estimator.documents.xlsx.cached_values import FormulaWithoutValue, saved_workbook
from estimator.documents.xlsx.numbers.rounding import rounded
from tests.documents.quotes_to_write import HEAD, named, the_entries, the_offer, the_workbook
from tests.outside.spreadsheets import figures, formulas

SHEETS = (
    "Summary", "Pricing", "Added parts", "Takeoff", "Derivation", "Materials", "Cut plan", "Saw list", "Order list",
    "Setting out", "Price list", "Price breaks", "Freight", "Labor", "Checks and cautions", "Inputs", "_provenance",
)  # fmt: skip


def opened(content, **how):
    return openpyxl.load_workbook(io.BytesIO(content), **how)


def parts(content, pattern):
    source = zipfile.ZipFile(io.BytesIO(content))
    return {name: source.read(name).decode() for name in source.namelist() if re.fullmatch(pattern, name)}


def test_every_formula_already_holds_the_engines_figure():
    totals = the_offer().estimate.bill.totals
    names = ("PartsTotal", "QuoteDiscount", "FreightTotal", "LabourTotal", "ContingencyTotal", "BeforeTax", "TaxTotal")
    amounts = (
        totals.parts,
        totals.discount,
        totals.freight,
        totals.labour,
        totals.contingency,
        totals.before_tax,
        totals.tax,
    )
    held = [Decimal(str(value)) for value in named(the_workbook(), *names, "GrandTotal", "CostTotal", "MarginAmount")]
    assert held == [amount.amount for amount in (*amounts, totals.total, totals.cost, totals.margin)]
    of = formulas(the_workbook())
    assert len(of) > 300
    assert [
        cell for cell, value in figures(the_workbook(), of).items() if value is None and "Added" not in cell[0]
    ] == []


def test_every_line_holds_the_engines_figures():
    sheet = opened(the_workbook(), data_only=True)["Pricing"]
    heads = {cell.value: cell.column for cell in sheet[4]}
    for row, line in enumerate(the_offer().estimate.bill.lines, start=5):
        held = {head: sheet.cell(row, column).value for head, column in heads.items()}
        assert (held["Part"], held["Ordered"]) == (line.line.part, line.line.ordered)
        figures_held = [Decimal(str(held[head])) for head in ("Unit cost", "Unit price", "Line price", "Line cost")]
        assert figures_held == [line.unit_cost, line.unit_price, line.price.amount, line.cost.amount]


def test_a_formula_without_a_value_fails_the_writing():
    book = openpyxl.Workbook()
    book.active["A1"] = "=1+1"
    with pytest.raises(FormulaWithoutValue, match="A1: =1\\+1"):
        saved_workbook(book, {"Sheet": {}}, date(2026, 1, 1))
    with pytest.raises(FormulaWithoutValue):
        saved_workbook(book, {"Sheet": {"A1": 2, "A2": 3}}, date(2026, 1, 1))
    assert saved_workbook(book, {"Sheet": {"A1": Decimal("2.10")}}, date(2026, 1, 1))


def test_the_same_offer_gives_the_same_bytes():
    assert write_workbook(the_offer(), HEAD, "estimator") == the_workbook()
    assert write_workbook(the_offer(), HEAD, "customer") == the_workbook("customer")


def test_the_sheets_stand_in_the_order_an_estimator_reads_them():
    assert tuple(opened(the_workbook()).sheetnames) == SHEETS


def test_a_table_columns_formula_is_that_of_each_of_its_cells():
    book = opened(the_workbook())
    checked = 0
    for sheet in book:
        for table in sheet.tables.values():
            first, last = (openpyxl.utils.cell.coordinate_from_string(place) for place in table.ref.split(":"))
            for at_column, column in enumerate(table.tableColumns):
                letter = openpyxl.utils.get_column_letter(openpyxl.utils.column_index_from_string(first[0]) + at_column)
                assert sheet[f"{letter}{first[1]}"].value == column.name
                if column.calculatedColumnFormula:
                    texts = {sheet[f"{letter}{row}"].value for row in range(first[1] + 1, last[1] + 1)}
                    assert texts == {f"={column.calculatedColumnFormula.attr_text}"}
                    checked += 1
    assert checked > 15


def test_only_the_cells_to_be_filled_in_are_unlocked_and_no_password_stands_before_the_others():
    book = opened(the_workbook())
    unlocked = {
        (sheet.title, cell.coordinate)
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if not cell.protection.locked
    }
    assert unlocked == {(entry.sheet, entry.cell) for entry in the_entries()}
    for sheet in book:
        assert sheet.protection.sheet
        assert sheet.protection.password is None
    assert book.security.lockStructure


def test_cells_to_be_filled_in_look_different_and_say_what_they_take():
    book = opened(the_workbook())
    validated = {
        (sheet.title, cell)
        for sheet in book
        for rule in sheet.data_validations.dataValidation
        for area in rule.sqref.ranges
        for row in sheet[area.coord if ":" in area.coord else f"{area.coord}:{area.coord}"]
        for cell in [each.coordinate for each in row]
    }
    for entry in the_entries():
        assert book[entry.sheet][entry.cell].fill.fgColor.rgb == "FFF8E9DA"
        assert entry.field == "reason" or (entry.sheet, entry.cell) in validated


def test_amounts_wear_the_format_of_the_currency():
    book = opened(the_workbook())
    sheet, cell = next(iter(book.defined_names["GrandTotal"].destinations))
    assert book[sheet][cell].number_format == "[$€-407]#,##0.00;-[$€-407]#,##0.00"


WIDE = ("Pricing", "Added parts", "Takeoff")
"""Sheets of many columns, on two pages side by side."""


def test_every_sheet_prints_on_the_readers_paper_with_number_and_page():
    for sheet in opened(the_workbook()):
        if sheet.title == "_provenance":
            continue
        assert str(sheet.page_setup.paperSize) == "9"
        assert sheet.page_setup.fitToWidth == (2 if sheet.title in WIDE else 1)
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert "Q-7" in sheet.oddFooter.left.text
        assert "&P" in sheet.oddFooter.right.text
        assert "&N" in sheet.oddFooter.right.text
    for title in ("Pricing", "Takeoff", "Setting out", "Saw list"):
        sheet = opened(the_workbook())[title]
        assert sheet.freeze_panes
        assert sheet.print_title_rows == "$4:$4"


@pytest.mark.parametrize("title", WIDE)
def test_tables_of_many_columns_print_on_two_pages_side_by_side_with_line_and_part_on_both(title):
    sheet = opened(the_workbook())[title]
    assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (2, 0)
    assert sheet.print_title_cols == "$A:$B"


def test_charts_show_their_axes_and_draw_on_the_sheets_own_figures():
    charts = parts(the_workbook(), r"xl/charts/chart\d+\.xml")
    assert len(charts) == 3
    for xml in charts.values():
        assert xml.count('delete val="0"') == 2
        assert "<f>" in xml or "<c:f>" in xml


def test_every_takeoff_line_leads_to_its_derivation():
    book = opened(the_workbook())
    for row, line in enumerate(the_offer().estimate.bill.lines, start=5):
        link = book["Takeoff"].cell(row, 2).hyperlink
        sheet, cell = link.location.replace("'", "").split("!")
        assert (sheet, book[sheet][cell].value) == ("Derivation", line.line.part)


def test_the_derivation_holds_every_share_of_every_rule():
    sheet = opened(the_workbook())["Derivation"]
    held = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=5)]
    for line in the_offer().estimate.bill.lines:
        for share in line.line.shares:
            rows = [row for row in held if row[0] == line.line.part and row[1] == share.rule]
            assert rows[0][7] == pytest.approx(float(share.asked))
            places = {row[2]: row[7] for row in rows[1:] if row[2]}
            assert places == pytest.approx({name: float(asked) for name, asked in share.places if name})


def test_the_hidden_sheet_says_what_the_figures_stand_on():
    sheet = opened(the_workbook())["_provenance"]
    assert sheet.sheet_state == "veryHidden"
    stands = {row[0].value: row[1].value for row in sheet.iter_rows()}
    provenance = the_offer().estimate.provenance
    assert (stands["number"], stands["revision"], stands["edition"]) == ("Q-7", "2", "estimator")
    assert stands["pricebook_sha256"] == provenance.sha256
    assert stands["input_sha256"] == provenance.input_sha256


def test_rounding_half_to_even_is_written_as_a_formula_that_looks_twice():
    assert rounded("A1", 2, "half_even") == "IF(ROUND(MOD(ABS(A1)*100,2),7)=0.5,ROUNDDOWN(A1,2),ROUND(A1,2))"
    assert rounded("A1", 2, "half_up") == "ROUND(A1,2)"
