"""Prices for pieces of every length, as high as the bars allow: what a bound over all places of joints rests on.

The linear program prices only the sizes it knows. Further sizes are lifted one after the other: each gets the highest
price at which no filling of any bar is paid more than the bar is worth. Exact, in whole numbers.
Source: sequential lifting, Padberg (1975), Wolsey (1976); dual feasible functions, Lueker (1983).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from estimator.cutting.knapsack import Ints
from estimator.cutting.shop import Shop

GRID = 96


class RoomPrices:
    """The best pay in every room under the sizes priced so far, and the worth of every bar."""

    def __init__(self, shop: Shop, pay: Ints, worth: Sequence[int], least: int) -> None:
        """`least` is the room of the shortest piece there can be; below it nothing has to be priced."""
        self._rooms = [bar.room for bar in shop.bars]
        self._worth = list(worth)
        self._least = max(1, least)
        self._half = shop.widest // 2
        self._values = bool(shop.values)
        self.pay = pay.copy()

    def lift(self, room: int, cap: int | None = None) -> bool:
        """Raises the price of a size as far as possible (at most to `cap`); says whether it rose."""
        if room < self._least or room >= len(self.pay):
            return False
        price = cap
        for whole, worth in zip(self._rooms, self._worth, strict=True):
            most = whole // room
            if most:
                copies = np.arange(1, most + 1)
                can = int(((worth - self.pay[whole - copies * room]) // copies).min())
                price = can if price is None else min(price, can)
        if price is None or price <= int(self.pay[room]):
            return False
        copies_at_once = 1
        while copies_at_once * room < len(self.pay):
            shift = copies_at_once * room
            np.maximum(self.pay[shift:], self.pay[:-shift] + copies_at_once * price, out=self.pay[shift:])
            copies_at_once *= 2
        return True

    def lift_step(self, room: int) -> bool:
        """Lifts the whole step of equal prices that a room lies on, or as much of it as can be lifted."""
        room = min(max(room, self._least), len(self.pay) - 1)
        first = max(self._least, int(np.searchsorted(self.pay, self.pay[room], side="left")))
        rose = [self.lift(at) for at in (first, (first + room) // 2, room)]
        return any(rose)

    def lift_evenly(self) -> None:
        """Lifts sizes all over the bar to the price of their share of the bar that is cheapest for its room."""
        offers = [(w, r) for w, r in zip(self._worth, self._rooms, strict=True) if r > 0]
        worth, whole = min(offers, key=lambda pair: pair[0] / pair[1])
        stride = max(1, len(self.pay) // GRID)
        exact = [whole // n for n in range(2, 13)]
        for room in [*exact, *range(self._half, self._least - 1, -stride)]:
            self.lift(room, worth * room // whole)

    def by_room(self) -> Ints:
        """What a piece of each room pays, so that no pattern of any pieces is paid more than its bar's worth.

        A piece of at most half the widest bar pays what priced sizes in its room would; of the larger ones no two
        share a bar, so each may pay all that a bar is worth beside the best filling of the rest.
        """
        if self._values:
            return self.pay
        large = np.full(len(self.pay), 1 << 60, dtype=np.int64)
        for whole, worth in zip(self._rooms, self._worth, strict=True):
            if whole > 0:
                np.minimum(large[: whole + 1], worth - self.pay[whole::-1], out=large[: whole + 1])
        values = self.pay.copy()
        values[self._half + 1 :] = np.maximum(values[self._half + 1 :], large[self._half + 1 :])
        return values
