"""Off-cuts in the house's own yard that an order may be cut from, laid beside the bars of its quotes' books.

All off-cuts of one rail and length are one heap. What an order tells of a heap is what lies there now, also of the
off-cuts that its quotes count on; a change of an order has what the order took from the heap besides.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from estimator.errors import Fault
from estimator.money import zero
from estimator.orders.records import OffcutHeap, OffcutsOnHand, OrderedQuote, OrderLine, OrderLists
from estimator.pricebook import Book, Part
from estimator.pricing.rail_offers import offcut_name, offcut_part, tenths
from estimator.pricing.unit_prices import YARD, to_places
from estimator.sentences import figure, say

HeapKey = tuple[str, int]
"""A rail and a length in tenths of a mm."""
NO_COMMON_CUT = say("off-cuts on hand are cut where the rails of all quotes are cut together")


def heaps_of(offcuts: Sequence[OffcutsOnHand], books: Sequence[Book]) -> tuple[OffcutHeap, ...]:
    """The heaps told, each once, by rail and the longest first; those of no book's rail are left out.

    ``books``: the newest last. An off-cut without a price counts for what the quotes' own off-cuts of that length
    count for, else for what the book says an off-cut of that length is worth, else for nothing.
    """
    heaps: dict[HeapKey, OffcutHeap] = {}
    for each in offcuts:
        key = key_of(each)
        book = next((book for book in reversed(books) if each.rail in book.rails), None)
        if book is None:
            continue
        known = heaps.get(key)
        price = each.price if each.price is not None else known.price if known else _worth(key, books, book)
        count = each.count + (known.count if known else 0)
        heaps[key] = OffcutHeap(each.rail, offcut_name(each.rail, each.length_mm), each.length_mm, price, count)
    ordered = sorted(heaps.values(), key=lambda heap: (heap.rail, -heap.length_mm))
    return tuple(replace(heap, part=_unused(heap, books)) for heap in ordered)


def part_of(heap: OffcutHeap, books: Sequence[Book]) -> Part:
    """A heap's off-cut as a part that comes from the yard."""
    book = next(book for book in reversed(books) if heap.rail in book.rails)
    return offcut_part(heap.part, book.rails[heap.rail], heap.length_mm, heap.price)


def key_of(each: OffcutsOnHand | OffcutHeap) -> HeapKey:
    """The heap that an off-cut lies in."""
    return each.rail, tenths(each.length_mm)


def offcut_faults(offcuts: Sequence[OffcutsOnHand], books: Sequence[Book]) -> Iterator[Fault]:
    """Off-cuts of a rail that no book of the quotes has, and those of one heap at two prices."""
    rails = ", ".join(sorted({name for book in books for name in book.rails}))
    prices: dict[HeapKey, Decimal] = {}
    for at, each in enumerate(offcuts):
        if not any(each.rail in book.rails for book in books):
            message = say("rail {rail} is in no pricebook of these quotes", rail=repr(each.rail))
            yield Fault(f"/offcuts/{at}/rail", message, rails)
        if each.count < 1:
            yield Fault(f"/offcuts/{at}/count", say("{count} on hand", count=each.count), say("1 or more"))
        if each.length_mm <= 0:
            yield Fault(f"/offcuts/{at}/length", say("an off-cut without a length"), say("more than 0"))
        if each.price is not None and prices.setdefault(key_of(each), each.price) != each.price:
            message = say(
                "off-cuts of this rail and length count for {price} above", price=figure(prices[key_of(each)])
            )
            yield Fault(f"/offcuts/{at}/price", message, say("one price for off-cuts alike"))


def with_used(
    heaps: Sequence[OffcutHeap], yard: Sequence[OrderLine], quotes: Sequence[OrderedQuote]
) -> tuple[OffcutHeap, ...]:
    """The heaps with how many an order takes of each."""
    taken = _taken(heaps, yard, quotes)
    return tuple(replace(heap, used=taken.get(key_of(heap), 0)) for heap in heaps)


def taken_from_heaps(lists: OrderLists, quotes: Sequence[OrderedQuote]) -> dict[HeapKey, int]:
    """How many off-cuts of each heap an order takes, those among them that its quotes counted on."""
    return _taken(lists.offcuts, lists.from_yard, quotes)


def _taken(
    heaps: Sequence[OffcutHeap], yard: Sequence[OrderLine], quotes: Sequence[OrderedQuote]
) -> dict[HeapKey, int]:
    keys = {part: key for quote in quotes for part, key in yard_parts(quote.estimate.book).items()}
    keys |= {heap.part: key_of(heap) for heap in heaps}
    taken: dict[HeapKey, int] = {}
    for line in yard:
        if line.part in keys:
            taken[keys[line.part]] = taken.get(keys[line.part], 0) + line.required
    return taken


def as_stock(line: OrderLine) -> OrderLine:
    """A line of off-cuts from the yard as stock gives them: nothing is ordered, nothing sent."""
    nothing = zero(line.cost.currency)
    return replace(line, from_stock=line.required, packs=0, ordered=0, cost=nothing, mass_kg=0.0, order_by=None)


def with_taken(
    told: Sequence[OffcutHeap], taken: Mapping[HeapKey, int], more: Sequence[OffcutsOnHand]
) -> tuple[OffcutsOnHand, ...]:
    """What an order that is changed may take: what it took from every heap told so far, and what is told now."""
    now = {key_of(each): each for each in more}
    before = {key_of(heap): heap for heap in told}
    priced = {key_of(each) for each in more if each.price is not None}
    laid_in = [
        OffcutsOnHand(heap.rail, heap.length_mm, taken.get(key, 0), None if key in priced else heap.price)
        for key, heap in before.items()
    ]
    laid_in += [
        OffcutsOnHand(each.rail, each.length_mm, taken[key], None)
        for key, each in now.items()
        if key not in before and taken.get(key)
    ]
    return (*more, *laid_in)


def yard_parts(book: Book) -> dict[str, HeapKey]:
    """The off-cuts that a quote laid into its book, with the heap each lies in."""
    return {
        stock.part: (rail.rail, tenths(stock.length_mm))
        for rail in book.rails.values()
        for stock in rail.stocks
        if (part := book.parts.get(stock.part)) and part.supplier == YARD
    }


def _worth(key: HeapKey, books: Sequence[Book], book: Book) -> Decimal:
    own = [each.parts[part].cost for each in books for part, heap in yard_parts(each).items() if heap == key]
    if own:
        return own[-1]
    rail, length = book.rails[key[0]], Decimal(key[1]) / 10
    keeps, value = rail.reusable_offcut_length_mm, rail.offcut_value_per_m
    if keeps is None or value is None or length < Decimal(repr(keeps)):
        return Decimal(0)
    return to_places(value * length / 1000, book.price_places, book.rounding)


def _unused(heap: OffcutHeap, books: Sequence[Book]) -> str:
    """The heap's name, unless a part that is bought has it."""
    name = heap.part
    while any(name in book.parts and book.parts[name].supplier != YARD for book in books):
        name += "-yard"
    return name
