"""The packing list as a workbook: a sheet for each shipment, sums as formulas, blanks for what is unknown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from estimator.documents.header import OrderHeader
from estimator.documents.language.words import unit_name
from estimator.documents.packing.pdf import shipments
from estimator.documents.packing.words import (
    KINDS,
    assumptions_of,
    cautions_of,
    marks_of,
    packing_facts,
    packing_parties,
    warnings_of,
)
from estimator.documents.purchasing.book import WARNING, OrderBook, party_facts, write_head, write_notes
from estimator.documents.purchasing.facts import invented_note, order_paper, order_reader
from estimator.documents.xlsx.looks import COUNT, NOTE, TEXT, WRAPPED, Look, as_input, as_total
from estimator.documents.xlsx.numbers.measures import (
    ALSO,
    in_unit,
    keys_of,
    measured,
    measured_columns,
    measured_heads,
)
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.tables import Column, Heads, Placed, Row, write_table
from estimator.orders import OrderList, PackageGroup, Packing, PackingRules, notes_of, pack
from estimator.orders.packages import CODES
from estimator.units import DisplayUnits, System

MASS = Look(number_format="#,##0.00", across="right", rule="below")
LENGTH = Look(number_format="#,##0.###", across="right", rule="below")
TEXT_ONLY = Look(across="left")
CENTRED = replace(TEXT, across="center")


def write_packing_workbook(
    orders: OrderList | Sequence[OrderList], header: OrderHeader, rules: PackingRules | None = None
) -> bytes:
    """One sheet for each supplier; the same lists and head give the same bytes. Never a price.

    Refuses (Refused) no list, and a list without lines.
    """
    lists = shipments(orders)
    reader = order_reader(lists[0], header)
    title = f"{reader.texts.t('Packing list')} {header.number}"
    book = OrderBook(title, lists[0].buyer.name, reader, order_paper(lists[0], header))
    for sheet, order in enumerate(lists, start=1):
        _write(book, order, pack(order, rules), header, sheet)
    return book.saved(header.dated)


def _write(book: OrderBook, order: OrderList, packing: Packing, header: OrderHeader, sheet: int) -> None:
    reader = book.reader
    t = reader.texts.t
    page = book.page(order.supplier.supplier)
    name = f"{t('Packing list')} {header.number_for(order.supplier.supplier)}"
    page.head(name)
    row = write_notes(page, 2, [note for note in (invented_note(order, reader),) if note], WARNING)
    parties = [fact for party in packing_parties(order, reader) for fact in party_facts(party)]
    facts = packing_facts(order, packing, header, reader)
    top = write_head(page, row + 1, [((1, 2, 3, 5), parties), ((7, 8, 9, 12), facts)]) + 1
    columns, table = _columns(book, order), f"Packing{sheet}"
    columns = _with_formulas(columns, table, order.units)
    placed = write_table(page, top, table, columns, [_row(each, packing, order, book) for each in packing.groups])
    for at_row, group in enumerate(packing.groups, start=placed.first):
        page.lines(at_row, _contents(group, book), 50)
    _write_total(page, packing, order, placed, t("Packages"))
    row = placed.last + 3
    if told := notes_of(order.sites):
        page.heading(row, t("Notes"))
        row = write_notes(page, row + 1, told, TEXT_ONLY) + 1
    for note in (*assumptions_of(packing, reader), *cautions_of(packing, reader)):
        page.put(row, 1, note, replace(NOTE, wrap=False))
        row += 1
    page.sheet.freeze_panes = at(placed.first, 1)
    book.print_wide(page, top, name)


def _columns(book: OrderBook, order: OrderList) -> tuple[Column, ...]:
    t, units = book.reader.texts.t, order.units
    names = {"length": t("Length"), "width": t("Width"), "height": t("Height")}
    masses = {"net": t("Net each"), "gross": t("Gross each"), "net_all": t("Net, all"), "gross_all": t("Gross, all")}
    heads: dict[str, str] = {}
    for key, name in names.items():
        heads |= measured_heads(key, name, "length", units)
    for key, name in masses.items():
        heads |= measured_heads(key, name, "mass", units)
    return (
        Column("marks", t("Marks"), 16, TEXT),
        Column("count", t("Packages"), 10, COUNT),
        Column("kind", t("Kind"), 11, TEXT),
        Column("code", t("Code (UN/ECE Rec 21)"), 11, CENTRED),
        Column("contents", t("Contents of each"), 50, WRAPPED),
        *measured_columns("length", heads, units, 11, LENGTH),
        *(_filled_in(each) for key in ("width", "height") for each in measured_columns(key, heads, units, 10, LENGTH)),
        *(each for key in masses for each in measured_columns(key, heads, units, 12, MASS)),
        Column("notes", t("Handling"), 24, WRAPPED),
    )


def _filled_in(column: Column) -> Column:
    """The supplier fills in one system's widths and heights; the other's follow."""
    return column if column.key.endswith(ALSO) else replace(column, look=as_input(column.look))


def _with_formulas(columns: Sequence[Column], table: str, units: DisplayUnits) -> tuple[Column, ...]:
    names = Heads(table, {column.key: column.head for column in columns})
    formulas: dict[str, str] = {}
    for key, system in keys_of("", units):
        net, gross = (f"{names.this('count')}*{names.this(each + key)}" for each in ("net", "gross"))
        formulas["net_all" + key] = net
        formulas["gross_all" + key] = f'IF({names.this("gross" + key)}="","",{gross})'
        if key:
            to_other = "*25.4" if system == "metric" else "/25.4"
            formulas |= {
                side + key: f'IF({names.this(side)}="","",{names.this(side)}{to_other})' for side in ("width", "height")
            }
    return tuple(replace(column, formula=formulas.get(column.key, "")) for column in columns)


def _row(group: PackageGroup, packing: Packing, order: OrderList, book: OrderBook) -> Row:
    masses: dict[str, Decimal | str | None] = {}
    for end, system in keys_of("", order.units):
        net, gross = (None if kg is None else _mass(kg, system) for kg in (group.net_kg, group.gross_kg))
        masses |= {"net" + end: net, "gross" + end: gross, "net_all" + end: (net or Decimal(0)) * group.count}
        masses["gross_all" + end] = "" if gross is None else gross * group.count
    return {
        "marks": marks_of(group, packing, book.reader),
        "count": group.count,
        "kind": book.reader.texts.t(KINDS[group.kind]),
        "code": CODES[group.kind],
        "contents": _contents(group, book),
        **measured("length", group.length_mm, "length", order.units),
        "width" + ALSO: "",
        "height" + ALSO: "",
        **masses,
        "notes": warnings_of(group, book.reader),
    }


def _contents(group: PackageGroup, book: OrderBook) -> str:
    count, lines = book.reader.formats.count, []
    for each in group.contents:
        parts = " · ".join(text for text in (each.supplier_part, each.part) if text)
        unit, description = unit_name(each.unit, book.reader), book.reader.say(each.description)
        lines.append(f"{count(each.count)} {unit} {description} ({parts})")
    return "\n".join(lines)


def _mass(kg: float, system: System) -> Decimal:
    return in_unit(kg, "mass", system).quantize(Decimal("0.001"))


def _write_total(page: Page, packing: Packing, order: OrderList, placed: Placed, label: str) -> None:
    row, columns = placed.last + 1, placed.columns
    for column in range(1, len(columns) + 1):
        page.put(row, column, None, as_total(TEXT))
    page.put(row, 1, label, as_total(TEXT))
    page.formula(row, columns["count"], f"SUM({placed.span('count')})", packing.packages, as_total(COUNT))
    for end, system in keys_of("", order.units):
        net = sum((_mass(each.net_kg, system) * each.count for each in packing.groups), Decimal(0))
        page.formula(row, columns["net_all" + end], f"SUM({placed.span('net_all' + end)})", net, as_total(MASS))
        known = [_mass(each.gross_kg, system) * each.count for each in packing.groups if each.gross_kg is not None]
        span = placed.span("gross_all" + end)
        gross = sum(known, Decimal(0)) if known else ""
        page.formula(row, columns["gross_all" + end], f'IF(COUNT({span})=0,"",SUM({span}))', gross, as_total(MASS))
