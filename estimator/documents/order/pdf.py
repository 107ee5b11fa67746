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
from estimator.documents.pdf.logo import logo_marks
from estimator.documents.pdf.missing import missing_note
from estimator.documents.pdf.page import PageHead, build_pdf, colour, frame_size
from estimator.documents.pdf.parts import ROW_LINES, Command, fitted, gap, grid, paragraph, right_from
from estimator.documents.purchasing.facts import (
    Fact,
    Party,
    invented_note,
    order_facts,
    order_paper,
    order_parties,
    order_reader,
    place_lines,
)
from estimator.orders import OrderLine, OrderList

FLUSH: list[Command] = [("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 0)]
WIDTHS = {"line": 24.0, "part": 92.0, "quantity": 62.0, "packs": 66.0, "price": 58.0, "cost": 70.0}


def write_order_pdf(order: OrderList, header: OrderHeader) -> bytes:
    """One supplier's order; the same order and head give the same bytes.

    Refuses (Refused) a list without lines, and one whose lines do not add up to its total.
    """
    check_sums(order)
    reader, paper = order_reader(order, header), order_paper(order, header)
    wide, _ = frame_size(paper)
    story = list(_story(order, header, reader, wide))
    title = f"{reader.texts.t('Order')} {header.number_for(order.supplier.supplier)}"
    return build_pdf(story, page_head(title, order, header, reader, paper))


def page_head(title: str, order: OrderList, header: OrderHeader, reader: Reader, paper: str) -> PageHead:
    """What every page of an order or a packing list carries."""
    t = reader.texts.t
    note = invented_note(order, reader)
    return PageHead(
        paper=paper,
        language=reader.texts.locale.replace("_", "-"),
        title=title,
        author=order.buyer.name,
        dated=header.dated,
        foot=f"{title} · {order.buyer.name} · {reader.formats.date(header.dated)}",
        page_of=t("Page {page} of {pages}"),
        marks=(note,) if note else (),
    )


def _story(order: OrderList, header: OrderHeader, reader: Reader, wide: float) -> Iterator[Any]:
    t = reader.texts.t
    yield masthead(t("Order"), order, header, reader, wide)
    yield gap()
    yield parties_and_facts(order_parties(order, reader), order_facts(order, header, reader), wide)
    yield gap(style.SPACING.section)
    yield _lines(order, reader, wide)
    yield gap(style.SPACING.section)
    yield KeepTogether(list(_closing(order, header, reader, wide)))


def masthead(name: str, order: OrderList, header: OrderHeader, reader: Reader, wide: float) -> Table:
    """The house on the left under its logo, what this is on the right, a rule below."""
    buyer = order.buyer
    place = place_lines(buyer, reader)
    left = [*logo_marks(buyer, reader), paragraph(buyer.name, "bold"), paragraph(" · ".join(place), "muted")]
    number = header.number_for(order.supplier.supplier)
    right = [paragraph(name, "title", right=True), paragraph(number, "bold", right=True)]
    rule: list[Command] = [
        *FLUSH,
        ("BOTTOMPADDING", (0, 0), (-1, -1), 6),
        ("LINEBELOW", (0, 0), (-1, 0), 1.2, colour(style.BLUE)),
        ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
    ]
    return grid([[left, right]], [wide * 0.62, wide * 0.38], rule, head_rows=0, layout=True)


def parties_and_facts(parties: tuple[Party, ...], facts: tuple[Fact, ...], wide: float) -> Table:
    """Who it goes to and where it is delivered, left; number, dates and references right. The buyer heads the page."""
    label, half = 96.0, wide / 2
    left: list[Any] = []
    for party in parties[:1] + parties[2:]:
        left += [paragraph(party.role, "muted"), paragraph(party.name, "bold")]
        left += [paragraph(line) for line in party.lines]
        left.append(gap(style.SPACING.unit))
    rows = [[paragraph(fact.label, "muted"), fitted(fact.value, half - label - 6)] for fact in facts]
    close: list[Command] = [("LEFTPADDING", (0, 0), (0, -1), 0), ("TOPPADDING", (0, 0), (-1, -1), 0.6)]
    right = grid(rows or [["", ""]], [label, half - label], close, head_rows=0)
    return grid([[left, right]], [half, half], FLUSH, head_rows=0)


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
    note = missing_note(order, reader)
    if note:
        yield paragraph(note, "alert")
    yield gap(3 * style.SPACING.section)
    half = wide / 2 - 12
    line: list[Command] = [*FLUSH, ("LINEABOVE", (0, 0), (0, 0), 0.5, colour(style.INK))]
    signed = paragraph(t("For {name}: name, date, signature", name=order.buyer.name), "muted")
    yield grid([[signed, ""]], [half, wide - half], line, head_rows=0)
