"""What a piece of any real length pays: prices between whole units of a lattice, on straight lines.

Prices of whole units under which no bar is overpaid, its room being whole units as well, overpay no bar between them
either: on straight pieces the best filling of a bar has all pieces but one at whole units, and then that one, too. So
nothing is lost by rounding lengths, as would be on a lattice alone.
Source: vertices of a box cut by one plane; linear programming, common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from estimator.cutting.splicing.position_graph.graph import Ints, Lattice
from estimator.cutting.splicing.problem import SizesOnLattice, SplicingProblem

NO_WAY = 1 << 58
"""What cannot be made costs this; a cost of DEAREST or more is that of no way at all."""
DEAREST = 1 << 57


class SizesBetween(SizesOnLattice):
    """Bars with their rooms rounded up to whole units; a piece between two units counts as parts of both."""

    def __init__(self, problem: SplicingProblem, unit: int) -> None:
        rooms = tuple(-(-bar.room // unit) * unit for bar in problem.bars)
        super().__init__(problem, Lattice(unit, problem.saw.kerf, problem.longest, rooms, True))
        self.rooms = [room // unit for room in rooms]
        self.left = [self.values_left(bar, room) for bar, room in enumerate(self.rooms)]
        for length, count in problem.whole:
            for size, part in self.parts(length):
                self.whole[size] = self.whole.get(size, 0) + part * count

    def at(self, problem: SplicingProblem) -> SizesBetween:
        """The same units for a problem at other prices."""
        return SizesBetween(problem, self.lattice.unit)

    def parts(self, length: int) -> list[tuple[int, float]]:
        """The units a piece lies between, each with its part; the parts make one piece."""
        below, over = divmod(length + self.problem.saw.kerf, self.lattice.unit)
        if not over:
            return [(below, 1.0)]
        part = over / self.lattice.unit
        return [(below, 1.0 - part), (below + 1, part)]

    def length_prices(self, by_size: Ints, splice: int) -> LengthPrices:
        """Prices of whole units drawn out over all lengths."""
        return length_prices(self.lattice, by_size, splice)

    def value_left(self, bar: int, used: int) -> int:
        """What the off-cut is worth beside pieces of that many units, at least."""
        return int(self.left[bar][used])

    def values_left(self, bar: int, room: int) -> Ints:
        """Worth of off-cuts by units used; where it begins to count, so much that a line to it lies above all."""
        saw, offer = self.problem.saw, self.problem.bars[bar]
        used = np.arange(room + 1, dtype=np.int64) * self.lattice.unit
        if not self.problem.values:
            return np.zeros(room + 1, dtype=np.int64)
        least = saw.reusable_length or 0
        left = np.maximum(0, offer.room - used - saw.kerf)
        counted = np.where(left >= least, left, 0)
        first = int(np.argmax(left < least)) if (left < least).any() else 0
        if first:
            counted[first] = max(least, int(left[first]))
        worth: Ints = -(-counted * saw.offcut_value_per_m // 10_000)
        return np.minimum(worth, offer.price)


class SizesAbove(SizesOnLattice):
    """Bars in whole units, lengths rounded up to them: every plan is a real one."""

    def __init__(self, problem: SplicingProblem, lattice: Lattice) -> None:
        super().__init__(problem, lattice)
        self._units = lattice.sizes(np.arange(lattice.longest + 1, dtype=np.int64))
        for length, count in problem.whole:
            for size, _ in self.parts(length):
                self.whole[size] = self.whole.get(size, 0) + count

    def at(self, problem: SplicingProblem) -> SizesAbove:
        """The same units for a problem at other prices."""
        return SizesAbove(problem, self.lattice)

    def parts(self, length: int) -> list[tuple[int, float]]:
        """The units a piece takes."""
        return [(int(self._units[length]), 1.0)]

    def length_prices(self, by_size: Ints, splice: int) -> LengthPrices:
        """Prices of whole units as those of the lengths that take them."""
        return LengthPrices(np.append(np.append(by_size, NO_WAY)[self._units], NO_WAY), splice)


RealSizes = SizesBetween | SizesAbove


@dataclass(frozen=True, slots=True)
class LengthPrices:
    """Price of every length (tenths of a mm) from 0 to the longest piece, then NO_WAY; it never falls with the length.

    `splice` is the price of one splice in the same scale.
    """

    by_length: Ints
    splice: int

    @property
    def longest(self) -> int:
        """The longest piece that any bar gives."""
        return len(self.by_length) - 2

    def of(self, lengths: Ints) -> Ints:
        """The prices of pieces; NO_WAY for those that no bar gives."""
        return self.by_length.take(np.minimum(lengths, self.longest + 1))


def length_prices(lattice: Lattice, by_size: Ints, splice: int) -> LengthPrices:
    """Prices of whole units drawn out over all lengths, rounded down to whole numbers."""
    taken = np.arange(lattice.longest + 1, dtype=np.int64) + lattice.kerf
    below, over = np.divmod(taken, lattice.unit)
    known = np.append(by_size, by_size[-1])
    whole, part = np.divmod(np.diff(known), lattice.unit)  # divided first: the product might not fit 64 bits
    price = known[below] + whole[below] * over + part[below] * over // lattice.unit
    return LengthPrices(np.append(price, NO_WAY), splice)


class StretchBounds:
    """What a stretch of any length costs at least when it may be joined anywhere, in one piece or more, and in two.

    Both are tables over whole steps; a stretch counts as the shortest of its step.
    """

    def __init__(self, prices: LengthPrices, least: int, longest: int, step: int) -> None:
        """`least`: the shortest piece; `longest`: the longest stretch asked for; `step`: of the tables (tenths)."""
        self._step = step
        count = longest // step + 2
        shortest = np.maximum(np.arange(count, dtype=np.int64) * step, least)
        piece = prices.of(shortest)
        self.any = piece.copy()
        self.parted = np.full(count, NO_WAY, dtype=np.int64)
        most = min(count, prices.longest // step + 1)
        block = max(1, least // step)
        first = piece[least // step : most]
        for start in range(0, count, block):
            here = np.arange(start, min(start + block, count))
            back = here[:, None] - (np.arange(least // step, most) + 1)[None, :]
            rest = np.where(back >= 0, self.any[np.maximum(back, 0)], self.any[0])
            rest[here < 2 * (least // step) - 1] = NO_WAY
            self.parted[here] = np.minimum((first[None, :] + rest).min(axis=1) + prices.splice, NO_WAY)
            self.any[here] = np.minimum(self.any[here], self.parted[here])

    def of(self, stretches: Ints) -> Ints:
        """The least cost of stretches, joined or not."""
        return self.any.take(np.maximum(stretches, 0) // self._step)

    def of_parted(self, stretches: Ints) -> Ints:
        """The least cost of stretches that are joined at least once."""
        return self.parted.take(np.maximum(stretches, 0) // self._step)
