"""The order as a workbook: ids stay texts, formulas live with the engine's figures behind them, nothing leaks."""

import io
import zipfile
from dataclasses import replace
from decimal import Decimal

import openpyxl
import pytest

from estimator.documents.order.workbook import write_order_workbook
from estimator.errors import NothingToWrite, Refused
from estimator.money import Money
from tests.documents.order_examples import HEADER, PAYLOADS, an_order, priced, with_lines
from tests.facts import refusing
from tests.outside.spreadsheets import by_formualizer, by_libreoffice, differences, figures, formulas

# Halves that half up and half to even round apart, and costs with more places than the minor unit.
COSTS = ["0.015", "0.505", "1.115", "0.1655", "12.3333", "0.0050"]


def _sheet(workbook, title="Order", values=True):
    return openpyxl.load_workbook(io.BytesIO(workbook), data_only=values)[title]


def _table(sheet):
    """The rows of the sheet's table by head."""
    (table,) = sheet.tables.values()
    heads, *rows = [list(row) for row in sheet[table.ref]]
    return [dict(zip([head.value for head in heads], row, strict=True)) for row in rows]


def test_every_line_and_the_total_stand_in_the_workbook():
    order = priced(an_order(), COSTS)
    sheet = _sheet(write_order_workbook(order, HEADER))
    rows = _table(sheet)
    assert [row["Our part number"].value for row in rows] == [line.part for line in order.lines]
    assert [Decimal(str(row["Line total"].value)) for row in rows] == [line.cost.amount for line in order.lines]
    assert [row["Quantity"].value for row in rows] == [line.ordered for line in order.lines]
    last = [cell.value for cell in sheet[sheet.max_row]]
    assert last[0] == "Total"
    assert Decimal(str(last[list(rows[0]).index("Line total")])) == order.total.amount


@pytest.mark.parametrize("number", ["00123", "1E5", "=1+1", "12/11", "+49", "TRUE"])
def test_a_part_number_stays_the_text_it_is(number):
    workbook = write_order_workbook(with_lines(part=number, supplier_part=number), HEADER)
    row = _table(_sheet(workbook, values=False))[0]
    for head in ("Our part number", "Your part number"):
        assert row[head].value == number
        assert row[head].data_type != "f"
        assert isinstance(row[head].value, str)


@pytest.mark.parametrize("payload", PAYLOADS)
def test_no_text_becomes_a_formula(payload):
    order = with_lines(description=payload, why=(payload,), country_of_origin=payload[:2])
    order = replace(
        order,
        supplier=replace(order.supplier, name=payload, account=payload),
        buyer=replace(order.buyer, name=payload),
        ship_to=(payload, payload),
        quotes=(payload,),
    )
    workbook = write_order_workbook(order, HEADER, "purchasing")
    clean = write_order_workbook(an_order(), HEADER, "purchasing")
    assert len(formulas(workbook)) == len(formulas(clean))
    assert not any(payload in formula for formula in formulas(workbook).values())
    openpyxl.load_workbook(io.BytesIO(workbook))


@pytest.mark.parametrize("rounding", ["half_up", "half_even"])
def test_two_spreadsheet_programs_recalculate_to_the_engines_figures(rounding, tmp_path):
    book = write_order_workbook(priced(an_order(rounding=rounding), COSTS), HEADER, "purchasing")
    ours = figures(book, formulas(book))
    assert len(ours) == 4 * len(COSTS) + 2
    assert not differences(ours, figures(by_formualizer(book), formulas(book)))
    (recalculated,) = by_libreoffice([book], tmp_path)
    assert not differences(ours, figures(recalculated, formulas(book)))


def test_a_changed_quantity_or_price_recalculates_the_total(tmp_path):
    book = write_order_workbook(priced(an_order(), ["0.50", "2.00"]), HEADER)
    changed = openpyxl.load_workbook(io.BytesIO(book))
    first, second = _table(changed["Order"])
    first["Packs"].value, second["Unit price"].value = 10, Decimal("3.00")
    out = io.BytesIO()
    changed.save(out)
    (recalculated,) = by_libreoffice([out.getvalue()], tmp_path)
    sheet = _sheet(recalculated)
    column = list(_table(sheet)[0]).index("Line total") + 1
    assert sheet.cell(sheet.max_row, column).value == 10 * 0.5 + 7 * 3.0


def test_a_spoilt_figure_is_noticed(tmp_path):
    book = write_order_workbook(priced(an_order(), COSTS), HEADER)
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(book)) as source, zipfile.ZipFile(out, "w") as target:
        for name in source.namelist():
            target.writestr(name, source.read(name).replace(b"</f><v>", b"</f><v>1"))
    spoilt = out.getvalue()
    assert differences(figures(spoilt, formulas(spoilt)), figures(by_formualizer(book), formulas(book)))


def test_the_suppliers_workbook_does_not_say_for_whom_or_from_which_stock():
    """Not even in a hidden sheet or a property."""
    order = with_lines(why=("SECRET-WHY",), from_stock=98_765)
    for edition, said in (("supplier", False), ("purchasing", True)):
        with zipfile.ZipFile(io.BytesIO(write_order_workbook(order, HEADER, edition))) as parts:
            everything = b"".join(parts.read(name) for name in parts.namelist())
        assert (b"SECRET-WHY" in everything, b"98765" in everything) == (said, said)


def test_the_same_order_gives_the_same_bytes():
    assert write_order_workbook(an_order(), HEADER) == write_order_workbook(an_order(), HEADER)


@pytest.mark.parametrize(("currency", "number_format"), [("USD", "[$$-409]#,##0.00;-[$$-409]#,##0.00"),
                                                        ("JPY", "[$¥-411]#,##0;-[$¥-411]#,##0")])  # fmt: skip
def test_amounts_carry_the_number_format_of_their_currency(currency, number_format):
    order = an_order(currency=currency)
    lines = tuple(replace(line, unit_cost=Decimal(2), cost=Money(Decimal(2 * line.ordered), currency))
                  for line in order.lines)  # fmt: skip
    order = replace(order, lines=lines, total=Money(sum(line.cost.amount for line in lines), currency))
    order = replace(order, supplier=replace(order.supplier, country="US"))
    assert _table(_sheet(write_order_workbook(order, HEADER)))[0]["Line total"].number_format == number_format


def test_the_sheet_prints_with_its_heads_on_every_page_and_stays_in_view():
    sheet = _sheet(write_order_workbook(priced(an_order(), ["0.10"] * 200), HEADER))
    (table,) = sheet.tables.values()
    top = int(table.ref.split(":")[0][1:])
    assert sheet.print_title_rows == f"${top}:${top}"
    assert sheet.freeze_panes == f"A{top + 1}"
    assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 0)
    assert all(sheet.column_dimensions[letter].width > 5 for letter in "ABCDEFGHIJKLMN")
    assert sheet.page_setup.paperSize == 9


def test_invented_prices_are_said_and_lengths_stand_in_the_readers_unit():
    order = replace(with_lines(length_mm=3048.0), units="us", invented=True)
    workbook = write_order_workbook(order, HEADER)
    row = _table(_sheet(workbook))[0]
    assert row["Length (in)"].value == 120
    assert "invented" in _sheet(workbook)["A2"].value


def test_an_order_that_does_not_add_up_is_not_written():
    with refusing(Refused):
        write_order_workbook(replace(an_order(), total=Money(Decimal("1.00"), "EUR")), HEADER)
    with refusing(NothingToWrite, holds=("Supplier S-1",)):
        write_order_workbook(replace(an_order(), lines=()), HEADER)


def test_a_column_that_no_line_fills_is_left_out():
    bare, with_origin = with_lines(country_of_origin="", length_mm=None), with_lines(country_of_origin="AT")
    assert "Origin" not in _table(_sheet(write_order_workbook(bare, HEADER)))[0]
    assert "Origin" in _table(_sheet(write_order_workbook(with_origin, HEADER)))[0]
