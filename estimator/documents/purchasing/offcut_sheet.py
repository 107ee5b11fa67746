"""The off-cuts from the house's own yard as a sheet of an order's workbook: how many there are, what they become."""

from __future__ import annotations

from estimator.documents.header import OrderHeader
from estimator.documents.language.texts import Reader
from estimator.documents.purchasing.book import OrderBook
from estimator.documents.xlsx.looks import COUNT, TEXT, WRAPPED, Look
from estimator.documents.xlsx.numbers.measures import length_looks, measured, measured_columns, measured_heads
from estimator.documents.xlsx.page import at
from estimator.documents.xlsx.tables import Column, Row, write_table
from estimator.orders import OffcutHeap, OrderLine, OrderLists

TOP = 4
_LENGTHS = length_looks(Look(across="right", rule="below"))
_SAWN = 60.0


def write_offcuts(book: OrderBook, whole: OrderLists, header: OrderHeader) -> None:
    """A sheet, where the order has anything from the yard; one row for the off-cuts of one part."""
    rows = offcut_rows(whole)
    if not rows:
        return
    reader = book.reader
    t, units = reader.texts.t, reader.formats.units
    page = book.page(t("Off-cuts"))
    page.head(t("Off-cuts from the yard"), t("They are not bought; the saw list draws how each is cut."))
    heads = measured_heads("length", t("Bar length (mm)"), "length", units)
    columns = (
        Column("rail", t("Rail"), 12, TEXT),
        Column("part", t("Part"), 24, TEXT),
        *measured_columns("length", heads, units, 12, _LENGTHS),
        Column("count", t("On hand"), 10, COUNT),
        Column("used", t("Taken"), 10, COUNT),
        Column("left", t("Left in the yard"), 12, COUNT),
        Column("sawn", t("Sawn into"), _SAWN, WRAPPED),
    )
    cells = [_row(heap, line, reader) for heap, line in rows]
    placed = write_table(page, TOP, "Offcuts", columns, cells)
    for at_row, row in enumerate(cells, start=placed.first):
        page.lines(at_row, str(row["sawn"] or ""), _SAWN)
    page.sheet.freeze_panes = at(placed.first, 1)
    book.print_wide(page, TOP, f"{header.number} · {t('Off-cuts')}")


def offcut_rows(whole: OrderLists) -> list[tuple[OffcutHeap | None, OrderLine | None]]:
    """The heaps told with the line of what is taken of them; then what quotes counted on and nobody told."""
    lines = {line.part: line for line in whole.from_yard}
    told: list[tuple[OffcutHeap | None, OrderLine | None]] = [(heap, lines.get(heap.part)) for heap in whole.offcuts]
    known = {heap.part for heap in whole.offcuts}
    return [*told, *((None, line) for part, line in lines.items() if part not in known)]


def _row(heap: OffcutHeap | None, line: OrderLine | None, reader: Reader) -> Row:
    known = heap or line
    assert known is not None
    return {
        "rail": heap.rail if heap else None,
        "part": known.part,
        **measured("length", known.length_mm, "length", reader.formats.units),
        "count": heap.count if heap else None,
        "used": heap.used if heap else line.required if line else None,
        "left": heap.left if heap else None,
        "sawn": "; ".join(reader.say(each) for each in line.sawn) if line else None,
    }
