"""Numbers of bars of each stock and of splices: what plans with such numbers cost at least, as far as is proven.

Every set of prices that proves a bound says that no plan costs less than a constant plus so much for each bar and each
splice. Such cuts hold for all limits and all lattices, so they are kept and used together.
Source: cuts in the space of the complicating variables, Benders, Numerische Mathematik 4 (1962) 238.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from estimator.cutting.colgen.bounds import round_up
from estimator.cutting.highs import LinearProgram
from estimator.cutting.instance import offcut_value
from estimator.cutting.splicing.problem import SplicingLimits, SplicingProblem, splicing_limits
from estimator.cutting.tuning import PRICING

Counts = tuple[int, ...]
"""Bars of each stock, and last splices."""

FRACTION_BITS = 24
VIOLATED = 1e-9


@dataclass(frozen=True, slots=True)
class BendersCut:
    """No plan costs less than `base` plus `slopes` times its numbers, all in parts of money (`BendersCuts.unit`)."""

    base: int
    slopes: Counts


class BendersCuts:
    """The cuts known so far, over all numbers of bars and splices."""

    def __init__(self, problem: SplicingProblem, unit: int, step: int) -> None:
        """`unit`: parts of money in cuts; `step`: what costs of plans differ by at least."""
        self.problem = problem
        self.unit = unit
        self._step = step
        self._prices: Counts = (*(bar.price for bar in problem.bars), problem.splice)
        self._cuts: list[BendersCut] = []
        self._seen: set[BendersCut] = set()
        self._lp = LinearProgram()
        self._rows: list[BendersCut] = []
        self._asked: set[BendersCut] = set()
        self._scale = 1.0 / max(1, *self._prices)
        for _ in self._prices:
            self._lp.add_column(0.0, [], [])
        self._lp.add_column(1.0, [], [])
        self.add(BendersCut(0, (*(paid * unit for paid in least_paid(problem)), problem.splice * unit)))
        self._ask(self._cuts[0])

    def add(self, cut: BendersCut) -> None:
        """Keeps a cut."""
        if cut not in self._seen:
            self._seen.add(cut)
            self._cuts.append(cut)

    def at_prices(self, prices: Sequence[int]) -> BendersCuts:
        """The same cuts where bars cost other `prices` (money), and may also be bought to stay whole.

        A plan's cost changes by what its bars do. A cut that a bar left whole would break is left out.
        """
        problem = replace(
            self.problem,
            bars=tuple(replace(bar, price=price) for bar, price in zip(self.problem.bars, prices, strict=True)),
        )
        other = BendersCuts(problem, self.unit, 1)
        paid = [least * self.unit for least in least_paid(problem)]
        for cut in self._cuts[1:]:
            slopes = [
                slope + (new - old.price) * self.unit
                for slope, new, old in zip(cut.slopes, prices, self.problem.bars, strict=False)
            ]
            if all(slope <= least for slope, least in zip(slopes, paid, strict=True)):
                other.add(BendersCut(cut.base, (*slopes, cut.slopes[-1])))
        return other

    def bound(self, limits: SplicingLimits, below: int) -> int:
        """What every plan within the limits costs at least (money), if it costs less than `below` at all."""
        low, high = self._box(below)
        low = tuple(max(a, b) for a, b in zip(low, limits.low, strict=True))
        high = tuple(a if b is None else min(a, b) for a, b in zip(high, limits.high, strict=True))
        if any(a > b for a, b in zip(low, high, strict=True)):
            return below
        return round_up(self._solve(low, high), self._step)

    def least_at(self, bars: Sequence[int], splices: int, most: int | None) -> int:
        """What plans with just these bars, and from so many splices up to `most` (None: any number), cost at least."""
        best = 0
        for cut in self._cuts:
            *slopes, each = cut.slopes
            number = splices if each >= 0 else most
            if number is not None:
                total = cut.base + sum(slope * n for slope, n in zip(slopes, bars, strict=True)) + each * number
                best = max(best, -(-total // self.unit))
        return round_up(best, self._step)

    def _box(self, below: int) -> tuple[Counts, Counts]:
        """All numbers that a plan cheaper than `below` can have."""
        problem = self.problem
        joints = sum(m.length // max(1, m.min_piece) * n for m, n in zip(problem.members, problem.counts, strict=True))
        pieces = joints + sum(problem.counts) + sum(n for _, n in problem.whole)
        high = []
        for bar, paid in zip(problem.bars, least_paid(problem), strict=True):
            most = pieces if paid <= 0 else min(pieces, below // paid)
            high.append(most if bar.available is None else min(most, bar.available))
        high.append(joints if not problem.splice else min(joints, below // problem.splice))
        low = splicing_limits(problem).low
        return low, tuple(max(a, b) for a, b in zip(low, high, strict=True))

    def _ask(self, cut: BendersCut) -> None:
        """Puts a cut into the linear program."""
        self._asked.add(cut)
        self._rows.append(cut)
        scale = self._scale / self.unit
        columns = [(k, -slope * scale) for k, slope in enumerate(cut.slopes) if slope]
        columns.append((len(self._prices), 1.0))
        self._lp.add_row(cut.base * scale, None, [k for k, _ in columns], [value for _, value in columns])

    def _solve(self, low: Counts, high: Counts) -> int:
        """The least cost for numbers in a box as far as cuts tell, by a linear program; the bound is exact."""
        count = len(self._prices)
        self._lp.limit_columns(range(count), low, high)
        while True:
            optimum = self._lp.solve()
            if optimum is None:
                return 0
            use = optimum.use
            missing = self._violated(use[:count], use[count])
            if not missing:
                return self._exact(optimum.duals, low, high)
            for cut in missing:
                self._ask(cut)

    def _violated(self, place: Sequence[float], cost: float) -> list[BendersCut]:
        """The cuts that the place breaks most and that the linear program does not have yet."""
        scale = self._scale / self.unit
        found: list[tuple[float, int, BendersCut]] = []
        for cut in self._cuts:
            if cut not in self._asked:
                least = (cut.base + sum(slope * x for slope, x in zip(cut.slopes, place, strict=True))) * scale
                if least > cost * (1 + VIOLATED) + VIOLATED:
                    found.append((-least, len(found), cut))
        return [cut for _, _, cut in sorted(found)[: PRICING.cuts_a_round]]

    def _exact(self, duals: Sequence[float], low: Counts, high: Counts) -> int:
        """The bound (money) that the cuts prove together, each in its share, for all numbers of a box."""
        shares = [(int(dual * (1 << FRACTION_BITS)), cut) for dual, cut in zip(duals, self._rows, strict=True)]
        shares = [(share, cut) for share, cut in shares if share > 0]
        parts = sum(share for share, _ in shares)
        if not parts:
            return 0
        total = sum(share * cut.base for share, cut in shares)
        for k, (least, most) in enumerate(zip(low, high, strict=True)):
            slope = sum(share * cut.slopes[k] for share, cut in shares)
            total += slope * (least if slope > 0 else most)
        return max(0, -(-total // (parts * self.unit)))


def least_paid(problem: SplicingProblem) -> list[int]:
    """For every bar its price (money) less what it is worth when it stays whole."""
    return [bar.price - offcut_value(problem.saw, bar.price, max(bar.length, bar.room)) for bar in problem.bars]
