"""The best-paid pattern for given prices of the pieces: one bounded knapsack that answers for every bar at once.

All arithmetic is in whole numbers (int64), so that its answer can stand in a proof. Where only few sums of sizes can
occur, it works on those sums alone; otherwise on every unit of the bar.
Source: dynamic programming over the room of the bar, Gilmore and Gomory, Operations Research 11 (1963) 863.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from estimator.cutting.instance import Column, Instance
from estimator.cutting.tuning import COLUMNS

Ints = NDArray[np.int64]
UNTRIED = -(1 << 61)


@dataclass(frozen=True, slots=True)
class PricedPatterns:
    """For every bar the highest value of a pattern on it (off-cut included), and patterns worth having."""

    worth: tuple[int, ...]
    columns: tuple[Column, ...]


class Knapsack:
    """Prices patterns over one set of sizes and bars; what does not change between calls is kept."""

    def __init__(self, instance: Instance, most: Sequence[int]) -> None:
        self._sizes = instance.sizes
        widest = self._widest = instance.widest
        points = _reachable(instance.sizes, most, widest)
        self._dense = len(points) > COLUMNS.sparse_share * (widest + 1)
        self._points: Ints = np.arange(widest + 1, dtype=np.int64) if self._dense else points
        rooms = np.array([bar.room for bar in instance.bars], dtype=np.int64)
        self._rooms = [bar.room for bar in instance.bars]
        self._ends = np.searchsorted(self._points, rooms, side="right") - 1
        self._shifts: dict[int, tuple[int, NDArray[np.intp]]] = {}
        self._last: tuple[list[tuple[int, int, int]], Ints, NDArray[np.bool_]]
        self._left = _left_values(instance, self._points, self._ends)

    @property
    def points(self) -> int:
        """How many places on a bar it works on."""
        return len(self._points)

    def price(
        self, values: Sequence[int], most: Sequence[int], charge: Sequence[int], unit: int, limit: int
    ) -> PricedPatterns:
        """Best patterns when a piece of size i pays `values[i]` and at most `most[i]` of it are wanted.

        Args:
            values: whole number per size; what a bar costs is `charge`, in the same scaled unit.
            most: pieces of each size that one bar may carry.
            charge: per bar, the price to beat.
            unit: scaled units to one unit of money (for off-cut values).
            limit: at most so many patterns are returned; each is worth more than its bar's charge.

        """
        stages = self._stages(values, most)
        table, taken, tried = self._fill(stages)
        self._last = (stages, table, taken)
        worth, starts = self._worth(table, unit)
        columns: dict[Column, None] = {}
        order = np.argsort(np.array([c - w for c, w in zip(charge, worth, strict=True)]), kind="stable")
        for bar in order.tolist():
            if worth[bar] > charge[bar]:
                columns[self._trace(bar, len(stages), starts[bar], stages, taken)] = None
        if not self._left and stages:
            for bar, stage in _spread(tried, charge, stages, limit):
                columns[self._trace_from(bar, stage, stages, taken)] = None
        return PricedPatterns(tuple(worth), tuple(c for c in columns if c[1])[: max(limit, len(worth))])

    def pay_in_every_room(self) -> Ints:
        """After `price`: the best pay in every room, off-cut values left out."""
        table = self._last[1]
        if self._dense:
            return table
        rooms = np.arange(self._widest + 1)
        return table[np.searchsorted(self._points, rooms, side="right") - 1]

    def price_of_room(self, charge: Sequence[int]) -> tuple[Ints, NDArray[np.intp]]:
        """After `price`: what a piece of each room would have to pay to be worth a bar, and on which bar it would lie.

        Off-cut values are left out. Rooms wider than every bar cost what nothing can.
        """
        widest = self._widest
        dense = self.pay_in_every_room()
        prices = np.full((len(self._ends), widest + 1), 1 << 60, dtype=np.int64)
        for bar, (room, cost) in enumerate(zip(self._rooms, charge, strict=True)):
            if room > 0:
                prices[bar, : room + 1] = cost - dense[room::-1]
        return prices.min(axis=0), prices.argmin(axis=0)

    def completion(self, bar: int, room: int) -> Column:
        """After `price`: the best pattern for what is left of the bar beside a piece of that room."""
        stages, _, taken = self._last
        at = int(np.searchsorted(self._points, self._rooms[bar] - room, side="right")) - 1
        return self._trace(bar, len(stages), at, stages, taken)

    def _stages(self, values: Sequence[int], most: Sequence[int]) -> list[tuple[int, int, int]]:
        """(size index, copies, pay) with copies 1, 2, 4 ..., best-paid room first."""
        chosen = [i for i, pay in enumerate(values) if pay > 0 and most[i] > 0]
        chosen.sort(key=lambda i: -values[i] / self._sizes[i])
        widest = int(self._points[-1])
        stages = []
        for i in chosen:
            rest, copies = min(most[i], widest // self._sizes[i]), 1
            while rest > 0:
                n = min(copies, rest)
                stages.append((i, n, n * values[i]))
                rest -= n
                copies *= 2
        return stages

    def _shift(self, room: int) -> tuple[int, NDArray[np.intp]]:
        """First point with that much room, and for it and all later ones the point that is left after taking it."""
        found = self._shifts.get(room)
        if found is None:
            first = int(np.searchsorted(self._points, room, side="left"))
            back = np.searchsorted(self._points, self._points[first:] - room, side="right") - 1
            found = self._shifts[room] = (first, back)
        return found

    def _fill(self, stages: list[tuple[int, int, int]]) -> tuple[Ints, NDArray[np.bool_], Ints]:
        size = len(self._points)
        table = np.zeros(size, dtype=np.int64)
        taken = np.empty((len(stages), size), dtype=np.bool_)
        tried = np.full((len(stages), len(self._ends)), UNTRIED, dtype=np.int64)
        ends = self._ends.tolist()
        for k, (i, copies, pay) in enumerate(stages):
            room = copies * self._sizes[i]
            if self._dense:
                first = room
                new = table[: size - room] + pay
            else:
                first, back = self._shift(room)
                new = table.take(back)
                new += pay
            row = tried[k]
            for bar, end in enumerate(ends):
                if end >= first:
                    row[bar] = new[end - first]
            upper = table[first:]
            np.greater(new, upper, out=taken[k, first:])
            np.maximum(upper, new, out=upper)
        return table, taken, tried

    def _worth(self, table: Ints, unit: int) -> tuple[list[int], list[int]]:
        """Per bar: the highest pay with its off-cut, and the point it ends at."""
        if not self._left:
            ends = self._ends.tolist()
            return [int(table[end]) for end in ends], ends
        worth, starts = [], []
        for end, left in zip(self._ends.tolist(), self._left, strict=True):
            total = table[: end + 1] + left * unit
            at = int(np.argmax(total))
            worth.append(int(total[at]))
            starts.append(at)
        return worth, starts

    def _trace_from(self, bar: int, stage: int, stages: list[tuple[int, int, int]], taken: NDArray[np.bool_]) -> Column:
        i, copies, _ = stages[stage]
        at = self._before(int(self._ends[bar]), copies * self._sizes[i])
        return self._trace(bar, stage, at, stages, taken, {i: copies})

    def _before(self, at: int, room: int) -> int:
        if self._dense:
            return at - room
        first, back = self._shift(room)
        return int(back[at - first])

    def _trace(
        self,
        bar: int,
        below: int,
        at: int,
        stages: list[tuple[int, int, int]],
        taken: NDArray[np.bool_],
        pieces: dict[int, int] | None = None,
    ) -> Column:
        """The pieces behind one entry of the table, walking back through the stages below `below`."""
        found = pieces if pieces is not None else {}
        firsts = self._firsts(stages)
        while below > 0:
            marks = np.flatnonzero(taken[:below, at] & (firsts[:below] <= at))
            if not marks.size:
                break
            below = int(marks[-1])
            i, copies, _ = stages[below]
            found[i] = found.get(i, 0) + copies
            at = self._before(at, copies * self._sizes[i])
        return bar, tuple(sorted(found.items()))

    def _firsts(self, stages: list[tuple[int, int, int]]) -> Ints:
        cached = getattr(self, "_firsts_of", None)
        if cached is not None and cached[0] is stages:
            return cached[1]  # type: ignore[no-any-return]
        rooms = [copies * self._sizes[i] for i, copies, _ in stages]
        firsts = np.array(rooms if self._dense else [self._shift(room)[0] for room in rooms], dtype=np.int64)
        self._firsts_of = (stages, firsts)
        return firsts


def _spread(
    tried: Ints, charge: Sequence[int], stages: list[tuple[int, int, int]], limit: int
) -> list[tuple[int, int]]:
    """For every size the best pattern that ends with it, largest saving first: (bar, stage)."""
    gain = tried - np.array(charge, dtype=np.int64)
    bars = np.argmax(gain, axis=1)
    best = gain[np.arange(len(stages)), bars]
    order = np.argsort(-best, kind="stable")
    seen: set[int] = set()
    chosen: list[tuple[int, int]] = []
    for k in order.tolist():
        if best[k] <= 0 or len(chosen) >= limit:
            break
        if stages[k][0] not in seen:
            seen.add(stages[k][0])
            chosen.append((int(bars[k]), k))
    return chosen


def _reachable(sizes: Sequence[int], most: Sequence[int], widest: int) -> Ints:
    """All sums of sizes that fit the widest bar, ascending, 0 included."""
    bits, mask = 1, (1 << (widest + 1)) - 1
    for size, count in zip(sizes, most, strict=True):
        rest, copies = min(count, widest // size), 1
        while rest > 0:
            n = min(copies, rest)
            bits |= (bits << (n * size)) & mask
            rest -= n
            copies *= 2
    raw = np.frombuffer(bits.to_bytes(widest // 8 + 1, "little"), dtype=np.uint8)
    return np.flatnonzero(np.unpackbits(raw, bitorder="little")).astype(np.int64)


def _left_values(instance: Instance, points: Ints, ends: NDArray[np.intp]) -> list[Ints]:
    """Per bar and point the value of the off-cut, where off-cuts have one; otherwise nothing."""
    if not instance.values:
        return []
    return [
        instance.values_left(bar)[instance.bars[bar].room - points[: end + 1]] for bar, end in enumerate(ends.tolist())
    ]
