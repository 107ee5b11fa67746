"""Quick plans: fill bar after bar with the longest pieces that fit, on the bar with the best price per used room.

Source: first fit decreasing, Johnson (1974), by patterns instead of single pieces.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from operator import mul

from estimator.cutting.instance import Column, Instance, Plan


def plan_cost(instance: Instance, plan: Plan) -> int:
    """Cost of all bars of a plan."""
    return sum(instance.cost(column) * count for column, count in plan.items())


class _Left:
    """Pieces still wanted, and the sizes there are any of, longest first."""

    def __init__(self, instance: Instance, rest: Sequence[int]) -> None:
        self.instance = instance
        self.rest = list(rest)
        self.total = sum(map(mul, instance.sizes, rest))
        self._set_sizes()

    def _set_sizes(self) -> None:
        self._sizes = [i for i, count in enumerate(self.rest) if count]
        self._rising = [-self.instance.sizes[i] for i in self._sizes]

    def longest_on(self, bar: int) -> Column:
        """The bar filled with the longest pieces still wanted."""
        room = self.instance.bars[bar].room
        pieces = []
        at = bisect_left(self._rising, -room)
        while at < len(self._sizes):
            i, size = self._sizes[at], -self._rising[at]
            n = min(self.rest[i], room // size)
            pieces.append((i, n))
            room -= n * size
            at = bisect_left(self._rising, -room, at + 1)
        return bar, tuple(pieces)

    def take(self, column: Column, times: int) -> None:
        """Takes the pieces of so many bars."""
        for i, n in column[1]:
            self.rest[i] -= n * times
            self.total -= n * times * self.instance.sizes[i]
        if not all(self.rest[i] for i, _ in column[1]):
            self._set_sizes()


def greedy_plan(
    instance: Instance, rest: Sequence[int], high: Sequence[int | None], only: int | None = None
) -> Plan | None:
    """A plan for the pieces in `rest` with at most `high` bars of each stock, or None if the bars run out.

    `only` leaves the choice of bar out and takes that one wherever it fits.
    """
    left = _Left(instance, rest)
    bars: list[int | None] = list(high)
    plan: Plan = {}
    while left.total:
        column = _next_bar(left, bars, only)
        if column is None:
            return None
        times = min(left.rest[i] // n for i, n in column[1])
        have = bars[column[0]]
        if have is not None:
            times = min(times, have)
            bars[column[0]] = have - times
        left.take(column, times)
        plan[column] = plan.get(column, 0) + times
    return plan


def _next_bar(left: _Left, bars: Sequence[int | None], only: int | None) -> Column | None:
    """The filled bar with the least cost per used room; a bar that takes all the rest at least cost goes first."""
    best: tuple[float, Column] | None = None
    last: tuple[int, Column] | None = None
    for bar, have in enumerate(bars):
        if have == 0:
            continue
        column = left.longest_on(bar)
        if not column[1]:
            continue
        used = left.instance.used(column)
        cost = left.instance.cost(column)
        if used == left.total and (last is None or cost < last[0]):
            last = (cost, column)
        rate = cost / used - (1e9 if bar == only else 0.0)
        if best is None or rate < best[0]:
            best = (rate, column)
    if last is not None:
        return last[1]
    return None if best is None else best[1]


def trimmed(instance: Instance, plan: Plan, wanted: Sequence[int]) -> Plan:
    """The same plan without the pieces that nobody wanted, each bar of the cheapest kind that holds what is left.

    The longest surplus pieces go first; bars that lose pieces leave their group.
    """
    surplus = [-n for n in wanted]
    for column, count in plan.items():
        for i, n in column[1]:
            surplus[i] += n * count
    if not any(surplus):
        return plan
    result: Plan = {}
    for column, count in plan.items():
        for _ in range(count):
            kept = _without_surplus(column, surplus) if any(surplus) else column
            if kept[1]:
                result[kept] = result.get(kept, 0) + 1
    return result


def _without_surplus(column: Column, surplus: list[int]) -> Column:
    pieces = []
    for i, n in column[1]:
        drop = min(n, surplus[i])
        surplus[i] -= drop
        if n > drop:
            pieces.append((i, n - drop))
    return column[0], tuple(pieces)


def cheaper_bars(instance: Instance, plan: Plan, high: Sequence[int | None]) -> Plan:
    """Every bar exchanged for the cheapest stock that holds its pieces, as far as the stock lasts."""
    used = [0] * len(instance.bars)
    for column, count in plan.items():
        used[column[0]] += count
    result: Plan = {}
    for (bar, pieces), count in plan.items():
        room = instance.used((bar, pieces))
        left = count
        for other in sorted(range(len(instance.bars)), key=lambda b: instance.cost((b, pieces)) if b != bar else -1):
            if (
                other == bar
                or instance.bars[other].room < room
                or instance.cost((other, pieces)) >= instance.cost((bar, pieces))
            ):
                continue
            most = high[other]
            n = left if most is None else min(left, most - used[other])
            if n > 0:
                result[(other, pieces)] = result.get((other, pieces), 0) + n
                used[other] += n
                used[bar] -= n
                left -= n
        if left:
            result[(bar, pieces)] = result.get((bar, pieces), 0) + left
    return result
