"""A cutting problem in the saw's own units: what the search works on.

With kerf k a piece of length w takes w + k of a bar of usable length L + k, because a piece that ends flush with the
bar needs no last cut. All such lengths are divided by their common divisor, and equal lengths are put together.
Source: common practice; the transformation is that of Gilmore and Gomory, Operations Research 9 (1961) 849.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import gcd

import numpy as np
from numpy.typing import NDArray

from estimator.cutting.records import TENTHS_PER_M, CuttingProblem, Saw, Stock
from estimator.errors import Fault, Refused
from estimator.sentences import figure, joined, say

Column = tuple[int, tuple[tuple[int, int], ...]]
"""A pattern: the bar's index, then (size index, pieces) pairs in ascending order of the size index."""

Plan = dict[Column, int]
"""How many bars are cut by each pattern."""

SCARCE = 40
"""How many times the most expensive bar a bar costs that does not exist (it stands for pieces left uncut)."""


@dataclass(frozen=True, slots=True)
class Bar:
    """One stock in saw units: room, price, how many there are, and its length in tenths of a mm."""

    room: int
    price: int
    available: int | None
    length: int
    real: bool = True


@dataclass(frozen=True, slots=True)
class Instance:
    """Bars and sizes (largest first) in saw units, with the pieces wanted of each size."""

    bars: tuple[Bar, ...]
    sizes: tuple[int, ...]
    wanted: tuple[int, ...]
    lengths: tuple[int, ...]
    unit: int
    saw: Saw
    values: bool = False
    widest: int = field(default=0)

    def used(self, column: Column) -> int:
        """Room taken on the bar."""
        return sum(self.sizes[i] * n for i, n in column[1])

    def offcut(self, bar: int, used: int) -> int:
        """Length left after the last cut, in tenths of a mm."""
        return max(0, (self.bars[bar].room - used) * self.unit - self.saw.kerf)

    def value_left(self, bar: int, used: int) -> int:
        """What the off-cut is worth: never more than its bar cost."""
        return offcut_value(self.saw, self.bars[bar].price, self.offcut(bar, used))

    def values_left(self, bar: int) -> NDArray[np.int64]:
        """`value_left` for every room that can be left on a bar, 0 first."""
        left = np.arange(self.bars[bar].room + 1, dtype=np.int64) * self.unit - self.saw.kerf
        worth = np.minimum(left * self.saw.offcut_value_per_m // TENTHS_PER_M, self.bars[bar].price)
        least = max(1, self.saw.reusable_length or 0)
        return np.where((left >= least) & (self.saw.reusable_length is not None), worth, 0)

    def cost(self, column: Column) -> int:
        """The bar's price, less the value of its off-cut."""
        price = self.bars[column[0]].price
        return price - self.value_left(column[0], self.used(column)) if self.values else price

    def step(self) -> int:
        """Every plan's cost is a multiple of this."""
        return 1 if self.values else max(1, gcd(*(bar.price for bar in self.bars)))


def offcut_value(saw: Saw, price: int, left: int) -> int:
    """Value of an off-cut: its length at the price per metre, rounded down, at most the bar's price.

    >>> offcut_value(Saw(reusable_length=10_000, offcut_value_per_m=200), 1500, 25_000)
    500
    >>> offcut_value(Saw(reusable_length=10_000, offcut_value_per_m=200), 1500, 9_999)
    0
    """
    if saw.reusable_length is None or left < max(1, saw.reusable_length):
        return 0
    return min(price, left * saw.offcut_value_per_m // TENTHS_PER_M)


def usable_length(stock: Stock, saw: Saw) -> int:
    """Length between the trimmed ends; an off-cut from the yard is not trimmed again.

    >>> usable_length(Stock("R", 60_000, 100), Saw(kerf=30, end_trim=50))
    59900
    """
    return stock.length if stock.is_offcut else stock.length - 2 * saw.end_trim


def instance_of(problem: CuttingProblem) -> Instance:
    """The problem in saw units.

    Raises:
        Refused: if a number is out of range, or a piece is longer than every bar on offer.

    """
    _refuse_impossible(problem)
    saw = problem.saw
    wanted: dict[int, int] = {}
    for demand in problem.demands:
        if demand.count:
            wanted[demand.length] = wanted.get(demand.length, 0) + demand.count
    lengths = tuple(sorted(wanted, reverse=True))
    rooms = [usable_length(stock, saw) + saw.kerf for stock in problem.stocks]
    unit = gcd(*(length + saw.kerf for length in lengths)) or 1
    values = saw.reusable_length is not None and saw.offcut_value_per_m > 0
    if values:
        unit = gcd(unit, *rooms) or 1
    bars = [
        Bar(max(0, room // unit), stock.price, stock.available, stock.length)
        for room, stock in zip(rooms, problem.stocks, strict=True)
    ]
    sizes = tuple((length + saw.kerf) // unit for length in lengths)
    bars.extend(_missing_bars(bars, sizes))
    return Instance(
        tuple(bars),
        sizes,
        tuple(wanted[length] for length in lengths),
        lengths,
        unit,
        saw,
        values,
        max((b.room for b in bars), default=0),
    )


def _missing_bars(bars: list[Bar], sizes: tuple[int, ...]) -> list[Bar]:
    """A bar that does not exist, at a forbidding price, where the real ones may run out."""
    unlimited = max((bar.room for bar in bars if bar.available is None), default=0)
    if not sizes or sizes[0] <= unlimited:
        return []
    widest = max(bar.room for bar in bars)
    return [Bar(widest, SCARCE * max(1, *(bar.price for bar in bars)), None, 0, real=False)]


def _refuse_impossible(problem: CuttingProblem) -> None:
    faults = [*_bar_faults(problem), *_piece_faults(problem)]
    if faults:
        raise Refused(
            say("The cut plan cannot be made: {why}", why=joined("; ", [fault.message for fault in faults[:3]])), faults
        )


def _bar_faults(problem: CuttingProblem) -> list[Fault]:
    faults = []
    if problem.saw.kerf < 0 or problem.saw.end_trim < 0 or problem.saw.offcut_value_per_m < 0:
        faults.append(Fault("/saw", say("kerf, end trim and off-cut value may not be negative"), say("0 or more")))
    for at, stock in enumerate(problem.stocks):
        if stock.length <= 0 or stock.price < 0 or (stock.available is not None and stock.available < 0):
            faults.append(
                Fault(
                    f"/stocks/{at}", say("bar {part}: length, price or number on hand is out of range", part=stock.part)
                )
            )
    if not problem.stocks and problem.demands:
        faults.append(Fault("/stocks", say("no bar is on offer"), say("at least one")))
    return faults


def _piece_faults(problem: CuttingProblem) -> list[Fault]:
    offers = [usable_length(s, problem.saw) for s in problem.stocks if s.available != 0]
    longest = max(offers, default=0)
    faults = []
    for at, demand in enumerate(problem.demands):
        if demand.length <= 0 or demand.count < 0:
            faults.append(Fault(f"/pieces/{at}", say("a piece needs a length above 0 and a count of 0 or more")))
        elif demand.count and demand.length > longest:
            faults.append(
                Fault(
                    f"/pieces/{at}",
                    say(
                        "a piece of {length} is longer than every bar on offer",
                        length=figure(demand.length / 10, "g", " mm", "length"),
                    ),
                    say("at most {longest}", longest=figure(longest / 10, "g", " mm", "length")),
                )
            )
    return faults
