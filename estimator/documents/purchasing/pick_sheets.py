"""The pick lists of an order as sheets of a workbook, its own or the order's: one for each delivery; never a price."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from estimator.documents.header import Fact, OrderHeader
from estimator.documents.language.addresses import address_lines
from estimator.documents.language.texts import Reader, mark
from estimator.documents.language.words import unit_name
from estimator.documents.purchasing.book import WARNING, OrderBook, write_head, write_notes
from estimator.documents.purchasing.facts import change_note, invented_note
from estimator.documents.xlsx.looks import COUNT, NOTE, TEXT, WRAPPED, Look, as_input
from estimator.documents.xlsx.numbers.figures import serial
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.tables import Column, Row, write_table
from estimator.orders import Delivery, OrderList, Pick

STOCK_AND_PACKS = mark("What rounding to packs adds goes with the last delivery of a part; stock serves the earliest.")
_DATE = Look(number_format="yyyy-mm-dd", across="center", rule="below")
_CENTRED = replace(TEXT, across="center")
_DESCRIPTION = 44.0


def write_pick_sheets(book: OrderBook, deliveries: Sequence[Delivery], order: OrderList, header: OrderHeader) -> None:
    """A sheet for each delivery; ``order`` is any list of the order, for what heads them."""
    for delivery in deliveries:
        _write(book, delivery, order, header)


def delivery_facts(delivery: Delivery, reader: Reader) -> tuple[Fact, ...]:
    """Number, days, quotes and jobs of a delivery."""
    t, day = reader.texts.t, reader.formats.date
    order_by = day(delivery.order_by) if delivery.order_by else ""
    facts = (
        Fact(t("Delivery"), reader.formats.count(delivery.number)),
        Fact(t("Needed on site"), day(delivery.needed_on) if delivery.needed_on else t("to be agreed")),
        Fact(t("Order by"), order_by),
        Fact(t("For quotes"), ", ".join(delivery.quotes)),
        Fact(t("Job"), ", ".join(delivery.jobs)),
    )
    return tuple(fact for fact in facts if fact.value)


def _write(book: OrderBook, delivery: Delivery, order: OrderList, header: OrderHeader) -> None:
    reader = book.reader
    t = reader.texts.t
    page = book.page(t("Delivery {number}", number=delivery.number))
    page.head(f"{t('Pick list')} {header.number}")
    notes = (invented_note(order, reader), change_note(order, reader))
    row = write_notes(page, 2, [note for note in notes if note], WARNING)
    lines = address_lines(delivery.address, reader) or (t("to be announced"),)
    place = [Fact(t("Deliver to"), lines[0]), *([Fact("", ", ".join(lines[1:]))] if lines[1:] else [])]
    row = write_head(page, row + 1, [((1, 2, 3, 3), place), ((4, 5, 6, 9), delivery_facts(delivery, reader))])
    row = _notes(page, row, delivery, reader)
    columns = _columns(reader)
    rows = [_row(pick, reader) for pick in delivery.picks]
    placed = write_table(page, row + 1, f"Picks{delivery.number}", columns, rows)
    for at_row, pick in enumerate(delivery.picks, start=placed.first):
        page.lines(at_row, _told(pick, reader), _DESCRIPTION)
    page.put(placed.last + 2, 1, t(STOCK_AND_PACKS), NOTE)
    page.merge(placed.last + 2, 1, len(columns))
    page.sheet.freeze_panes = at(placed.first, 1)
    book.print_wide(page, row + 1, f"{header.number} · {t('Pick list')}")


def _notes(page: Page, row: int, delivery: Delivery, reader: Reader) -> int:
    """What the jobs' notes tell those at the site."""
    for at_row, note in enumerate(delivery.notes, start=row):
        page.put(at_row, 1, reader.texts.t("Notes") if at_row == row else None, TEXT)
        page.merge(at_row, 1, 2)
        page.put(at_row, 3, note, WRAPPED)
        page.merge(at_row, 3, 9)
        page.lines(at_row, note, _DESCRIPTION + 70)
    return row + len(delivery.notes)


def _columns(reader: Reader) -> tuple[Column, ...]:
    t = reader.texts.t
    return (
        Column("done", t("Picked"), 9, as_input(_CENTRED)),
        Column("part", t("Part"), 18, TEXT),
        Column("description", t("Description"), _DESCRIPTION, WRAPPED),
        Column("supplier", t("Supplier"), 26, WRAPPED),
        Column("required", t("Required"), 10, COUNT),
        Column("from_stock", t("From stock"), 10, COUNT),
        Column("sent", t("Delivered"), 10, COUNT),
        Column("unit", t("Unit"), 8, _CENTRED),
        Column("order_by", t("Order by"), 12, _DATE),
    )


def _told(pick: Pick, reader: Reader) -> str:
    """What it is, and what an off-cut is sawn into."""
    return "; ".join(reader.say(each) for each in (pick.description, *pick.sawn))


def _row(pick: Pick, reader: Reader) -> Row:
    return {
        "done": None,
        "part": pick.part,
        "description": _told(pick, reader),
        "supplier": pick.supplier,
        "required": pick.required,
        "from_stock": pick.from_stock or None,
        "sent": pick.sent,
        "unit": unit_name(pick.unit, reader),
        "order_by": serial(pick.order_by) if pick.order_by else None,
    }
