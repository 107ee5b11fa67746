"""Column generation over patterns and ways on a lattice, and its proven bound in whole numbers.

For any prices of the sizes, a plan costs at least what whole pieces and the cheapest ways of all members pay, plus, for
every bar and for the splices, what their limits leave. Source: Lagrangian duality.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from estimator.cutting.colgen.relaxation import Budget
from estimator.cutting.records import Pattern
from estimator.cutting.runs.compositions import Composition, lengths_of
from estimator.cutting.splicing.bounds.benders_cuts import BendersCut
from estimator.cutting.splicing.colgen.master import PathColumn, PatternColumn, SplicingMaster, SplicingOptimum
from estimator.cutting.splicing.colgen.pattern_prices import DualPrices, PatternPrices, SizePrices
from estimator.cutting.splicing.position_graph.graph import Ints
from estimator.cutting.splicing.position_graph.shortest_paths import DEAREST, MemberPath, PricedMembers, path_through
from estimator.cutting.splicing.problem import ProblemOnLattice, Proposal, SplicingLimits
from estimator.cutting.tuning import PRICING, SPLICING_WORK


@dataclass(frozen=True, slots=True)
class SplicingRelaxation:
    """The program's last optimum (None where none was found), the proven bound (money) and the prices behind it."""

    shares: SplicingOptimum | None
    bound: int
    point: DualPrices | None = None


class SplicingColumns(PatternPrices):
    """The linear program of one lattice with its columns; solved again under other limits it starts where it was."""

    def __init__(self, on: ProblemOnLattice, budget: Budget) -> None:
        super().__init__(on, SplicingMaster(on), budget)
        self.on = on
        self._centre: DualPrices | None = None
        self._misses = 0
        self.cuts: list[BendersCut] = []

    def begin(self, known: Iterable[tuple[int, Composition]]) -> None:
        """Begins with ways (kind, joints) found on another lattice, or where a kind has none, with plain ones."""
        if len(set(self.adopt(known))) < len(self.on.webs):
            self._start()

    def _start(self) -> None:
        """Ways that are cheapest when a size costs its share of the bar that is cheapest for its room."""
        bars = self.on.problem.bars
        pairs = [(bar.price, room) for bar, room in zip(bars, self.on.rooms, strict=True) if room > 0]
        price, room = min(pairs, key=lambda pair: pair[0] / pair[1])
        even = np.arange(self.on.lattice.widest + 1, dtype=np.int64) * (price * self.unit // room)
        for splice in (self.on.problem.splice, max(bar.price for bar in bars)):
            found = self.on.graphs.priced(even, splice * self.unit, PRICING.ways_a_round)
            for kind in range(len(self.on.webs)):
                for way in found.ways(kind, DEAREST):
                    self.lp.add_way(kind, way)

    def _from(self, point: DualPrices) -> DualPrices:
        """Prices that proved a bound on this or another outward lattice, as prices of this one's sizes.

        They are a function of real lengths, a step function over the other lattice's units, so they prove here as well.
        """
        if point.unit == self.on.lattice.unit:
            return point
        at = np.arange(self.on.lattice.widest + 1, dtype=np.int64) * self.on.lattice.unit // point.unit
        return replace(point, unit=self.on.lattice.unit, by_size=point.by_size[at])

    def adopt(self, known: Iterable[tuple[int, Composition]]) -> list[int]:
        """Ways (kind, joints) found on another lattice; the kinds of those that fit on this one."""
        kinds = []
        for kind, joints in known:
            way = path_through(self.on.webs[kind], joints)
            if way is not None and max(way.sizes) <= self.on.lattice.widest:
                self.lp.add_way(kind, way)
                kinds.append(kind)
        return kinds

    def adopt_plan(self, proposal: Proposal, patterns: Sequence[Pattern]) -> None:
        """The ways and bars of a real plan, as far as its rounded pieces still fit; on an inside lattice."""
        lattice = self.on.lattice
        for kind, (member, chosen) in enumerate(zip(self.on.problem.members, proposal.chosen, strict=True)):
            for joints, _ in chosen:
                sizes = tuple(lattice.size(length) for length in lengths_of(member, joints))
                self.lp.add_way(kind, MemberPath(0, sizes, joints))
        for pattern in patterns:
            pieces = Counter(lattice.size(length) for length in pattern.pieces)
            if sum(size * n for size, n in pieces.items()) <= self.on.rooms[pattern.stock]:
                self.lp.add_pattern(pattern.stock, pieces)

    def adopt_optimum(self, inside: SplicingColumns, shares: SplicingOptimum) -> None:
        """What an optimum of an inside lattice uses; it fits outward, so its value is the first."""
        unit, rooms = inside.on.lattice.unit, inside.on.rooms
        self.adopt(inside.used_ways(shares))
        for column, use in zip(inside.lp.columns, shares.use, strict=False):
            if isinstance(column, PatternColumn) and use > PRICING.close:
                pieces: Counter[int] = Counter()
                for size, n in column.pieces:
                    full = size == rooms[column.bar]
                    pieces[self.on.rooms[column.bar] if full else size * unit // self.on.lattice.unit] += n
                self.lp.add_pattern(column.bar, pieces)

    def used_ways(self, shares: SplicingOptimum) -> list[tuple[int, Composition]]:
        """Kind and joints of every way that an optimum uses."""
        return [
            (column.kind, column.way.joints)
            for column, use in zip(self.lp.columns, shares.use, strict=False)
            if isinstance(column, PathColumn) and use > PRICING.close
        ]

    def relax(
        self, limits: SplicingLimits, cutoff: int, close: float = PRICING.close, start: DualPrices | None = None
    ) -> SplicingRelaxation:
        """Solves the program within `limits`, until the bound reaches `cutoff` or the program's value.

        `start`: prices that proved a bound before, under wider limits or on another lattice.
        """
        self.lp.limit(limits)
        if start is not None:
            self._centre = self._from(start)
        best = 0 if self._centre is None else self._bound(self._centre, limits)[0]
        if best >= cutoff:
            return SplicingRelaxation(None, best, self._centre)
        while True:
            shares = self.lp.solve()
            if shares is None:
                return SplicingRelaxation(None, best, self._centre)
            self.budget.spend(self.work())
            prices = self.priced(shares, limits)
            if self.add_patterns(prices) and not self.budget.spent():
                continue
            bound, new = self._price_ways(shares, prices, limits, best)
            best = max(best, bound)
            if best >= cutoff or best >= shares.value * (1 - close) or not new or self.budget.spent():
                return SplicingRelaxation(shares, best, self._centre)

    def grow(self, shares: SplicingOptimum, limits: SplicingLimits) -> bool:
        """One round of columns that are worth having at an optimum, without a bound; whether there were any."""
        self.budget.spend(self.work())
        prices = self.priced(shares, limits)
        if self.add_patterns(prices):
            return True
        here = self.point(prices, shares, limits)
        return self._add_ways(shares, prices, here, self._bound(here, limits)[1])

    def _price_ways(
        self, shares: SplicingOptimum, prices: SizePrices, limits: SplicingLimits, best: int
    ) -> tuple[int, bool]:
        """The best bound under these prices or those between them and the best so far; whether a cheaper way was added.

        Prices between two points are steadier, so the bound follows the program's value sooner.
        Source: smoothing of dual prices after Wentges, Int. Trans. Opl. Res. 4 (1997) 151.
        """
        here = self.point(self.not_overpaid(prices, limits), shares, limits)
        trials = [here] if self._centre is None else [between_points(self._centre, here), here]
        new = False
        for point in trials:
            bound, ways = self._bound(point, limits)
            better = bound > best or self._centre is None
            if better:
                best, self._centre = max(best, bound), point
            self._misses = 0 if better else self._misses + 1
            new = self._add_ways(shares, prices, here, ways) or new
            if new and self._misses < PRICING.misses and best > 0:
                break
        return best, new

    def _add_ways(self, shares: SplicingOptimum, prices: SizePrices, here: DualPrices, ways: PricedMembers) -> bool:
        """Adds the ways that are cheaper than the program knows, with patterns for their sizes."""
        new = False
        for kind in range(len(self.on.webs)):
            below = shares.member_price[kind] * self.unit
            for way in ways.ways(kind, DEAREST):
                cost = sum(int(here.by_size[size]) for size in way.sizes) + here.splice * len(way.joints)
                if cost < below - abs(below) * 1e-8 and self.lp.add_way(kind, way):
                    new = True
                    for size in set(way.sizes):
                        self.support(prices, self.cheapest_bar(prices, size), size)
        return new

    def _bound(self, point: DualPrices, limits: SplicingLimits) -> tuple[int, PricedMembers]:
        """The bound that a point proves, and the cheapest ways of every kind there; its cut is kept."""
        total = sum(count * int(point.by_size[self.on.lattice.size(length)]) for length, count in self.on.problem.whole)
        ways = self.on.graphs.priced(point.by_size, point.splice, PRICING.ways_a_round)
        total += sum(count * ways.least(kind) for kind, count in enumerate(self.on.problem.counts))
        self.budget.spend(self.on.cells // SPLICING_WORK.cells)
        bound, cut = self.proven(total, point, limits)
        if self.on.lattice.outward:
            self.cuts.append(cut)
        return bound, ways


def between_points(centre: DualPrices, here: DualPrices, weight: int = PRICING.centre_weight) -> DualPrices:
    """A point between two, `weight` times as near the first; rounded so that no bar is worth more than it costs."""
    old, new = weight, 1
    both = old + new

    def mixed(a: Sequence[int], b: Sequence[int], up: int) -> tuple[int, ...]:
        return tuple((old * x + new * y + up * (both - 1)) // both for x, y in zip(a, b, strict=True))

    by_size: Ints = (old * centre.by_size + new * here.by_size) // both
    splice = (old * centre.splice + new * here.splice) // both
    return DualPrices(here.unit, by_size, mixed(centre.own, here.own, 0), mixed(centre.over, here.over, 1), splice)
