"""One supplier's order as PDF: who buys what from whom, every line, the total, where and when to deliver."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from reportlab.platypus import KeepTogether, Table

from estimator.documents import style
from estimator.documents.fonts.faces import BOLD, drawable
from estimator.documents.header import OrderHeader
from estimator.documents.language.formats import price_places
from estimator.documents.language.texts import Reader
from estimator.documents.language.words import unit_name
from estimator.documents.order.workbook import check_sums
from estimator.documents.pdf.missing import missing_note
from estimator.documents.pdf.page import build_pdf, colour, frame_size
from estimator.documents.pdf.parts import ROW_LINES, Command, fitted, gap, grid, paragraph, right_from
from estimator.documents.purchasing.facts import (
    change_note,
    order_facts,
    order_name,
    order_paper,
    order_parties,
    order_reader,
)
from estimator.documents.purchasing.masthead import FLUSH, masthead, page_head, parties_and_facts
from estimator.orders import OrderLine, OrderList

WIDTHS = {"line": 24.0, "part": 92.0, "quantity": 62.0, "packs": 66.0, "price": 58.0, "cost": 70.0}


def write_order_pdf(order: OrderList, header: OrderHeader) -> bytes:
    """One supplier's order; the same order and head give the same bytes.

    Refuses (Refused) a list without lines, and one whose lines do not add up to its total.
    """
    check_sums(order)
    reader, paper = order_reader(order, header), order_paper(order, header)
    wide, _ = frame_size(paper)
    story = list(_story(order, header, reader, wide))
    title = f"{order_name(order, reader)} {header.number_for(order.supplier.supplier)}"
    return build_pdf(story, page_head(title, order, header, reader, paper))


def _story(order: OrderList, header: OrderHeader, reader: Reader, wide: float) -> Iterator[Any]:
    yield masthead(order_name(order, reader), order, header, reader, wide)
    yield gap()
    yield parties_and_facts(order_parties(order, reader), order_facts(order, header, reader), wide)
    yield gap(style.SPACING.section)
    if note := change_note(order, reader):
        yield paragraph(note, "alert")
        yield gap()
    yield _lines(order, reader, wide)
    yield gap(style.SPACING.section)
    yield KeepTogether(list(_closing(order, header, reader, wide)))


def _lines(order: OrderList, reader: Reader, wide: float) -> Table:
    """Every line; the total in the last row."""
    t, formats = reader.texts.t, reader.formats
    room = wide - sum(WIDTHS.values())
    places = price_places([line.unit_cost for line in order.lines], order.currency)
    head = ["", t("Part number"), t("Description"), t("Quantity"), t("Packs"), t("Unit price"), t("Line total")]
    rows: list[list[Any]] = [head]
    for number, line in enumerate(order.lines, start=1):
        packs = f"{formats.count(line.packs)} × {formats.count(line.pack_size)}" if line.pack_size > 1 else ""
        quantity = f"{formats.count(line.ordered)} {drawable(unit_name(line.unit, reader))}"
        cells = [_part(line, reader), _description(line, reader, room), quantity, packs]
        rows.append([formats.count(number), *cells, formats.decimal(line.unit_cost, places), formats.amount(line.cost)])
    rows.append([t("Total"), "", "", "", "", formats.money(order.total), ""])
    widths = [WIDTHS["line"], WIDTHS["part"], room, *(WIDTHS[name] for name in ("quantity", "packs", "price", "cost"))]
    return grid(rows, widths, [right_from(3), ROW_LINES, *_total_look(len(rows) - 1)])


def _total_look(at: int) -> list[Command]:
    """The total stands out and stays with the line before it."""
    return [
        ("FONT", (0, at), (-1, at), BOLD, style.TYPE.heading),
        ("BACKGROUND", (0, at), (-1, at), colour(style.BLUE_TINT)),
        ("LINEABOVE", (0, at), (-1, at), 1.0, colour(style.BLUE)),
        ("SPAN", (0, at), (4, at)),
        ("SPAN", (5, at), (-1, at)),
        ("ALIGN", (5, at), (-1, at), "RIGHT"),
        ("TOPPADDING", (0, at), (-1, at), 4),
        ("BOTTOMPADDING", (0, at), (-1, at), 5),
        ("NOSPLIT", (0, at - 1), (-1, at)),
    ]


def _part(line: OrderLine, reader: Reader) -> Any:  # noqa: ANN401  a flowable or a list of them
    """The supplier's number above the buyer's."""
    room = WIDTHS["part"] - 2 * style.SPACING.cell
    if not line.supplier_part:
        return fitted(line.part, room)
    ours = reader.texts.t("our {part}", part=line.part)
    return [paragraph(line.supplier_part, "bold"), paragraph(ours, "muted")]


def _description(line: OrderLine, reader: Reader, room: float) -> Any:  # noqa: ANN401
    """What it is; below it the length and the origin, where they are known."""
    t = reader.texts.t
    known = [t("length {length}", length=reader.formats.length(line.length_mm))] if line.length_mm else []
    known += [reader.say(line.why[0])] if line.change else []
    known += [t("origin {country}", country=line.country_of_origin)] if line.country_of_origin else []
    if not known:
        return fitted(reader.say(line.description), room - 2 * style.SPACING.cell)
    return [paragraph(reader.say(line.description)), paragraph(" · ".join(known), "muted")]


def _closing(order: OrderList, header: OrderHeader, reader: Reader, wide: float) -> Iterator[Any]:
    """Mass, what to write on papers, and a line to sign on."""
    t = reader.texts.t
    number = header.number_for(order.supplier.supplier)
    yield paragraph(t("Mass of the parts without packaging: {mass}.", mass=reader.formats.mass(order.mass_kg)), "small")
    yield paragraph(
        t("Please confirm dates and prices, and name order {number} on every paper.", number=number), "small"
    )
    for stands in (each for line in order.lines for each in line.stands):
        yield paragraph(reader.say(stands), "small")
    note = missing_note(order, reader)
    if note:
        yield paragraph(note, "alert")
    yield gap(3 * style.SPACING.section)
    half = wide / 2 - 12
    line: list[Command] = [*FLUSH, ("LINEABOVE", (0, 0), (0, 0), 0.5, colour(style.INK))]
    signed = paragraph(t("For {name}: name, date, signature", name=order.buyer.name), "muted")
    yield grid([[signed, ""]], [half, wide - half], line, head_rows=0)
