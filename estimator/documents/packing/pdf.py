"""The packing list as PDF: every package with its marks, masses, length and contents; never a price."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from reportlab.platypus import KeepTogether, PageBreak, Table

from estimator.documents import style
from estimator.documents.fonts.faces import BOLD, drawable
from estimator.documents.header import OrderHeader
from estimator.documents.language.texts import Reader
from estimator.documents.language.words import unit_name
from estimator.documents.packing.words import (
    KINDS,
    assumptions_of,
    cautions_of,
    marks_of,
    packing_facts,
    packing_parties,
    warnings_of,
)
from estimator.documents.pdf.missing import missing_note
from estimator.documents.pdf.page import build_pdf, colour, frame_size
from estimator.documents.pdf.parts import ROW_LINES, Command, broken, gap, grid, heading, paragraph
from estimator.documents.purchasing.facts import order_paper, order_reader
from estimator.documents.purchasing.masthead import masthead, page_head, parties_and_facts
from estimator.errors import NothingToWrite
from estimator.orders import OrderList, PackageGroup, Packing, PackingRules, notes_of, pack
from estimator.sentences import say

WIDTHS = {"marks": 88.0, "kind": 62.0, "length": 56.0, "net": 54.0, "gross": 54.0}


@dataclass(frozen=True, slots=True)
class _PackingSheet:
    """One supplier's shipment and who reads it."""

    order: OrderList
    packing: Packing
    header: OrderHeader
    reader: Reader
    wide: float


def write_packing_list(
    orders: OrderList | Sequence[OrderList], header: OrderHeader, rules: PackingRules | None = None
) -> bytes:
    """One shipment for each supplier, each from a new page on; the same lists and head give the same bytes.

    Refuses (Refused) no list, and a list without lines.
    """
    lists = shipments(orders)
    reader, paper = order_reader(lists[0], header), order_paper(lists[0], header)
    wide, _ = frame_size(paper)
    story: list[Any] = []
    for order in lists:
        story += [PageBreak()] if story else []
        story += _story(_PackingSheet(order, pack(order, rules), header, reader, wide))
    number = header.number_for(lists[0].supplier.supplier) if len(lists) == 1 else header.number
    title = f"{reader.texts.t('Packing list')} {number}"
    return build_pdf(story, page_head(title, lists[0], header, reader, paper))


def shipments(orders: OrderList | Sequence[OrderList]) -> tuple[OrderList, ...]:
    """The lists as a row of them. Refuses (Refused) none, and one without lines."""
    lists = (orders,) if isinstance(orders, OrderList) else tuple(orders)
    if not lists or not all(order.lines for order in lists):
        raise NothingToWrite(say("there is nothing to pack"))
    bringing = tuple(replace(order, lines=order.arriving) for order in lists if order.arriving)
    if not bringing:
        raise NothingToWrite(say("there is nothing to pack: this change of an order brings nothing"))
    return bringing


def _story(sheet: _PackingSheet) -> Iterator[Any]:
    order, packing, header, reader = sheet.order, sheet.packing, sheet.header, sheet.reader
    t = reader.texts.t
    yield masthead(t("Packing list"), order, header, reader, sheet.wide)
    yield gap()
    facts = packing_facts(order, packing, header, reader)
    yield parties_and_facts(packing_parties(order, reader), facts, sheet.wide)
    yield gap(style.SPACING.section)
    if told := notes_of(order.sites):
        yield heading(t("Notes"))
        yield from (paragraph(note) for note in told)
        yield gap()
    yield _packages(sheet)
    notes = [heading(t("What is assumed"))]
    notes += [paragraph(f"– {note}", "small") for note in assumptions_of(packing, reader)]
    if cautions := cautions_of(packing, reader):
        notes.append(heading(t("Cautions")))
        notes += [paragraph(f"– {note}", "small") for note in cautions]
    if missing := missing_note((order.supplier, order.lines, order.ship_to, order.sites), reader):
        notes.append(paragraph(missing, "alert"))
    yield KeepTogether(notes)


def _packages(sheet: _PackingSheet) -> Table:
    """A row for each group of packages alike; the sums in the last row."""
    t, formats, packing = sheet.reader.texts.t, sheet.reader.formats.stacked, sheet.packing
    room = sheet.wide - sum(WIDTHS.values())
    widths = [WIDTHS["marks"], WIDTHS["kind"], room, WIDTHS["length"], WIDTHS["net"], WIDTHS["gross"]]
    head = [t("Marks"), t("Packages"), t("Contents of each"), t("Length"), t("Net each"), t("Gross each")]
    rows: list[list[Any]] = [
        [broken(text, width) for text, width in zip(head, widths, strict=True)],
        *(_row(group, sheet) for group in packing.groups),
    ]
    gross = formats.mass(packing.gross_kg) if packing.gross_kg is not None else ""
    every = t("All packages: {count}", count=formats.count(packing.packages))
    rows.append([every, "", "", "", formats.mass(packing.net_kg), gross])
    last = len(rows) - 1
    look: list[Command] = [
        ("ALIGN", (3, 0), (-1, -1), "RIGHT"),
        ROW_LINES,
        ("FONT", (0, last), (-1, last), BOLD, style.TYPE.body),
        ("BACKGROUND", (0, last), (-1, last), colour(style.BLUE_TINT)),
        ("LINEABOVE", (0, last), (-1, last), 1.0, colour(style.BLUE)),
        ("SPAN", (0, last), (3, last)),
        ("NOSPLIT", (0, last - 1), (-1, last)),
    ]
    return grid(rows, widths, look)


def _row(group: PackageGroup, sheet: _PackingSheet) -> list[Any]:
    reader, formats = sheet.reader, sheet.reader.formats.stacked
    contents = []
    for each in group.contents:
        unit = unit_name(each.unit, reader)
        contents.append(paragraph(f"{formats.count(each.count)} {unit} {reader.say(each.description)}"))
        contents.append(paragraph(" · ".join(text for text in (each.supplier_part, each.part) if text), "muted"))
    if warning := warnings_of(group, reader):
        contents.append(paragraph(warning, "alert"))
    kind = f"{formats.count(group.count)} × {reader.texts.t(KINDS[group.kind])}"
    return [
        paragraph(marks_of(group, sheet.packing, reader), "bold"),
        drawable(kind),
        contents,
        formats.length(group.length_mm) if group.length_mm is not None else "",
        formats.mass(group.net_kg),
        formats.mass(group.gross_kg) if group.gross_kg is not None else "",
    ]
