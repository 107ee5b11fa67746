"""What the pricebooks of several quotes hold together: parts, suppliers, bars; the newest edition wins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from estimator.errors import Fault, Refused
from estimator.orders.records import OffcutHeap, OffcutsOnHand, OrderedQuote
from estimator.orders.yard import NO_COMMON_CUT, heaps_of, offcut_faults, part_of
from estimator.pricebook import Book, Part, Supplier
from estimator.pricing.rail_offers import OWN_YARD
from estimator.pricing.unit_prices import YARD
from estimator.sentences import say


@dataclass(frozen=True, slots=True)
class MergedBooks:
    """The newest book, and what all books hold; ``lengths`` are of bars, in mm; ``heaps`` lie in the yard besides."""

    newest: Book
    parts: Mapping[str, Part]
    suppliers: Mapping[str, Supplier]
    lengths: Mapping[str, float]
    heaps: tuple[OffcutHeap, ...] = ()


def merge_books(quotes: Sequence[OrderedQuote], offcuts: Sequence[OffcutsOnHand] = ()) -> MergedBooks:
    """The books of the quotes together, and off-cuts on hand. Refuses (Refused) no quote at all, mixed currencies."""
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
    heaps = heaps_of(offcuts, books)
    if heaps:
        parts |= {heap.part: part_of(heap, books) for heap in heaps}
        suppliers.setdefault(YARD, OWN_YARD)
        lengths |= {heap.part: heap.length_mm for heap in heaps}
    return MergedBooks(books[-1], parts, suppliers, lengths, heaps)


def check_on_hand(
    quotes: Sequence[OrderedQuote],
    stock: Mapping[str, int],
    offcuts: Sequence[OffcutsOnHand] = (),
    *,
    together: bool = False,
) -> None:
    """Refuse (Refused) stock of parts that no book holds, or below nothing; every fault at once.

    So are off-cuts of unknown rails, and any where rails are not cut together: nothing would be sawn from them.
    """
    books = merge_books(quotes)
    faults = [*_stock_faults(stock, books), *offcut_faults(offcuts, [quote.estimate.book for quote in quotes])]
    if offcuts and not together:
        faults.append(Fault("/offcuts", NO_COMMON_CUT, say("rails cut together, or no off-cuts")))
    if faults:
        raise Refused(say("invalid off-cuts on hand") if offcuts else say("invalid stock list"), faults)


def _stock_faults(stock: Mapping[str, int], books: MergedBooks) -> list[Fault]:
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
    return faults
