"""Prices of sizes from a linear program over patterns, in whole numbers, and the patterns worth having at them.

A piece is priced as the best filling of its room; one of more than half the widest bar, of which no two share a bar,
at all that a bar is worth beside the best filling of the rest.
Source: superadditive pricing as in dual feasible functions, Lueker (1983).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from estimator.cutting.colgen.bounds import price_unit
from estimator.cutting.colgen.relaxation import Budget
from estimator.cutting.splicing.bounds.benders_cuts import BendersCut
from estimator.cutting.splicing.colgen.knapsack import UnboundedKnapsack
from estimator.cutting.splicing.colgen.master import SplicingMaster, SplicingOptimum
from estimator.cutting.splicing.position_graph.graph import Ints
from estimator.cutting.splicing.problem import SizesOnLattice, SplicingLimits
from estimator.cutting.tuning import PRICING, SPLICING_WORK

INFINITY = 1 << 62


@dataclass(frozen=True, slots=True)
class SizePrices:
    """Whole prices under which no bar that may be bought without limit is overpaid."""

    sizes: tuple[int, ...]
    filling: UnboundedKnapsack
    charge: tuple[int, ...]
    worth: tuple[int, ...]
    ends: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class DualPrices:
    """Prices that prove a bound: of every size, own prices of the bars, what bars are overpaid, price of a splice.

    `unit` is that of the lattice (tenths of a mm) that the sizes belong to.
    """

    unit: int
    by_size: Ints
    own: tuple[int, ...]
    over: tuple[int, ...]
    splice: int


class PatternPrices:
    """The patterns of one lattice's linear program, and the prices it gives."""

    def __init__(self, sizes: SizesOnLattice, lp: SplicingMaster, budget: Budget) -> None:
        self.sizes = sizes
        self.lp = lp
        self.budget = budget
        self.unit = price_unit(sizes.problem.bars)

    def grow(self, shares: SplicingOptimum, limits: SplicingLimits) -> bool:
        """One round of columns that are worth having at an optimum, without a bound; whether there were any."""
        raise NotImplementedError

    def work(self) -> int:
        """Work of one solution of the program: about its milliseconds on a slow machine, reckoned from sizes alone."""
        rows, room = len(self.lp.row_of), self.sizes.lattice.widest
        return 1 + rows * room // SPLICING_WORK.room + rows * len(self.lp.columns) // SPLICING_WORK.columns

    def priced(self, shares: SplicingOptimum, limits: SplicingLimits) -> SizePrices:
        """The program's prices in whole numbers; a bar without limit has no own price below 0 for all rounding."""
        sizes = tuple(shares.size_price)
        whole = [max(0, int(price * self.unit)) for price in shares.size_price.values()]
        charge = tuple(
            max(0 if high is None else -INFINITY, bar.price * self.unit - self._own(own, high))
            for bar, own, high in zip(self.sizes.problem.bars, shares.bar_price, limits.high, strict=False)
        )
        return self._worth(sizes, whole, charge)

    def _own(self, price: float, high: int | None) -> int:
        return max(0, int(price * self.unit)) if high is None else int(price * self.unit)

    def _worth(self, sizes: tuple[int, ...], whole: Sequence[int], charge: tuple[int, ...]) -> SizePrices:
        filling = UnboundedKnapsack(sizes, whole, self.sizes.lattice.widest)
        worth, ends = [], []
        for room, left in zip(self.sizes.rooms, self.sizes.left, strict=True):
            total = filling.pay[: room + 1] + left * self.unit
            end = room - int(total[::-1].argmax())
            worth.append(int(total[end]))
            ends.append(end)
        return SizePrices(sizes, filling, charge, tuple(worth), tuple(ends))

    def add_patterns(self, prices: SizePrices) -> int:
        """Patterns worth more than their bar costs: the best of each bar, and the best with single sizes."""
        new = 0
        for bar, (worth, charge, end) in enumerate(zip(prices.worth, prices.charge, prices.ends, strict=True)):
            if worth > charge + max(1, abs(charge) >> 30):
                new += self.lp.add_pattern(bar, prices.filling.pieces(end))
        if not new:
            return 0
        room = self.sizes.lattice.widest
        pay = prices.filling.pay
        gains = []
        for size in prices.sizes:
            own = int(pay[size]) if size <= room else 0
            for bar, whole in enumerate(self.sizes.rooms):
                if size <= whole:
                    rest = pay[: whole - size + 1]
                    if self.sizes.problem.values:
                        rest = rest + self.sizes.left[bar][size : whole + 1] * self.unit
                    gain = own + int(rest.max()) - prices.charge[bar]
                    if gain > max(1, abs(prices.charge[bar]) >> 30):
                        gains.append((-gain, bar, size))
        for _, bar, size in sorted(gains)[: PRICING.patterns_a_round]:
            new += self.support(prices, bar, size)
        return new

    def support(self, prices: SizePrices, bar: int, size: int) -> bool:
        """The best pattern of a bar that cuts a piece of that size."""
        rest = self.sizes.rooms[bar] - size
        total = prices.filling.pay[: rest + 1] + self.sizes.left[bar][size : size + rest + 1] * self.unit
        pieces = prices.filling.pieces(rest - int(total[::-1].argmax()))
        pieces[size] = pieces.get(size, 0) + 1
        return self.lp.add_pattern(bar, pieces)

    def proven(self, total: int, point: DualPrices, limits: SplicingLimits) -> tuple[int, BendersCut]:
        """The bound (money) that prices prove within the limits, and their cut; `total` is what all pieces pay."""
        own = (*point.own, self.sizes.problem.splice * self.unit - point.splice)
        over = (*point.over, 0)
        cut = BendersCut(total, tuple(each - more for each, more in zip(own, over, strict=True)))
        for each, more, low, high in zip(own, over, limits.low, limits.high, strict=True):
            total += each * low if each > 0 else each * (high or 0)
            total -= more * (high or 0)
        return (0 if self._boundless(point, limits) else -(-total // self.unit)), cut

    def point(self, prices: SizePrices, shares: SplicingOptimum, limits: SplicingLimits) -> DualPrices:
        """Prices that prove a bound, from those of the program."""
        own = tuple(
            bar.price * self.unit - charge for bar, charge in zip(self.sizes.problem.bars, prices.charge, strict=True)
        )
        over = tuple(max(0, worth - charge) for worth, charge in zip(prices.worth, prices.charge, strict=True))
        splice = self.sizes.problem.splice * self.unit - self._own(shares.splice_price, limits.high[-1])
        return DualPrices(self.sizes.lattice.unit, self._by_size(prices), own, over, splice)

    def _boundless(self, point: DualPrices, limits: SplicingLimits) -> bool:
        """Whether a bar or a splice that has no limit is overpaid, so that nothing is proven."""
        over = any(over and high is None for over, high in zip(point.over, limits.high, strict=False))
        own = (*point.own, self.sizes.problem.splice * self.unit - point.splice)
        return over or any(each < 0 and high is None for each, high in zip(own, limits.high, strict=True))

    def cheapest_bar(self, prices: SizePrices, size: int) -> int:
        """The bar on which a piece of that size would cost least beside the best filling of the rest."""
        fitting = [bar for bar, room in enumerate(self.sizes.rooms) if size <= room]
        return min(fitting, key=lambda bar: prices.charge[bar] - int(prices.filling.pay[self.sizes.rooms[bar] - size]))

    def not_overpaid(self, prices: SizePrices, limits: SplicingLimits) -> SizePrices:
        """Prices lowered until no bar without limit is worth more than it costs.

        One step is enough but where off-cuts have a value, which is not lowered with the prices.
        Source: scaling after Farley, Operations Research 38 (1990) 922.
        """
        for step in range(PRICING.lowerings):
            over = [
                (worth, charge)
                for worth, charge, high in zip(prices.worth, prices.charge, limits.high, strict=False)
                if worth > charge and high is None
            ]
            if not over:
                return prices
            worth, charge = max(over, key=lambda pair: Fraction(pair[0], max(1, pair[1])))
            if charge <= 0 or step == PRICING.lowerings - 1:
                break
            less = charge - (charge >> 20) * (step and 1 << (2 * step))
            whole = [max(0, int(prices.filling.pay[size]) * less // worth) for size in prices.sizes]
            prices = self._worth(prices.sizes, whole, prices.charge)
        return self._worth((), [], prices.charge)

    def _by_size(self, prices: SizePrices) -> Ints:
        """What a piece of each size pays, so that no pattern of any pieces is paid more than its bar is worth."""
        widest = self.sizes.lattice.widest
        pay, half = prices.filling.pay, widest // 2
        large = np.full(widest + 1, 1 << 57, dtype=np.int64)
        bars = zip(self.sizes.rooms, self.sizes.left, prices.charge, prices.worth, strict=True)
        for room, left, charge, worth in bars:
            paid = max(charge, worth)
            beside = pay[: max(0, room - half)]
            if not len(beside):
                continue
            if not self.sizes.problem.values:
                large[half + 1 : room + 1] = np.minimum(large[half + 1 : room + 1], paid - beside[::-1])
                continue
            for size in range(half + 1, room + 1):
                rest = int((pay[: room - size + 1] + left[size : room + 1] * self.unit).max())
                large[size] = min(int(large[size]), paid - rest)
        found = pay.copy()
        found[half + 1 :] = np.maximum(found[half + 1 :], large[half + 1 :])
        return np.maximum.accumulate(found)
