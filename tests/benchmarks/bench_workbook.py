"""The workbook of quotes of 100, 1,000 and 10,000 lines beside openpyxl alone writing the same cells.

The bare run writes the same contents, formulas and looks into the same cells of as many sheets and saves; it has no
tables, names, validation, links or charts, and no values behind its formulas.

Run: python tests/benchmarks/bench_workbook.py
"""

from __future__ import annotations

import io
import time
import tracemalloc
from collections.abc import Callable
from dataclasses import replace

import openpyxl

from estimator.comparison import Offer
from estimator.documents.workbook import write_workbook
from estimator.documents.workbook.write import drafted
from estimator.documents.workbook_reading import read_workbook
from estimator.money import total
from estimator.pricing.totals import Additions, add_up
from tests.documents.quotes_to_write import HEAD, the_offer

Cells = dict[str, list[tuple[int, int, object, object]]]


def an_offer_of(lines: int) -> Offer:
    """The test offer, its lines taken over and over under part numbers of their own."""
    offer = the_offer()
    estimate, book = offer.estimate, offer.estimate.book
    parts, priced = dict(book.parts), []
    for number in range(lines):
        like = estimate.bill.lines[number % len(estimate.bill.lines)]
        name = f"{like.line.part}-{number:05d}"
        parts[name] = replace(book.parts[like.line.part], part=name)
        priced.append(replace(like, line=replace(like.line, part=name)))
    many = replace(book, parts=parts)
    totals = estimate.bill.totals
    additions = Additions(
        totals.discount_rate, totals.contingency_rate, totals.freight, totals.labour, estimate.labour.cost
    )
    bill = replace(estimate.bill, lines=tuple(priced), totals=add_up(priced, additions, many))
    assert bill.totals.parts == total((line.price for line in priced), bill.currency)
    return replace(offer, estimate=replace(estimate, book=many, bill=bill))


def cells_of(offer: Offer) -> Cells:
    """Every cell of the workbook with its content and its style as openpyxl's own records."""
    return {
        sheet.title: [
            (cell.row, cell.column, cell.value, cell._style)
            for row in sheet.iter_rows()
            for cell in row
            if cell.value is not None or cell.has_style
        ]
        for sheet in drafted(offer, HEAD, "estimator").workbook
    }


def bare(cells: Cells) -> bytes:
    """The same cells by the library alone."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, contents in cells.items():
        sheet = book.create_sheet(title)
        for row, column, value, _ in contents:
            sheet.cell(row, column, value)
    saved = io.BytesIO()
    book.save(saved)
    return saved.getvalue()


def styled(cells: Cells) -> bytes:
    """The same with a plain style object on every cell, as one who formats by the library alone would set it."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    font = openpyxl.styles.Font(name="DejaVu Sans", size=9)
    for title, contents in cells.items():
        sheet = book.create_sheet(title)
        for row, column, value, _ in contents:
            cell = sheet.cell(row, column, value)
            cell.font = font
            cell.number_format = "#,##0.00"
    saved = io.BytesIO()
    book.save(saved)
    return saved.getvalue()


def measured(write: Callable[[], bytes]) -> tuple[float, float, int]:
    """Best of two in seconds of processor time, peak megabytes, kilobytes written."""
    best, written = 1e9, b""
    for _ in range(2):
        started = time.process_time()
        written = write()
        best = min(best, time.process_time() - started)
    tracemalloc.start()
    write()
    peak = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    return best, peak, len(written) // 1000


def main() -> None:
    print(" lines    cells  | ours: s      MB      kB | bare: s      MB | styled: s | ours/bare  ours/styled | read: s")
    for lines in (100, 1_000, 10_000):
        offer = an_offer_of(lines)
        cells = cells_of(offer)
        count = sum(len(each) for each in cells.values())
        ours = measured(lambda offer=offer: write_workbook(offer, HEAD))
        alone = measured(lambda cells=cells: bare(cells))
        formatted = measured(lambda cells=cells: styled(cells))
        content = write_workbook(offer, HEAD)
        started = time.process_time()
        read_workbook(content, offer, HEAD)
        read = time.process_time() - started
        print(
            f"{lines:6d} {count:8d}  | {ours[0]:7.2f} {ours[1]:7.1f} {ours[2]:7d} | {alone[0]:7.2f} {alone[1]:7.1f} |"
            f" {formatted[0]:9.2f} | {ours[0] / alone[0]:9.2f} {ours[0] / formatted[0]:12.2f} | {read:7.2f}"
        )


if __name__ == "__main__":
    main()
