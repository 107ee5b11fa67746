"""The best pay in every room of a bar when any number of pieces of any size may be cut: an unbounded knapsack.

All arithmetic is in whole numbers, so that its answer can stand in a proof.
Source: dynamic programming over the room of the bar, Gilmore and Gomory, Operations Research 11 (1963) 863.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np


class UnboundedKnapsack:
    """Pay in every room under prices of some sizes, and the pieces behind it."""

    def __init__(self, sizes: Sequence[int], prices: Sequence[int], widest: int) -> None:
        """`sizes` in units (at least 1, ascending or not), `prices` whole numbers of 0 or more."""
        paid = sorted((size, price) for size, price in zip(sizes, prices, strict=True) if price > 0)
        self._sizes = np.array([size for size, _ in paid], dtype=np.int64)
        self._prices = np.array([price for _, price in paid], dtype=np.int64)
        self._widest = widest
        self.pay = np.zeros(widest + 1, dtype=np.int64)
        self._piece = np.zeros(widest + 1, dtype=np.int64)
        if paid:
            self._fill()

    def _fill(self) -> None:
        """Blocks as long as the smallest size: what is left beside one piece always lies in an earlier block."""
        least = int(self._sizes[0])
        start = least
        while start <= self._widest:
            rooms = np.arange(start, min(start + least, self._widest + 1), dtype=np.int64)
            fitting = int(np.searchsorted(self._sizes, int(rooms[-1]), side="right"))
            left = rooms[None, :] - self._sizes[:fitting, None]
            total = np.where(left >= 0, self.pay[np.maximum(left, 0)] + self._prices[:fitting, None], 0)
            best = total.argmax(axis=0)
            pay = total[best, np.arange(len(rooms))]
            before = int(self.pay[start - 1])
            pay[0] = max(int(pay[0]), before)
            raised = np.maximum.accumulate(pay)
            own = total[best, np.arange(len(rooms))] == raised
            self.pay[rooms] = raised
            self._piece[rooms] = np.where(own & (raised > 0), self._sizes[best], 0)
            start += least

    def pieces(self, room: int) -> dict[int, int]:
        """The pieces (size to number) that are paid best in that room."""
        found: dict[int, int] = {}
        while room > 0:
            size = int(self._piece[room])
            if size:
                found[size] = found.get(size, 0) + 1
                room -= size
            else:
                room -= 1
        return found
