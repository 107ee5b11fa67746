"""The workbook of quotes of 100, 1,000 and 10,000 lines beside openpyxl alone writing the same cells in the same looks.

The bare run puts the same contents and formulas in the same looks into the same cells of as many sheets, as wide, as
high and joined alike, and saves; it has no tables, names, validation, links or charts, and no values behind its
formulas.

Run: python tests/benchmarks/bench_workbook.py
"""

from __future__ import annotations

import io
import time
import tracemalloc
from collections.abc import Callable, Sequence
from copy import copy
from dataclasses import dataclass

import openpyxl
from openpyxl.styles import NamedStyle

from estimator.comparison import Offer
from estimator.documents.workbook import write_workbook
from estimator.documents.workbook.write import drafted
from estimator.documents.workbook_reading import read_workbook
from tests.documents.quotes_to_write import HEAD, an_offer_of

STYLE_PARTS = ("font", "fill", "border", "alignment", "number_format", "protection")
Look = int
"""A look's number in the list of looks."""


@dataclass(frozen=True)
class Contents:
    """What stands on the sheets: by title each cell with its content and look, widths, heights, joined cells."""

    cells: dict[str, list[tuple[int, int, object, Look]]]
    looks: list[dict[str, object]]
    widths: dict[str, dict[str, float]]
    heights: dict[str, dict[int, float]]
    merged: dict[str, list[str]]


def contents_of(offer: Offer) -> Contents:
    """Everything that stands in the cells of the workbook, and how it looks."""
    book = drafted(offer, HEAD, "estimator").workbook
    looks: dict[tuple[int, ...], Look] = {}
    styles: list[dict[str, object]] = []
    cells: dict[str, list[tuple[int, int, object, Look]]] = {}
    for sheet in book:
        cells[sheet.title] = []
        for cell in (each for row in sheet.iter_rows() for each in row):
            key = tuple(cell._style or ())
            if key not in looks:
                looks[key] = len(looks)
                styles.append({name: copy(getattr(cell, name)) for name in STYLE_PARTS})
            if cell.value is not None or cell.has_style:
                cells[sheet.title].append((cell.row, cell.column, cell.value, looks[key]))
    return Contents(
        cells,
        styles,
        {sheet.title: {key: each.width for key, each in sheet.column_dimensions.items()} for sheet in book},
        {sheet.title: {key: each.height for key, each in sheet.row_dimensions.items()} for sheet in book},
        {sheet.title: [str(each) for each in sheet.merged_cells] for sheet in book},
    )


def bare(contents: Contents) -> bytes:
    """The same cells in the same looks by the library alone, in its quickest public way: one named style a look."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for number, look in enumerate(contents.looks):
        book.add_named_style(NamedStyle(name=f"look {number}", **look))
    names = [f"look {number}" for number in range(len(contents.looks))]
    for title, cells in contents.cells.items():
        sheet = book.create_sheet(title)
        for row, column, value, look in cells:
            sheet.cell(row, column, value).style = names[look]
        for column, width in contents.widths[title].items():
            sheet.column_dimensions[column].width = width
        for row, height in contents.heights[title].items():
            sheet.row_dimensions[row].height = height
        for place in contents.merged[title]:
            sheet.merge_cells(place)
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


def main(sizes: Sequence[int] = (100, 1_000, 10_000)) -> None:
    print(" lines    cells  | ours: s      MB      kB | bare: s      MB      kB | ours/bare | read: s")
    for lines in sizes:
        offer = an_offer_of(lines)
        contents = contents_of(offer)
        count = sum(len(each) for each in contents.cells.values())
        ours = measured(lambda offer=offer: write_workbook(offer, HEAD))
        alone = measured(lambda contents=contents: bare(contents))
        content = write_workbook(offer, HEAD)
        started = time.process_time()
        read_workbook(content, offer, HEAD)
        read = time.process_time() - started
        print(
            f"{lines:6d} {count:8d}  | {ours[0]:7.2f} {ours[1]:7.1f} {ours[2]:7d} |"
            f" {alone[0]:7.2f} {alone[1]:7.1f} {alone[2]:7d} | {ours[0] / alone[0]:9.2f} | {read:7.2f}"
        )


if __name__ == "__main__":
    main()
