"""The saw list of an order as sheets of a workbook, its own or the order's.

Patterns with their drawings, and one row a piece; costs for purchasing only.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from estimator.cutting.records import TENTHS_PER_MM, BarPattern
from estimator.documents.header import OrderHeader
from estimator.documents.language.texts import Reader
from estimator.documents.purchasing.book import OrderBook
from estimator.documents.sawing.common_rails import OrderPiece, SawnRail
from estimator.documents.sawing.common_words import ALIKE, MOVED, OWN_LISTS
from estimator.documents.sawing.grouped import PieceGroup, grouped
from estimator.documents.sawing.sheet_columns import piece_heads, piece_lengths
from estimator.documents.xlsx.drawings.pattern import draw_pattern, prepare_drawing
from estimator.documents.xlsx.looks import COUNT, HEAD, NOTE, STRONG, TEXT, WRAPPED, Look, as_total
from estimator.documents.xlsx.numbers.measures import (
    in_unit,
    length_looks,
    long_figure,
    long_head,
    measured_columns,
    measured_heads,
)
from estimator.documents.xlsx.numbers.money_formats import money_looks
from estimator.documents.xlsx.page import Page
from estimator.documents.xlsx.tables import Column, Row, write_table
from estimator.money import Money, minor_digits
from estimator.orders import CommonCut, CutCost

TOP = 4
PLACES = 60.0
"""Letters across the places of a row."""
_LENGTHS = length_looks(Look(across="right", rule="below"))
_LONG = Look(number_format="#,##0.00", across="right", rule="below")


def write_saw_sheets(book: OrderBook, rails: Sequence[SawnRail], header: OrderHeader, *, costs: bool) -> None:
    """Three sheets: the patterns of every rail, equal pieces by cut and job, every sawn piece with its label.

    ``costs`` adds the money that cutting together saves.
    """
    _write_patterns(book, rails, header, costs=costs)
    if any(pattern.cuts for rail in rails for pattern in rail.common.plan.bars):
        _write_groups(book, rails, header)
        _write_pieces(book, rails, header)


def _write_patterns(book: OrderBook, rails: Sequence[SawnRail], header: OrderHeader, *, costs: bool) -> None:
    t = book.reader.texts.t
    page = book.page(t("Cut plan"))
    page.head(t("Cut plan"), t("Rails of several quotes cut from common bars."))
    page.widths(11, 9, 20, *[13] * (3 + 2 * len(book.reader.formats.systems)))
    row = 3
    for rail in rails:
        row = _write_rail(page, book.reader, rail, row + 1, costs=costs)
    page.put(row + 1, 1, t(OWN_LISTS), NOTE)
    book.print_wide(page, 1, f"{header.number} · {t('Cut plan')}")


def _write_rail(page: Page, reader: Reader, rail: SawnRail, row: int, *, costs: bool) -> int:
    t, plan = reader.texts.t, rail.common.plan
    page.heading(row, t("Rail {rail}: {profile}", rail=rail.common.rail, profile=reader.say(rail.sheet.profile)))
    named = zip(rail.common.quotes, rail.sheet.jobs, strict=True)
    page.put(row + 1, 1, " · ".join(f"{quote} ({job})" if job else quote for quote, job in named), NOTE)
    row = _write_saved(page, reader, rail.common, row + 2, costs=costs) + 1
    if rail.common.joints_moved:
        page.put(row, 1, t(MOVED), NOTE)
        row += 1
    units = reader.formats.units
    lengths = [measured_heads("", name, "length", units).values() for name in (t("Bar (mm)"), t("Left over (mm)"))]
    heads = (t("Pattern"), t("Bars"), t("Part"), *(head for each in lengths for head in each), t("Off-cut"))
    for column, head in enumerate(heads, start=1):
        page.put(row, column, head, HEAD)
    prepare_drawing(page, row, t("Pieces in cutting order (mm)"), reader.formats.systems)
    longest = max(pattern.stock_length for pattern in plan.bars)
    for number, pattern in enumerate(plan.bars, start=rail.first_pattern):
        row += 1
        _write_pattern(page, reader, (row, number), pattern)
        draw_pattern(page, row, pattern, longest, reader.formats.systems)
    page.put(row + 1, 1, t("Sum"), as_total(STRONG))
    page.put(row + 1, 2, sum(pattern.count for pattern in plan.bars), as_total(COUNT))
    return row + 2


def _write_saved(page: Page, reader: Reader, common: CommonCut, row: int, *, costs: bool) -> int:
    """Together, each quote apart, and what is saved: bars, metres, and for purchasing the money."""
    t = reader.texts.t
    named = [long_head(t("Length (m)"), system) for system in reader.formats.systems]
    heads = ["", "", "", t("Bars"), *named, t("Splices"), *([t("Bars less off-cuts kept")] if costs else [])]
    for column, head in enumerate(heads, start=1):
        page.put(row, column, head, HEAD)
    ways: tuple[tuple[str, CutCost], ...] = (
        (t("Cut together"), common.together),
        (t("Each quote apart"), common.apart),
    )
    for name, way in ways:
        row += 1
        net = way.net if costs else None
        _write_way(page, reader, row, name, (way.bars, way.length_mm, way.splices, net))
    net = common.saving if costs else None
    _write_way(page, reader, row + 1, t("Saved"), (common.bars_saved, common.length_saved_mm, None, net))
    return row + 2


def _write_way(
    page: Page, reader: Reader, row: int, name: str, figures: tuple[int, float, int | None, Money | None]
) -> None:
    bars, length_mm, splices, net = figures
    page.put(row, 1, name, TEXT)
    page.merge(row, 1, 3)
    page.put(row, 4, bars, COUNT)
    column = 5
    for system in reader.formats.systems:
        page.put(row, column, long_figure(Decimal(repr(length_mm)), system), _LONG)
        column += 1
    page.put(row, column, splices, COUNT)
    if net is not None:
        looks = money_looks(net.currency, minor_digits(net.currency), reader.formats.locale)
        page.put(row, column + 1, net.amount, looks.amount)


def _write_pattern(page: Page, reader: Reader, place: tuple[int, int], pattern: BarPattern) -> None:
    row, number = place
    t = reader.texts.t
    page.put(row, 1, number, COUNT)
    page.put(row, 2, pattern.count, COUNT)
    page.put(row, 3, pattern.part, TEXT)
    column = 4
    for tenths in (pattern.stock_length, pattern.offcut):
        for system in reader.formats.systems:
            page.put(row, column, in_unit(Decimal(tenths) / TENTHS_PER_MM, "length", system), _LENGTHS[system])
            column += 1
    left = t("keep") if pattern.reusable else t("scrap")
    page.put(row, column, left if pattern.offcut else "", TEXT)
    page.sheet.row_dimensions[row].height = 18


def _write_groups(book: OrderBook, rails: Sequence[SawnRail], header: OrderHeader) -> None:
    """Equal pieces of bars cut alike, a row for each cut and job."""
    t, units = book.reader.texts.t, book.reader.formats.units
    page = book.page(t("Saw list"))
    page.head(t("Saw list"), t(ALIKE))
    heads = piece_heads(t, units)
    columns = (
        Column("rail", t("Rail"), 12, TEXT),
        Column("pattern", t("Pattern"), 9, COUNT),
        Column("bars", t("Bars"), 7, COUNT),
        *measured_columns("stock", heads, units, 10, _LENGTHS),
        Column("cut", t("Cut"), 6, COUNT),
        *measured_columns("length", heads, units, 10, _LENGTHS),
        Column("count", t("Pieces"), 8, COUNT),
        Column("job", t("Job"), 22, WRAPPED),
        Column("quote", t("Quote"), 15, TEXT),
        Column("places", t("Places"), PLACES, WRAPPED),
    )
    groups = [(rail, group) for rail in rails for group in grouped([each.piece for each in _sawn(rail)])]
    rows = [_group_row(book.reader, rail, group) for rail, group in groups]
    placed = write_table(page, TOP, "SawList", columns, rows)
    for at_row, row in enumerate(rows, start=placed.first):
        page.lines(at_row, str(row["places"]), PLACES)
    page.sheet.freeze_panes = f"A{TOP + 1}"
    book.print_wide(page, TOP, f"{header.number} · {t('Saw list')}")


def _sawn(rail: SawnRail) -> list[OrderPiece]:
    """The pieces that the saw makes."""
    cuts = [pattern.cuts for pattern in rail.common.plan.bars]
    return [each for each in rail.pieces if cuts[each.piece.pattern - rail.first_pattern]]


def _group_row(reader: Reader, rail: SawnRail, group: PieceGroup) -> Row:
    piece = group.first
    return {
        "rail": rail.common.rail,
        "pattern": piece.pattern,
        "bars": piece.pattern_bars,
        **piece_lengths(piece, reader.formats.units),
        "cut": piece.cut,
        "count": group.count,
        "job": piece.job,
        "quote": piece.quote,
        "places": "; ".join(reader.say(place) for place in group.places),
    }


def _write_pieces(book: OrderBook, rails: Sequence[SawnRail], header: OrderHeader) -> None:
    t = book.reader.texts.t
    page = book.page(t("Labels"))
    page.head(t("Labels"), t("Bars cut alike share a pattern; mark each piece with its label at the saw."))
    units = book.reader.formats.units
    heads = piece_heads(t, units)
    columns = (
        Column("rail", t("Rail"), 14, TEXT),
        Column("quote", t("Quote"), 16, TEXT),
        Column("job", t("Job"), 18, TEXT),
        Column("pattern", t("Pattern"), 9, COUNT),
        Column("bar", t("Bar"), 8, COUNT),
        Column("part", t("Part"), 20, TEXT),
        *measured_columns("stock", heads, units, 12, _LENGTHS),
        Column("cut", t("Cut"), 7, COUNT),
        *measured_columns("length", heads, units, 12, _LENGTHS),
        Column("label", t("Label"), 58, TEXT),
        *measured_columns("start", heads, units, 14, _LENGTHS),
        *measured_columns("offcut", heads, units, 12, _LENGTHS),
        Column("kept", t("Off-cut"), 14, TEXT),
    )
    rows = [_row(book.reader, each) for rail in rails for each in _sawn(rail)]
    write_table(page, TOP, "Labels", columns, rows)
    page.sheet.freeze_panes = f"A{TOP + 1}"
    book.print_wide(page, TOP, f"{header.number} · {t('Labels')}")


def _row(reader: Reader, each: OrderPiece) -> Row:
    piece = each.piece
    return {
        "rail": each.rail,
        "quote": each.quote,
        "job": each.job,
        "pattern": piece.pattern,
        "bar": piece.bar,
        "part": piece.part,
        **piece_lengths(piece, reader.formats.units),
        "cut": piece.cut,
        "label": reader.say(piece.label),
        "kept": reader.texts.t("keep") if piece.offcut_kept else reader.texts.t("scrap"),
    }
