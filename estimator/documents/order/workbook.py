"""One supplier's order as a workbook: formulas that live, every figure of the engine already behind them.

Part numbers are text cells, so that leading zeros and "1E5" stay as they are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Literal

from estimator.documents.header import OrderHeader
from estimator.documents.language.texts import Reader
from estimator.documents.language.words import unit_name
from estimator.documents.order.reasons import write_reasons
from estimator.documents.purchasing.book import WARNING, OrderBook, party_facts, write_head, write_notes
from estimator.documents.purchasing.facts import (
    change_note,
    house_paper,
    house_reader,
    invented_note,
    order_facts,
    order_name,
    order_paper,
    order_parties,
    order_reader,
)
from estimator.documents.purchasing.offcut_sheet import write_offcuts
from estimator.documents.purchasing.pick_sheets import write_pick_sheets
from estimator.documents.purchasing.saw_sheets import write_saw_sheets
from estimator.documents.sawing.common_rails import sawn_rails
from estimator.documents.xlsx.looks import COUNT, TEXT, WRAPPED, Look, as_total
from estimator.documents.xlsx.numbers.figures import number
from estimator.documents.xlsx.numbers.measures import in_unit, keys_of, measured, measured_columns, measured_heads
from estimator.documents.xlsx.numbers.money_formats import MoneyLooks, money_looks
from estimator.documents.xlsx.numbers.rounding import rounded
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.tables import Column, Heads, Placed, Row, write_table
from estimator.errors import NothingToWrite, Refused
from estimator.money import minor_digits, total
from estimator.orders import CommonCut, Delivery, OrderLine, OrderList, OrderLists
from estimator.sentences import say
from estimator.units import DisplayUnits, System

OrderEdition = Literal["supplier", "purchasing"]
TABLE = "Order"
DESCRIPTION = 36.0
"""Letters across, so that the sheet prints on one page's width at a size to read."""
UNIT_MASS = Look(number_format="#,##0.0000", across="right", rule="below")
MASS = Look(number_format="#,##0.00", across="right", rule="below")
LENGTHS: dict[System, Look] = {
    "metric": Look(number_format="#,##0.#", across="right", rule="below"),
    "us": Look(number_format="#,##0.0##", across="right", rule="below"),
}
CENTRED = replace(TEXT, across="center")


def write_order_workbook(order: OrderList, header: OrderHeader, edition: OrderEdition = "supplier") -> bytes:
    """One supplier's order as XLSX; the same order and head give the same bytes.

    The ``purchasing`` edition has a second sheet that says for every line which quote requires how many, what comes
    from stock and why so many are ordered; the ``supplier`` edition has none of it, not even hidden.
    Refuses (Refused) a list without lines, and one whose lines do not add up to its total.
    """
    check_sums(order)
    reader = order_reader(order, header)
    name = header.number_for(order.supplier.supplier)
    book = OrderBook(f"{reader.texts.t('Order')} {name}", order.buyer.name, reader, order_paper(order, header))
    _write_order(book, order, header)
    if edition == "purchasing":
        write_reasons(book, order, header)
    return book.saved(header.dated)


def write_orders_workbook(
    orders: Sequence[OrderList],
    header: OrderHeader,
    together: Sequence[CommonCut] = (),
    goes: tuple[Sequence[Delivery], OrderLists] | None = None,
) -> bytes:
    """Several suppliers' orders in one XLSX, a sheet for each supplier; the same orders and head, the same bytes.

    Where rails are cut ``together``, their cut plan and saw list follow, with what cutting together saves; then, where
    the whole order is given with its deliveries, its off-cuts from the yard and the pick list of each delivery.
    Refuses (Refused) no order at all, and what ``write_order_workbook`` refuses.
    """
    if not orders:
        raise NothingToWrite(say("there is nothing to order"))
    for order in orders:
        check_sums(order)
    reader = house_reader(orders[0], header)
    title = f"{reader.texts.t('Order')} {header.number}"
    book = OrderBook(title, orders[0].buyer.name, reader, house_paper(orders[0], header))
    for at_place, order in enumerate(orders, start=1):
        _write_order(book, order, header, order.supplier.supplier, f"{TABLE}{at_place}")
    if any(common.used and common.sheet for common in together):
        write_saw_sheets(book, sawn_rails(together), header, costs=True)
    if goes is not None:
        write_offcuts(book, goes[1], header)
        write_pick_sheets(book, goes[0], orders[0], header)
    return book.saved(header.dated)


def check_sums(order: OrderList) -> None:
    """Refuse (Refused) a list without lines, and one whose lines do not add up to its total."""
    if not order.lines:
        raise NothingToWrite(say("there is nothing to order from {name}", name=order.supplier.name))
    if total((line.cost for line in order.lines), order.currency) != order.total:
        raise Refused(say("the order's lines do not add up to its total"))


def _write_order(book: OrderBook, order: OrderList, header: OrderHeader, title: str = "", table: str = TABLE) -> None:
    reader = book.reader
    t = reader.texts.t
    page = book.page(title or t("Order"))
    page.head(f"{order_name(order, reader)} {header.number_for(order.supplier.supplier)}")
    notes = (invented_note(order, reader), change_note(order, reader))
    row = write_notes(page, 2, [note for note in notes if note], WARNING)
    parties = [fact for party in order_parties(order, reader) for fact in party_facts(party)]
    row = write_head(page, row + 1, [((1, 2, 3, 4), parties), ((6, 9, 10, 13), order_facts(order, header, reader))])
    top = row + 1
    looks = money_looks(order.currency, _places(order), reader.formats.locale)
    columns = _columns(order, reader, looks, table)
    rows = [_row(n, each, order, reader) for n, each in _numbered(order)]
    placed = write_table(page, top, table, columns, rows)
    for at_row, line in enumerate(order.lines, start=placed.first):
        page.lines(at_row, reader.say(line.description), DESCRIPTION)
    _write_total(page, order, reader, placed, looks)
    page.sheet.freeze_panes = at(placed.first, 1)
    book.print_wide(page, top, f"{header.number_for(order.supplier.supplier)} · {order.buyer.name}")


def _numbered(order: OrderList) -> list[tuple[int, OrderLine]]:
    return list(enumerate(order.lines, start=1))


def _places(order: OrderList) -> int:
    """The decimals that show every unit cost in full."""
    exponents = [line.unit_cost.normalize().as_tuple().exponent for line in order.lines]
    return max([minor_digits(order.currency), *(-each for each in exponents if isinstance(each, int))])


def _heads(reader: Reader, units: DisplayUnits) -> dict[str, str]:
    """The heads of the columns, by their keys."""
    t = reader.texts.t
    return {
        "line": t("Line"),
        "supplier_part": t("Your part number"),
        "part": t("Our part number"),
        "description": t("Description"),
        "origin": t("Origin"),
        **measured_heads("length", t("Length"), "length", units),
        "packs": t("Packs"),
        "pack_size": t("Pack of"),
        "before": t("On order before"),
        "ordered": t("Quantity"),
        "unit": t("Unit"),
        "unit_cost": t("Unit price"),
        "cost": t("Line total"),
        **measured_heads("unit_mass", t("Mass each"), "mass", units),
        **measured_heads("mass", t("Mass"), "mass", units),
    }


def _columns(order: OrderList, reader: Reader, looks: MoneyLooks, table: str) -> tuple[Column, ...]:
    units = order.units
    heads = _heads(reader, units)
    names = Heads(table, heads)
    amount = f"{names.this('ordered')}*{names.this('unit_cost')}"
    shapes: dict[str, tuple[float, Look, str]] = {
        "line": (5, CENTRED, ""),
        "supplier_part": (15, WRAPPED, ""),
        "part": (15, WRAPPED, ""),
        "description": (DESCRIPTION, WRAPPED, ""),
        "origin": (7, CENTRED, ""),
        "packs": (7, COUNT, ""),
        "pack_size": (7, COUNT, ""),
        "before": (9, COUNT, ""),
        "ordered": (9, COUNT, f"{names.this('packs')}*{names.this('pack_size')}"),
        "unit": (7, CENTRED, ""),
        "unit_cost": (11, looks.unit_price, ""),
        "cost": (13, looks.amount, rounded(amount, minor_digits(order.currency), order.rounding)),
    }
    measured_ones = (
        *measured_columns("length", heads, units, 9, LENGTHS),
        *measured_columns("unit_mass", heads, units, 10, UNIT_MASS),
        *measured_columns("mass", heads, units, 10, MASS, lambda end: _times(names, "unit_mass" + end)),
    )
    known = {column.key: column for column in measured_ones}
    shown = [key for key in heads if key not in _empty(order)]
    return tuple(known.get(key) or Column(key, heads[key], *shapes[key]) for key in shown)


def _empty(order: OrderList) -> set[str]:
    """Columns that no line of this supplier fills; they would only make the sheet wider."""
    empty = set() if any(line.country_of_origin for line in order.lines) else {"origin"}
    if not order.changes:
        empty.add("before")
    if not any(line.length_mm for line in order.lines):
        empty |= {key for key, _ in keys_of("length", order.units)}
    return empty


def _times(names: Heads, key: str) -> str:
    return f"{names.this('ordered')}*{names.this(key)}"


def _row(line_number: int, line: OrderLine, order: OrderList, reader: Reader) -> Row:
    masses = measured("unit_mass", line.unit_mass_kg, "mass", order.units)
    return {
        "line": line_number,
        "supplier_part": line.supplier_part,
        "part": line.part,
        "description": reader.say(line.description),
        "origin": line.country_of_origin,
        **measured("length", line.length_mm, "length", order.units),
        "packs": line.packs,
        "pack_size": line.pack_size,
        "before": line.before,
        "ordered": line.ordered,
        "unit": unit_name(line.unit, reader),
        "unit_cost": line.unit_cost,
        "cost": line.cost.amount,
        **masses,
        **{
            key: in_unit(number(line.unit_mass_kg) * line.ordered, "mass", s) for key, s in keys_of("mass", order.units)
        },
    }


def _write_total(page: Page, order: OrderList, reader: Reader, placed: Placed, looks: MoneyLooks) -> None:
    row = placed.last + 1
    for column in range(1, len(placed.columns) + 1):
        page.put(row, column, None, as_total(TEXT))
    page.put(row, 1, reader.texts.t("Total"), as_total(TEXT))
    page.merge(row, 1, 3)
    page.formula(row, placed.columns["cost"], f"SUM({placed.span('cost')})", order.total.amount, as_total(looks.amount))
    mass = sum((number(line.unit_mass_kg) * line.ordered for line in order.lines), Decimal(0))
    for key, system in keys_of("mass", order.units):
        held = in_unit(mass, "mass", system)
        page.formula(row, placed.columns[key], f"SUM({placed.span(key)})", held, as_total(MASS))
