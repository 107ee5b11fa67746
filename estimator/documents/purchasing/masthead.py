"""The head of an order and a packing list on paper: the house, what this is, parties and facts; the foot of a page."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import Table

from estimator.documents import style
from estimator.documents.header import Fact, OrderHeader
from estimator.documents.language.texts import Reader
from estimator.documents.pdf.logo import logo_marks
from estimator.documents.pdf.page import PageHead, colour
from estimator.documents.pdf.parts import Command, fitted, gap, grid, paragraph
from estimator.documents.purchasing.facts import OrderParty, invented_note, place_lines
from estimator.orders import OrderList

FLUSH: list[Command] = [("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 0)]


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


def masthead(name: str, order: OrderList, header: OrderHeader, reader: Reader, wide: float, number: str = "") -> Table:
    """The house on the left under its logo, what this is on the right, a rule below; the number is the supplier's."""
    buyer = order.buyer
    place = place_lines(buyer, reader)
    left = [*logo_marks(buyer, reader), paragraph(buyer.name, "bold"), paragraph(" · ".join(place), "muted")]
    number = number or header.number_for(order.supplier.supplier)
    right = [paragraph(name, "title", right=True), paragraph(number, "bold", right=True)]
    rule: list[Command] = [
        *FLUSH,
        ("BOTTOMPADDING", (0, 0), (-1, -1), 6),
        ("LINEBELOW", (0, 0), (-1, 0), 1.2, colour(style.BLUE)),
        ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
    ]
    return grid([[left, right]], [wide * 0.62, wide * 0.38], rule, head_rows=0, layout=True)


def parties_and_facts(parties: tuple[OrderParty, ...], facts: tuple[Fact, ...], wide: float) -> Table:
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
