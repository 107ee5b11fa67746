"""The packing list as a workbook: a sheet for each shipment, sums as formulas, blanks for what is unknown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from estimator.documents.header import OrderHeader
from estimator.documents.order_book import WARNING, OrderBook, party_facts, write_head, write_notes
from estimator.documents.order_facts import invented_note, order_paper, order_reader
from estimator.documents.packing_list import shipments
from estimator.documents.packing_words import (
    KINDS,
    assumptions_of,
    cautions_of,
    marks_of,
    packing_facts,
    packing_parties,
    warnings_of,
)
from estimator.documents.words import unit_name
from estimator.documents.workbook.draft import number
from estimator.documents.workbook.looks import COUNT, NOTE, TEXT, WRAPPED, Look, as_input, as_total
from estimator.documents.workbook.page import Page, at
from estimator.documents.workbook.tables import Column, Heads, Placed, Row, write_table
from estimator.orders import OrderList, PackageGroup, Packing, PackingRules, pack
from estimator.orders.packages import CODES
from estimator.units import shown

MASS = Look(number_format="#,##0.00", across="right", rule="below")
LENGTH = Look(number_format="#,##0.###", across="right", rule="below")
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
    columns = _with_formulas(columns, table)
    placed = write_table(page, top, table, columns, [_row(each, packing, order, book) for each in packing.groups])
    for at_row, group in enumerate(packing.groups, start=placed.first):
        page.lines(at_row, _contents(group, book), 50)
    _write_total(page, packing, order, placed, t("Packages"))
    row = placed.last + 3
    for note in (*assumptions_of(packing, reader), *cautions_of(packing, reader)):
        page.put(row, 1, note, replace(NOTE, wrap=False))
        row += 1
    page.sheet.freeze_panes = at(placed.first, 1)
    book.print_wide(page, top, name)


def _columns(book: OrderBook, order: OrderList) -> tuple[Column, ...]:
    t = book.reader.texts.t
    length, mass = shown(1.0, "length", order.units).unit, shown(1.0, "mass", order.units).unit
    return (
        Column("marks", t("Marks"), 16, TEXT),
        Column("count", t("Packages"), 10, COUNT),
        Column("kind", t("Kind"), 11, TEXT),
        Column("code", t("Code (UN/ECE Rec 21)"), 11, CENTRED),
        Column("contents", t("Contents of each"), 50, WRAPPED),
        Column("length", f"{t('Length')} ({length})", 11, LENGTH),
        Column("width", f"{t('Width')} ({length})", 10, as_input(LENGTH)),
        Column("height", f"{t('Height')} ({length})", 10, as_input(LENGTH)),
        Column("net", f"{t('Net each')} ({mass})", 11, MASS),
        Column("gross", f"{t('Gross each')} ({mass})", 11, MASS),
        Column("net_all", f"{t('Net, all')} ({mass})", 12, MASS),
        Column("gross_all", f"{t('Gross, all')} ({mass})", 12, MASS),
        Column("notes", t("Mind"), 24, WRAPPED),
    )


def _with_formulas(columns: Sequence[Column], table: str) -> tuple[Column, ...]:
    names = Heads(table, {column.key: column.head for column in columns})
    net, gross = (f"{names.this('count')}*{names.this(key)}" for key in ("net", "gross"))
    formulas = {"net_all": net, "gross_all": f'IF({names.this("gross")}="","",{gross})'}
    return tuple(replace(column, formula=formulas.get(column.key, "")) for column in columns)


def _row(group: PackageGroup, packing: Packing, order: OrderList, book: OrderBook) -> Row:
    net, gross = _mass(group.net_kg, order), None if group.gross_kg is None else _mass(group.gross_kg, order)
    length = None if group.length_mm is None else number(shown(group.length_mm, "length", order.units).number)
    return {
        "marks": marks_of(group, packing, book.reader),
        "count": group.count,
        "kind": book.reader.texts.t(KINDS[group.kind]),
        "code": CODES[group.kind],
        "contents": _contents(group, book),
        "length": length,
        "net": net,
        "gross": gross,
        "net_all": net * group.count,
        "gross_all": "" if gross is None else gross * group.count,
        "notes": warnings_of(group, book.reader),
    }


def _contents(group: PackageGroup, book: OrderBook) -> str:
    count, lines = book.reader.formats.count, []
    for each in group.contents:
        parts = " · ".join(text for text in (each.supplier_part, each.part) if text)
        lines.append(f"{count(each.count)} {unit_name(each.unit, book.reader)} {each.description} ({parts})")
    return "\n".join(lines)


def _mass(kg: float, order: OrderList) -> Decimal:
    return number(shown(kg, "mass", order.units).number).quantize(Decimal("0.001"))


def _write_total(page: Page, packing: Packing, order: OrderList, placed: Placed, label: str) -> None:
    row, columns = placed.last + 1, placed.columns
    for column in range(1, len(columns) + 1):
        page.put(row, column, None, as_total(TEXT))
    page.put(row, 1, label, as_total(TEXT))
    page.formula(row, columns["count"], f"SUM({placed.span('count')})", packing.packages, as_total(COUNT))
    net = sum((_mass(each.net_kg, order) * each.count for each in packing.groups), Decimal(0))
    page.formula(row, columns["net_all"], f"SUM({placed.span('net_all')})", net, as_total(MASS))
    known = [_mass(each.gross_kg, order) * each.count for each in packing.groups if each.gross_kg is not None]
    span = placed.span("gross_all")
    gross = sum(known, Decimal(0)) if known else ""
    page.formula(row, columns["gross_all"], f'IF(COUNT({span})=0,"",SUM({span}))', gross, as_total(MASS))
