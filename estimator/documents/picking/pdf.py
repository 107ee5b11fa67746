"""The pick list as PDF: for each delivery where it goes, by when, and every part to tick off; never a price."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from reportlab.platypus import PageBreak, Table

from estimator.documents import style
from estimator.documents.fonts.faces import BOLD, drawable
from estimator.documents.header import OrderHeader
from estimator.documents.language.addresses import address_lines
from estimator.documents.language.texts import Reader
from estimator.documents.language.words import unit_name
from estimator.documents.pdf.missing import missing_note
from estimator.documents.pdf.page import build_pdf, frame_size
from estimator.documents.pdf.parts import ROW_LINES, Command, gap, grid, heading, paragraph
from estimator.documents.picking.workbook import NOTHING
from estimator.documents.purchasing.facts import OrderParty, change_note, house_paper, house_reader
from estimator.documents.purchasing.masthead import masthead, page_head, parties_and_facts
from estimator.documents.purchasing.pick_sheets import STOCK_AND_PACKS, delivery_facts
from estimator.errors import NothingToWrite
from estimator.orders import Delivery, OrderList, Pick

TICK = "\N{BALLOT BOX}"
WIDTHS = (24.0, 84.0, 92.0, 62.0, 62.0, 62.0)
"""Tick, part, supplier, required, from stock, sent; the description takes what is left."""


def write_pick_list(deliveries: Sequence[Delivery], lists: Sequence[OrderList], header: OrderHeader) -> bytes:
    """A page for each delivery; ``lists`` are those of the order, whose first heads the pages.

    The same deliveries and head give the same bytes. Refuses (NothingToWrite) none.
    """
    if not deliveries:
        raise NothingToWrite(NOTHING)
    first = lists[0]
    reader, paper = house_reader(first, header), house_paper(first, header)
    wide, _ = frame_size(paper)
    story: list[Any] = []
    for delivery in deliveries:
        story += [PageBreak()] if story else []
        story += _story(delivery, first, header, reader, wide)
    title = f"{reader.texts.t('Pick list')} {header.number}"
    return build_pdf(story, page_head(title, first, header, reader, paper))


def _story(delivery: Delivery, order: OrderList, header: OrderHeader, reader: Reader, wide: float) -> Iterator[Any]:
    t = reader.texts.t
    yield masthead(t("Pick list"), order, header, reader, wide, header.number)
    yield gap()
    lines = address_lines(delivery.address, reader) or (t("to be announced"),)
    place = OrderParty(t("Deliver to"), lines[0], tuple(lines[1:]))
    yield parties_and_facts((place,), delivery_facts(delivery, reader), wide)
    yield gap(style.SPACING.section)
    if delivery.notes:
        yield heading(t("Notes"))
        yield from (paragraph(note) for note in delivery.notes)
        yield gap()
    if note := change_note(order, reader):
        yield paragraph(note, "alert")
        yield gap()
    yield _table(delivery.picks, reader, wide)
    yield gap(style.SPACING.unit)
    yield paragraph(t(STOCK_AND_PACKS), "small")
    if missing := missing_note((order.supplier, delivery.picks, lines, delivery.notes), reader):
        yield paragraph(missing, "alert")


def _table(picks: Sequence[Pick], reader: Reader, wide: float) -> Table:
    t, count = reader.texts.t, reader.formats.count
    room = wide - sum(WIDTHS)
    widths = [*WIDTHS[:2], room, *WIDTHS[2:]]
    rows: list[list[Any]] = [
        ["", t("Part"), t("Description"), t("Supplier"), t("Required"), t("From stock"), t("Delivered")]
    ]
    for pick in picks:
        unit = drawable(unit_name(pick.unit, reader))
        told = [paragraph(reader.say(pick.description)), *(paragraph(reader.say(each), "muted") for each in pick.sawn)]
        numbers = [
            count(pick.required),
            count(pick.from_stock) if pick.from_stock else "",
            f"{count(pick.sent)} {unit}",
        ]
        rows.append([TICK, paragraph(pick.part), told, paragraph(pick.supplier, "muted"), *numbers])
    look: list[Command] = [
        ("ALIGN", (4, 0), (-1, -1), "RIGHT"),
        ("FONT", (6, 1), (6, -1), BOLD, style.TYPE.body),
        ROW_LINES,
    ]
    return grid(rows, widths, look)
