"""A bound from lengths alone, in whole bars and whole splices: enough where splices leave all freedom.

Whatever the patterns, the bars' rooms together hold all pieces, and every splice makes one piece more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.cutting.instance import Bar
from estimator.cutting.tuning import THOROUGH


@dataclass(frozen=True, slots=True)
class RoomNeeded:
    """Room that the pieces take with the fewest splices, the room of one kerf, that number, and a splice's price."""

    room: int
    kerf: int
    splices: int
    splice_price: int


def aggregate_bound(bars: Sequence[Bar], need: RoomNeeded, known: int) -> int:
    """The least cost of whole bars and splices that hold everything and cost at least `known`.

    Args:
        bars: rooms in tenths of a mm (kerf included), prices, numbers on hand.
        need: what has to be held.
        known: a bound known otherwise.

    >>> aggregate_bound([Bar(60_000, 100, None, 60_000)], RoomNeeded(930_000, 0, 8, 5), 0)
    1640

    """
    best: int | None = None
    splices = need.splices
    while best is None or splices * need.splice_price < best:
        floor = max(0, known - splices * need.splice_price)
        room = need.room + (splices - need.splices) * need.kerf
        cost = _cheapest_cover(bars, room, floor)
        if cost is None:
            break
        total = cost + splices * need.splice_price
        best = total if best is None else min(best, total)
        if best <= known or need.splice_price == 0 or floor == 0:  # without a floor more splices only take more room
            break
        splices += 1
        if splices > need.splices + 400:
            return known
    return known if best is None else max(known, best)


def _cheapest_cover(bars: Sequence[Bar], room: int, floor: int) -> int | None:
    """Least cost of whole bars of at least that room and that cost; that of parts of bars where this takes too long."""
    offers = sorted((b for b in bars if b.room > 0 and b.available != 0), key=lambda b: (b.price / b.room, -b.room))
    if not offers:
        return None
    search = _Cover(offers, floor)
    search.deepen(0, room, 0)
    if search.steps > THOROUGH.cover_steps:
        return max(floor, min(-(-max(0, room) * bar.price // bar.room) for bar in offers))
    return search.best


@dataclass(slots=True)
class _Cover:
    """Branch and bound over the number of bars of each stock, the cheapest per room first."""

    offers: list[Bar]
    floor: int
    best: int | None = None
    steps: int = 0

    def deepen(self, at: int, room: int, cost: int) -> None:
        """Tries the numbers of bar `at`, from as many as needed downwards."""
        self.steps += 1
        if self.steps > THOROUGH.cover_steps or at == len(self.offers):
            return
        bar = self.offers[at]
        last = at + 1 == len(self.offers)
        enough = max(0, -(-room // bar.room))
        if bar.price > 0:
            enough = max(enough, -(-(self.floor - cost) // bar.price))
        most = enough if bar.available is None else min(enough, bar.available)
        for n in range(most, -1, -1):
            left, spent = room - n * bar.room, cost + n * bar.price
            if left <= 0 and spent >= self.floor:
                self.best = spent if self.best is None else min(self.best, spent)
                continue
            if last or (self.best is not None and self._least(at + 1, left, spent) >= self.best):
                break
            self.deepen(at + 1, left, spent)

    def _least(self, at: int, room: int, cost: int) -> int:
        bar = self.offers[at]
        return max(self.floor, cost + -(-max(0, room) * bar.price // bar.room))
