"""Quotes that the tests of documents write: an offer of the fixture's book with the head of its quote."""

import io
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import lru_cache

import openpyxl

from estimator.comparison import Offer
from estimator.documents.header import QuoteHeader
from estimator.documents.workbook import write_workbook
from estimator.documents.workbook.entries import Entry
from estimator.documents.workbook.write import drafted
from estimator.job import Choices, Job
from estimator.money import total
from estimator.pricebook import Book, PriceBreak
from estimator.pricing.totals import Additions, add_up
from tests.builders import a_book, a_job, a_roof, an_array
from tests.searches import offer

DAY = date(2026, 11, 25)
HEAD = QuoteHeader("Q-7", 2, "draft", DAY, date(2026, 12, 25), "A. Estimator")
CONTINGENCY = Choices(contingency=Decimal("0.025"), line_discounts=(("CC-1", Decimal("0.10")),))


def two_roofs(**changes: object) -> Job:
    """Rails long enough to be spliced on one roof, a small array on the other."""
    south = a_roof(eave_length_mm=26_000.0, arrays=(an_array(rows=2, columns=18),))
    return a_job(south, a_roof(name="North"), **changes)


def book_with_breaks(**changes: object) -> Book:
    """The fixture's book with quantity breaks on screws and brackets, a list price, and spare parts."""
    book = a_book()
    parts = dict(book.parts)
    screw, bracket = parts["SC-AL"], parts["B-AL"]
    breaks = (PriceBreak(200, Decimal("0.1045")), PriceBreak(1000, Decimal("0.0937")))
    parts["SC-AL"] = replace(screw, breaks=breaks)
    parts["B-AL"] = replace(bracket, breaks=(PriceBreak(100, Decimal("3.955")),))
    parts["E-1"] = replace(parts["E-1"], list_price=Decimal("3.99995"))
    return replace(book, parts=parts, **changes)


@lru_cache(maxsize=8)
def the_offer(choices: Choices = CONTINGENCY) -> Offer:
    """The offer most tests write."""
    return offer(two_roofs(), book_with_breaks(), choices, DAY)


def an_offer_of(lines: int) -> Offer:
    """The offer most tests write, its lines taken over and over under part numbers of their own."""
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


@lru_cache(maxsize=8)
def the_workbook(edition: str = "estimator") -> bytes:
    """Its workbook."""
    return write_workbook(the_offer(), HEAD, edition)  # type: ignore[arg-type]


@lru_cache(maxsize=2)
def the_entries() -> tuple[Entry, ...]:
    """The cells of that workbook that the estimator may change."""
    return tuple(drafted(the_offer(), HEAD, "estimator").entries)


def entry_cell(field: str, part: str = "", added_row: int | None = None) -> tuple[str, str]:
    """Sheet and address of a cell that the estimator may change."""
    wanted = (field, part, added_row)
    return next((each.sheet, each.cell) for each in the_entries() if (each.field, each.part, each.added_row) == wanted)


def edited(content: bytes, changes: dict[tuple[str, str], object]) -> bytes:
    """The workbook with other contents in some cells, saved anew (so that no value of a formula is left)."""
    book = openpyxl.load_workbook(io.BytesIO(content))
    for (sheet, cell), value in changes.items():
        book[sheet][cell].value = value
    saved = io.BytesIO()
    book.save(saved)
    return saved.getvalue()


def named(content: bytes, *names: str) -> list[object]:
    """The values behind defined names."""
    book = openpyxl.load_workbook(io.BytesIO(content), data_only=True)
    found = []
    for name in names:
        sheet, cell = next(iter(book.defined_names[name].destinations))
        found.append(book[sheet][cell].value)
    return found


def named_cell(content: bytes, name: str) -> tuple[str, str]:
    """Sheet and address behind a defined name."""
    book = openpyxl.load_workbook(io.BytesIO(content))
    sheet, cell = next(iter(book.defined_names[name].destinations))
    return sheet, cell.replace("$", "")
