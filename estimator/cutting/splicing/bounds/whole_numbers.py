"""Whole numbers of bars with which a plan may cost less than another, each with what such plans cost at least.

Let a plan take `n` bars (N in all) of which none is left whole, and S splices. Then

- it has P + S pieces, P being members and whole pieces, and every bar holds one: S is at least N - P;
- S is at least the sum of the fewest splices of the members;
- a piece longer than the usable length of the bars from some length downwards lies on a longer bar, of which each
  holds only so many; and a member of p pieces, a of them such long ones, needs a L + (p - a) l to be its length or
  more, L being the longest piece and l that shorter length. So few long bars mean more splices;
- every piece takes its length and a kerf, so pieces take the length of all members and whole pieces, P kerfs, and a
  kerf for each splice. What is left of all bars is their rooms less that, X, and not below 0;
- an off-cut is a kerf shorter than what is left of its bar, and a bar holds a piece at least, so K off-cuts come to
  X - K kerfs at most, and X to K times the widest rest. Off-cuts shorter than what is kept are worth nothing.

With more splices, the same bars leave less and joints cost more, so for each `n` the least S tells the least cost.
All of it is in whole numbers. Where lengths alone decide, it is what the cheapest plan costs; where joints are tied
to places it is below.
Source: lengths, kerfs and numbers of pieces alone; relaxation and enumeration are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, prod

import numpy as np

from estimator.cutting.instance import Bar
from estimator.cutting.records import TENTHS_PER_M
from estimator.cutting.runs.joint_rules import Member, shortest_piece
from estimator.cutting.splicing.bounds.number_tuning import NUMBERS
from estimator.cutting.splicing.position_graph.graph import Ints
from estimator.cutting.splicing.problem import SplicingProblem

PARTS = 1 << 16
"""Long pieces are counted in such parts where splices spare some on average."""
FAR = 1 << 60


@dataclass(frozen=True, slots=True)
class WholePoint:
    """Numbers of bars of each stock, the fewest splices with them, and what such plans cost at least (money)."""

    bars: tuple[int, ...]
    splices: int
    cost: int


class WholeNumbers:
    """What lengths, kerfs and numbers of pieces leave possible."""

    def __init__(self, problem: SplicingProblem) -> None:
        self._problem = problem
        self._kerf = problem.saw.kerf
        self._per_m = problem.saw.offcut_value_per_m if problem.values else 0
        self._kept = max(1, problem.saw.reusable_length or 0) + self._kerf
        self._offered = [at for at, bar in enumerate(problem.bars) if bar.room > self._kerf and bar.available != 0]
        self._bars = [problem.bars[at] for at in self._offered]
        self._fewest = sum(few * count for few, count in zip(problem.fewest, problem.counts, strict=True))
        self._pieces = sum(problem.counts) + sum(count for _, count in problem.whole)
        lengths = [(length, count) for length, count in problem.whole]
        lengths += [(member.length, count) for member, count in zip(problem.members, problem.counts, strict=True)]
        self._need = sum((length + self._kerf) * count for length, count in lengths)
        shortest = min((length for length, _ in problem.whole), default=problem.longest)
        for member in problem.members:
            shortest = min(shortest, member.length, shortest_piece(member))
        self._widest_rest = max((bar.room for bar in self._bars), default=0) - shortest - self._kerf
        usable = sorted({bar.room - self._kerf for bar in self._bars}, reverse=True)
        self._long = [(length, *self._long_pieces(usable[0], length)) for length in usable[1:]]

    def bound(self, below: int, prices: Sequence[int] | None = None, high: Sequence[int | None] | None = None) -> int:
        """What every plan costs at least, if it costs less than `below` at all; 0 where numbers are too many."""
        points = self.points(below, prices, high)
        if points is None:
            return 0
        return min((point.cost for point in points), default=below)

    def points(
        self, below: int, prices: Sequence[int] | None = None, high: Sequence[int | None] | None = None
    ) -> list[WholePoint] | None:
        """All numbers of bars with which a plan may cost less than `below`, cheapest first; None: too many to list.

        `prices` of bars are by default those of the problem, `high` (None: no limit) what is on hand.
        """
        bars = self._at(prices, high)
        net = [bar.price * TENTHS_PER_M - self._per_m * bar.room for bar in bars]
        if not bars or min(net) <= 0:
            return None
        free = min(range(len(bars)), key=lambda at: (net[at] / bars[at].room, -bars[at].room))
        found = self._around(bars, net, free, below)
        if found is None:
            return None
        numbers, splices, costs = found
        whole = np.zeros((len(self._problem.bars), len(costs)), dtype=np.int64)
        whole[self._offered] = numbers
        order = np.lexsort((np.arange(len(costs)), costs)).tolist()
        return [WholePoint(tuple(whole[:, at].tolist()), int(splices[at]), int(costs[at])) for at in order]

    def cost(self, bars: Sequence[int], splices: int) -> int:
        """What plans with just these bars, none of them left whole, and so many splices cost at least."""
        problem = self._problem
        left = sum(bar.room * count for bar, count in zip(problem.bars, bars, strict=True))
        left -= self._need + splices * self._kerf
        if left < 0 or splices < self._fewest or sum(bars) > self._pieces + splices:
            return FAR
        paid = sum(bar.price * count for bar, count in zip(problem.bars, bars, strict=True))
        return paid + splices * problem.splice - int(self._worth(np.array([left], dtype=np.int64))[0])

    def _at(self, prices: Sequence[int] | None, high: Sequence[int | None] | None) -> list[Bar]:
        bars = []
        for at, bar in zip(self._offered, self._bars, strict=True):
            price = bar.price if prices is None else prices[at]
            most = bar.available if high is None or high[at] is None else high[at]
            bars.append(Bar(bar.room, price, most, bar.length))
        return bars

    def _around(self, bars: Sequence[Bar], net: Sequence[int], free: int, below: int) -> tuple[Ints, Ints, Ints] | None:
        """Numbers (a row for each of `bars`), splices and costs of all points below a cost.

        As if all that is left had its value, a plan costs what its bars' net prices and its pieces' lengths come to;
        that limits how many bars there are whose net price for their room is not the least, which is that of `free`.
        """
        need = self._need + self._fewest * self._kerf
        base = self._per_m * need + self._problem.splice * self._fewest * TENTHS_PER_M
        rate = net[free] / bars[free].room
        slack = below * TENTHS_PER_M - base - rate * need
        if slack < 0:
            return np.zeros((len(bars), 0), dtype=np.int64), np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
        most = []
        for at, bar in enumerate(bars):
            dearer = net[at] - rate * bar.room
            fitting = -(-need // bar.room) + floor(slack / net[at]) + 1
            limit = fitting if dearer <= 0 else min(fitting, floor(slack / dearer) + 1)
            most.append(0 if at == free else min(limit, bar.available) if bar.available is not None else limit)
        extra = floor(slack / net[free]) + 2
        if prod(n + 1 for n in most) * extra > NUMBERS.listed:
            return None
        grid = np.indices([n + 1 for n in most], dtype=np.int64).reshape(len(bars), -1)
        held = np.array([bar.room for bar in bars], dtype=np.int64) @ grid
        grid[free] = np.maximum(0, -(-(need - held) // bars[free].room))
        grid = np.concatenate([grid + _unit(len(bars), free) * more for more in range(extra)], axis=1)
        if bars[free].available is not None:
            grid = grid[:, grid[free] <= bars[free].available]
        return self._below(bars, grid, below)

    def _below(self, bars: Sequence[Bar], grid: Ints, below: int) -> tuple[Ints, Ints, Ints]:
        splices = self._splices(bars, grid)
        rooms = np.array([bar.room for bar in bars], dtype=np.int64)
        left = rooms @ grid - self._need - splices * self._kerf
        prices = np.array([bar.price for bar in bars], dtype=np.int64)
        costs = prices @ grid + splices * self._problem.splice - self._worth(left)
        good = np.flatnonzero((left >= 0) & (splices < FAR) & (costs < below))
        return grid[:, good], splices[good], costs[good]

    def _splices(self, bars: Sequence[Bar], grid: Ints) -> Ints:
        """The fewest splices with so many bars; FAR and more where no number suffices."""
        splices: Ints = np.maximum(self._fewest, grid.sum(axis=0) - self._pieces)
        for length, total, spared in self._long:
            holds = np.array([bar.room // (length + 1 + self._kerf) for bar in bars], dtype=np.int64) @ grid
            more = np.searchsorted(spared, (total - holds) * PARTS)
            splices = np.maximum(splices, np.where(more < len(spared), self._fewest + more, FAR))
        return splices

    def _worth(self, left: Ints) -> Ints:
        """What off-cuts are worth at most where so much room is left in all."""
        if not self._per_m or self._widest_rest <= 0:
            return np.zeros_like(left)
        rests = np.maximum(1, -(-left // self._widest_rest))
        fewer = (rests - 1) * (self._widest_rest - self._kerf)
        lengths = np.maximum(0, np.maximum(left - rests * self._kerf, fewer))
        worth: Ints = np.where(left >= self._kept, lengths * self._per_m // TENTHS_PER_M, 0)
        return worth

    def _long_pieces(self, longest: int, length: int) -> tuple[int, Ints]:
        """Pieces above a length with the fewest splices, and how many (in parts) are spared by 0, 1, 2 ... more.

        Members are taken as if each splice more of one spared as many as some on average at best: so no way spares
        more.
        """
        problem = self._problem
        total = sum(count for whole, count in problem.whole if whole > length)
        spared: dict[int, int] = {}
        for member, count, few in zip(problem.members, problem.counts, problem.fewest, strict=True):
            longs = [_long_of(member, few + 1, longest, length)]
            while longs[-1]:
                longs.append(_long_of(member, few + 1 + len(longs), longest, length))
            total += longs[0] * count
            at = 0
            while longs[at]:
                rates = [(-(-(longs[at] - longs[to]) * PARTS // (to - at)), to) for to in range(at + 1, len(longs))]
                each, to = max(rates)
                spared[each] = spared.get(each, 0) + (to - at) * count
                at = to
        steps = [np.full(times, each, dtype=np.int64) for each, times in sorted(spared.items(), reverse=True)]
        sums: Ints = np.cumsum(np.concatenate([np.zeros(1, dtype=np.int64), *steps]))
        return total, sums


def _long_of(member: Member, pieces: int, longest: int, length: int) -> int:
    """How many of so many pieces of a member are longer than a length at least."""
    return max(0, -(-(member.length - pieces * length) // (longest - length)))


def _unit(count: int, at: int) -> Ints:
    return np.array([[int(each == at)] for each in range(count)], dtype=np.int64)
