"""The saw list of rails cut together: every piece of every job once, counts as ordered, the saving stated, no price."""

import csv
import io
import re
from collections import Counter
from dataclasses import replace
from datetime import date
from decimal import Decimal

import openpyxl
import pytest

from estimator.documents.header import OrderHeader
from estimator.documents.order.workbook import write_orders_workbook
from estimator.documents.order_saw_list.csv import COLUMNS, write_order_saw_csv
from estimator.documents.order_saw_list.pdf import write_order_saw_list
from estimator.documents.order_saw_list.workbook import write_order_saw_workbook
from estimator.documents.sawing.common_rails import sawn_rails
from estimator.errors import Conflict
from estimator.job import Address
from estimator.orders import QuoteSite, cut_together, make_order_lists
from estimator.pricebook import PriceBreak
from estimator.storage.records.codec import freeze, thaw
from tests.documents.pdf_reading import pages_fast
from tests.facts import refusing
from tests.orders.order_builders import TODAY, a_rail_book, a_rail_quote

HEADER = OrderHeader("O-7", date(2026, 11, 25))


def two_quotes():
    """Runs of 4,000 and 2,000 mm, and one of 9,000 mm with a splice: bars of 6 m in common."""
    return [a_rail_quote("Q-1", 4000.0, 9000.0, kerf_mm=3.0), a_rail_quote("Q-2", 1990.0, 1980.0, kerf_mm=3.0)]


def the_order(quotes=None):
    quotes = quotes or two_quotes()
    return make_order_lists(quotes, {}, TODAY, cut_together(quotes)), quotes


def rows_of(content):
    return list(csv.DictReader(io.StringIO(content.decode("utf-8"), newline="")))


def wanted(quotes):
    """Every piece by quote, run, number, start and length in tenths of a mm, from the quotes' own plans."""
    found = Counter()
    for quote in quotes:
        plan = quote.estimate.cut_plan
        for bar in plan.bars:
            for places in bar.labels:
                found.update(
                    (quote.number, str(plan.run_places[p.run]), p.number + 1, p.start, p.length) for p in places
                )
    return found


def listed(rows):
    return Counter(
        (row["quote"], row["run"], int(row["piece"]), round(float(row["start_in_run_mm"]) * 10),
         round(float(row["length_mm"]) * 10))
        for row in rows
    )  # fmt: skip


def test_every_piece_of_every_job_is_on_the_list_exactly_once():
    order, quotes = the_order()
    rows = rows_of(write_order_saw_csv(order.together))
    assert tuple(rows[0]) == COLUMNS
    assert listed(rows) == wanted(quotes)
    assert set(listed(rows).values()) == {1}
    labels = [row["label"] for row in rows]
    assert len(set(labels)) == len(labels)
    assert "T-1 · Q-2 · row 1 · 1" in labels


def test_the_bars_on_the_list_are_the_bars_ordered():
    order, _ = the_order()
    rows = rows_of(write_order_saw_csv(order.together))
    bars = Counter(part for part, _ in {(row["part"], row["bar"]) for row in rows})
    lines = {line.part: line.ordered for each in order.lists for line in each.lines if line.role == "rail"}
    assert bars == lines
    alike = Counter(row["pattern"] for row in {row["bar"]: row for row in rows}.values())
    assert all(int(row["pattern_bars"]) == alike[row["pattern"]] for row in rows)


def test_no_bar_holds_more_than_its_length():
    order, _ = the_order()
    held = Counter()
    for row in rows_of(write_order_saw_csv(order.together)):
        held[row["bar"], float(row["stock_mm"])] += float(row["length_mm"])
    assert all(length <= bar[1] for bar, length in held.items())


def test_bars_bought_to_reach_a_price_stand_on_the_list_and_are_not_cut(tmp_path):
    """Five bars at 60.00, six at 40.00: 300.00 to 240.00; one stays whole."""
    book = a_rail_book()
    cheap = replace(book.parts["R6"], breaks=(PriceBreak(6, Decimal("40.00")),))
    book = replace(book, parts=book.parts | {"R6": cheap})
    quotes = [a_rail_quote("Q-1", 4000.0, *[5900.0] * 2, book=book), a_rail_quote("Q-2", *[5900.0] * 2, book=book)]
    commons = cut_together(quotes)
    order = make_order_lists(quotes, {}, TODAY, [replace(each, used=True) for each in commons])
    (plan,) = [each.plan for each in order.together]
    assert sum(bar.count for bar in plan.bars if not bar.pieces) == 1
    assert listed(rows_of(write_order_saw_csv(order.together))) == wanted(quotes)
    lines = {line.part: line.ordered for each in order.lists for line in each.lines if line.role == "rail"}
    assert lines == {"R6": 6}
    found = " ".join(pages_fast(write_order_saw_list(order.together, HEADER), tmp_path))
    assert "Not cut: these bars stay whole." in found


def test_the_list_on_paper_names_every_sawn_piece_the_counts_and_the_saving_and_no_price(tmp_path):
    order, _ = the_order()
    content = write_order_saw_list(order.together, HEADER)
    assert content == write_order_saw_list(order.together, HEADER)
    found = " ".join(pages_fast(content, tmp_path))
    (rail,) = sawn_rails(order.together)
    for each in rail.pieces:
        if rail.common.plan.bars[each.piece.pattern - rail.first_pattern].cuts:  # what stays whole is told in numbers
            assert f"{each.piece.run} · {each.piece.piece}" in found
    common = rail.common
    assert f"Cut together {common.together.bars} " in found
    assert f"Each quote apart {common.apart.bars} " in found
    assert f"Saved {common.bars_saved} " in found
    whole = sum(bar.count for bar in common.plan.bars if bar.pieces and not bar.cuts)
    told = [re.search(rf"{quote} T-1 (\d+) (\d+)", found) for quote in ("Q-1", "Q-2")]
    assert [sum(map(int, each.groups())) for each in told] == [3, 2]
    assert sum(int(each[2]) for each in told) == whole
    for amount in (common.saving, common.together.bars_cost, common.apart.net):
        assert f"{amount.amount:.2f}" not in found
    for number, pattern in enumerate(common.plan.bars, start=1):
        assert (f"Pattern {number}: {pattern.count} bar" in found) == bool(pattern.cuts)


def heads_and_rows(sheet):
    heads = [cell.value for cell in sheet[4]]
    return [dict(zip(heads, (cell.value for cell in row), strict=True)) for row in sheet.iter_rows(min_row=5)]


def sawn(order):
    (rail,) = sawn_rails(order.together)
    cuts = [pattern.cuts for pattern in rail.common.plan.bars]
    return [each.piece for each in rail.pieces if cuts[each.piece.pattern - rail.first_pattern]]


def test_the_workbook_of_the_list_has_every_sawn_piece_and_no_price():
    order, _ = the_order()
    book = openpyxl.load_workbook(io.BytesIO(write_order_saw_workbook(order.together, HEADER)))
    assert book.sheetnames == ["Cut plan", "Saw list", "Labels"]
    rows = heads_and_rows(book["Labels"])
    assert [row["Label"] for row in rows] == [each.label for each in sawn(order)]
    shown = {cell.value for row in book["Cut plan"].iter_rows() for cell in row}
    assert order.together[0].saving.amount not in shown
    assert "Bars less off-cuts kept" not in shown


def rows_alike():
    """By hand: 24 runs of 2,990 mm for one job and 12 for another: two to a bar of 6 m."""
    return [a_rail_quote("Q-1", *[2990.0] * 24, kerf_mm=3.0), a_rail_quote("Q-2", *[2990.0] * 12, kerf_mm=3.0)]


def test_equal_pieces_stand_together_for_each_job_and_every_place_is_told_once(tmp_path):
    """By hand: 18 bars, two cuts in each of one pattern, 36 pieces; rows that follow each other are one place."""
    order, _ = the_order(rows_alike())
    order = replace(order, together=tuple(replace(each, used=True) for each in order.together))
    book = openpyxl.load_workbook(io.BytesIO(write_order_saw_workbook(order.together, HEADER)))
    rows = heads_and_rows(book["Saw list"])
    assert len(rows) < len(sawn(order)) == 36
    for quote, count in (("Q-1", 24), ("Q-2", 12)):
        assert sum(row["Pieces"] for row in rows if row["Quote"] == quote) == count
    told = Counter((row["Quote"], n) for row in rows for n in rows_in(row["Places"]))
    assert told == Counter((each.quote, int(str(each.run).removeprefix("row "))) for each in sawn(order))
    paper = " ".join(pages_fast(write_order_saw_list(order.together, HEADER), tmp_path))
    assert all(row["Places"].split("; ")[0] in paper for row in rows)


def rows_in(places):
    """The numbers of rows that places name: "rows 1 to 3 · 1; row 7 · 1" are 1, 2, 3 and 7."""
    for first, last in re.findall(r"rows? (\d+)(?: to (\d+))?", places):
        yield from range(int(first), int(last or first) + 1)


def test_the_list_on_paper_says_where_each_jobs_pieces_go(tmp_path):
    quotes = [
        a_rail_quote(number, *lengths, kerf_mm=3.0) for number, lengths in (("Q-1", (4000.0,)), ("Q-2", (1990.0,)))
    ]
    together = cut_together(quotes)
    sites = [QuoteSite("Q-1", "T-1", Address((), "24103", "Kiel"), None), QuoteSite("Q-2", "T-1", Address(), None)]
    found = " ".join(pages_fast(write_order_saw_list(together, HEADER, sites), tmp_path))
    assert "Q-1 T-1 24103 Kiel" in found


def test_the_workbook_of_the_whole_order_has_the_saw_list_and_the_money_saved():
    order, _ = the_order()
    content = write_orders_workbook(order.lists, HEADER, order.together)
    book = openpyxl.load_workbook(io.BytesIO(content))
    assert book.sheetnames == ["S-1", "Cut plan", "Saw list", "Labels"]
    shown = [cell.value for row in book["Cut plan"].iter_rows() for cell in row if isinstance(cell.value, (int, float))]
    assert float(order.together[0].saving.amount) in [float(value) for value in shown]
    assert order.together[0].saving.amount > 0
    plain = openpyxl.load_workbook(io.BytesIO(write_orders_workbook(order.lists, HEADER)))
    assert plain.sheetnames == ["S-1"]


def test_rails_of_two_kinds_are_numbered_through():
    other = {"rail": "R-OTHER", "name": "other rail"}
    quotes = [
        *two_quotes(),
        a_rail_quote("Q-3", 4000.0, **other),
        a_rail_quote("Q-4", 1900.0, **other),
    ]
    rails = sawn_rails(cut_together(quotes))
    assert len(rails) == 2
    bars = [piece.piece.bar for rail in rails for piece in rail.pieces]
    assert sorted(set(bars)) == list(range(1, len(set(bars)) + 1))
    assert rails[1].first_pattern == len(rails[0].common.plan.bars) + 1
    assert rails[1].pieces[0].piece.pattern == rails[1].first_pattern
    assert [rail.sheet.profile for rail in rails] == ["rail AL", "other rail"]


def test_moved_joints_are_told_on_the_list(tmp_path):
    order, _ = the_order()
    moved = [replace(each, joints_moved=True) for each in order.together]
    found = " ".join(pages_fast(write_order_saw_list(moved, HEADER), tmp_path))
    assert "Joints stand elsewhere than on the setting-out sheets of these quotes" in found


def test_an_order_with_nothing_cut_together_has_no_saw_list_of_its_own():
    for together in ((), [replace(each, used=False) for each in cut_together(two_quotes())]):
        for write in (write_order_saw_csv, lambda each: write_order_saw_list(each, HEADER)):
            with refusing(Conflict):
                write(together)


def test_texts_that_would_run_are_inert_for_people():
    quotes = [a_rail_quote("=Q-1", 4000.0), a_rail_quote("=Q-2", 2000.0)]
    rows = rows_of(write_order_saw_csv(cut_together(quotes), "spreadsheet").removeprefix(b"\xef\xbb\xbf"))
    assert [row["quote"] for row in rows] == ["'=Q-1", "'=Q-2"]


@pytest.mark.parametrize("language", ["de", "es", "fr"])
def test_every_language_writes_every_form(language, tmp_path):
    order, _ = the_order()
    header = replace(HEADER, language=language)
    assert "O-7" in " ".join(pages_fast(write_order_saw_list(order.together, header), tmp_path))
    assert len(openpyxl.load_workbook(io.BytesIO(write_order_saw_workbook(order.together, header))).sheetnames) == 3


def test_the_rail_is_named_as_the_book_names_it_in_the_readers_language(tmp_path):
    book = replace(a_rail_book(), texts={"de": {"rail AL": "Schiene AL"}})
    quotes = [a_rail_quote("Q-1", 4000.0, book=book), a_rail_quote("Q-2", 2000.0, book=book)]
    content = write_order_saw_list(cut_together(quotes), replace(HEADER, language="de"))
    assert "Schiene R-AL: Schiene AL" in " ".join(pages_fast(content, tmp_path))


def test_what_is_kept_of_a_common_cut_comes_back_for_the_saw_list():
    order, _ = the_order()
    again = thaw(freeze(order))
    assert write_order_saw_list(again.together, HEADER) == write_order_saw_list(order.together, HEADER)
