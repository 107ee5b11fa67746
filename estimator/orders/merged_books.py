"""What the pricebooks of several quotes hold together: parts, suppliers, bars; the newest edition wins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from estimator.errors import Fault, Refused
from estimator.orders.records import OrderedQuote
from estimator.pricebook import Book, Part, Supplier
from estimator.sentences import say


@dataclass(frozen=True, slots=True)
class MergedBooks:
    """The newest book, and what all books hold; ``lengths`` are of bars, in mm."""

    newest: Book
    parts: Mapping[str, Part]
    suppliers: Mapping[str, Supplier]
    lengths: Mapping[str, float]


def merge_books(quotes: Sequence[OrderedQuote]) -> MergedBooks:
    """The books of the quotes together. Refuses (Refused) no quote at all, and mixed currencies."""
    if not quotes:
        raise Refused(say("no quote to order"), [Fault("/quotes", say("name at least one accepted quote"))])
    books = sorted((quote.estimate.book for quote in quotes), key=lambda book: (book.valid_from, book.edition))
    currencies = sorted({book.currency for book in books})
    if len(currencies) > 1:
        message = say("quotes in {names} cannot be ordered together", names=" and ".join(currencies))
        raise Refused(message, [Fault("/quotes", message, say("quotes of one currency"))])
    parts: dict[str, Part] = {}
    suppliers: dict[str, Supplier] = {}
    lengths: dict[str, float] = {}
    for book in books:
        parts |= book.parts
        suppliers |= book.suppliers
        lengths |= {stock.part: stock.length_mm for rail in book.rails.values() for stock in rail.stocks}
    return MergedBooks(books[-1], parts, suppliers, lengths)


def check_stock(stock: Mapping[str, int], books: MergedBooks) -> None:
    """Refuse (Refused) stock of parts that no book holds, or below nothing; every fault at once."""
    faults = [
        Fault(f"/stock/{part}", say("part {part} is in no pricebook of these quotes", part=repr(part)))
        for part in stock
        if part not in books.parts
    ]
    faults += [
        Fault(f"/stock/{part}", say("{count} on hand", count=count), say("0 or more"))
        for part, count in stock.items()
        if count < 0
    ]
    if faults:
        raise Refused(say("invalid stock list"), faults)
