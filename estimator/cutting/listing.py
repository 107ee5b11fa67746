"""All patterns that a plan below a given cost may still use, where they are few enough to list.

Under prices that prove a bound, a pattern dearer than the gap (price of its bar less what its pieces pay) cannot occur
in any plan that closes the gap. Exact: whole numbers throughout.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from estimator.cutting.shop import Column, Shop

MOST_CELLS = 6_000_000
MOST_STEPS = 300_000


@dataclass(slots=True)
class Listing:
    """State of one enumeration: prices, the least pay a bar must reach, and what was found."""

    shop: Shop
    prices: Sequence[int]
    most: Sequence[int]
    best_from: list[memoryview]
    limit: int
    steps: int = 0
    found: list[Column] = field(default_factory=list)

    def exhausted(self) -> bool:
        """Whether there are too many to list."""
        return self.steps > MOST_STEPS or len(self.found) > self.limit


def patterns_within(
    shop: Shop, most: Sequence[int], prices: Sequence[int], need: Sequence[int | None], limit: int
) -> tuple[Column, ...] | None:
    """Every pattern whose pieces pay at least `need` of its bar; None if there are more than can be listed.

    Only full patterns are listed (no further piece of those wanted fits), since a piece too many does no harm; a bar
    with need None is left out.
    """
    if shop.values or len(shop.sizes) * (shop.widest + 1) > MOST_CELLS:
        return None
    tables = _suffix_tables(shop, most, prices)
    listing = Listing(shop, prices, most, tables, limit)
    for bar, least in enumerate(need):
        if least is not None and not _list_bar(listing, bar, least):
            return None
    return tuple(listing.found)


def _suffix_tables(shop: Shop, most: Sequence[int], prices: Sequence[int]) -> list[memoryview]:
    """For each size index i, the best pay of sizes i, i+1 ... in every room."""
    table = np.zeros(shop.widest + 1, dtype=np.int64)
    tables = [memoryview(table.tobytes()).cast("q")]
    for i in range(len(shop.sizes) - 1, -1, -1):
        rest, copies = min(most[i], shop.widest // shop.sizes[i]), 1
        while rest > 0 and prices[i] > 0:
            n = min(copies, rest)
            room, pay = n * shop.sizes[i], n * prices[i]
            new = table[:-room] + pay
            np.maximum(table[room:], new, out=table[room:])
            rest -= n
            copies *= 2
        tables.append(memoryview(table.tobytes()).cast("q"))
    tables.reverse()
    return tables


def _list_bar(listing: Listing, bar: int, least: int) -> bool:
    _deepen(listing, bar, 0, listing.shop.bars[bar].room, least, [])
    return not listing.exhausted()


def _deepen(listing: Listing, bar: int, i: int, room: int, least: int, pieces: list[tuple[int, int]]) -> None:
    """Tries every number of pieces of size i, most first, and goes on to the smaller sizes."""
    listing.steps += 1
    if listing.exhausted():
        return
    sizes = listing.shop.sizes
    while i < len(sizes) and (sizes[i] > room or listing.most[i] == 0):
        i += 1
    if i == len(sizes):
        if least <= 0 and pieces and _is_full(listing, room, pieces):
            listing.found.append((bar, tuple(pieces)))
        return
    if listing.best_from[i][room] < least:
        return
    for n in range(min(listing.most[i], room // sizes[i]), -1, -1):
        left, need = room - n * sizes[i], least - n * listing.prices[i]
        if listing.best_from[i + 1][left] < need:
            continue
        if n:
            pieces.append((i, n))
        _deepen(listing, bar, i + 1, left, need, pieces)
        if n:
            pieces.pop()


def _is_full(listing: Listing, room: int, pieces: list[tuple[int, int]]) -> bool:
    """Whether nothing that is wanted fits the room that is left."""
    taken = dict(pieces)
    for i in range(len(listing.shop.sizes) - 1, -1, -1):
        if listing.shop.sizes[i] > room:
            return True
        if taken.get(i, 0) < listing.most[i]:
            return False
    return True
