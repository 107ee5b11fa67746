"""Column generation over patterns in whole units and ways of real lengths, whose pieces lie between two units.

The program is a relaxation of the real problem, not of a rounded one: its prices are straight between units
(`length_prices`). Kinds of members are taken in blocks: with few kinds each is its own, else a block's column says one
way for each of its kinds, so that the program stays small however many kinds there are.
Source: Dantzig and Wolfe, Operations Research 8 (1960) 101; blocks put together: common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from estimator.cutting.colgen.relaxation import Budget
from estimator.cutting.records import Pattern
from estimator.cutting.runs.compositions import Composition
from estimator.cutting.splicing.bounds.benders_cuts import BendersCut
from estimator.cutting.splicing.bounds.number_tuning import NUMBERS
from estimator.cutting.splicing.colgen.column_generation import between_points
from estimator.cutting.splicing.colgen.master import PatternColumn, SplicingMaster, SplicingOptimum, WayColumn
from estimator.cutting.splicing.colgen.pattern_prices import INFINITY, DualPrices, PatternPrices, SizePrices
from estimator.cutting.splicing.problem import Proposal, SplicingLimits
from estimator.cutting.splicing.quick.cheapest_ways import CheapestWays, FoundWay, nearly_all_of, some_of
from estimator.cutting.splicing.quick.joint_nodes import JointNodes, stretches
from estimator.cutting.splicing.quick.known_ways import KnownWays, costs_of
from estimator.cutting.splicing.quick.length_prices import DEAREST, LengthPrices, RealSizes
from estimator.cutting.tuning import PRICING, QUICK, SPLICING_WORK, WAYS


@dataclass(frozen=True, slots=True)
class BlockColumn(WayColumn):
    """A way for every kind of a block, which has its own row: joints, in the order of the block's kinds."""

    ways: tuple[Composition, ...]


class BlockMaster(SplicingMaster):
    """Patterns, and columns of blocks."""

    def __init__(self, sizes: RealSizes, blocks: Sequence[Sequence[int]]) -> None:
        counts = sizes.problem.counts
        self.blocks = blocks
        super().__init__(sizes, [sum(counts[kind] for kind in block) for block in blocks])
        self._between = sizes

    def add_block(self, column: BlockColumn) -> Iterable[int]:
        """Adds a column, if it is new; the sizes in it. Its entries are those of one member of the block on average."""
        if column in self._seen:
            return ()
        self._seen.add(column)
        problem, members = self.on.problem, self.members[column.row]
        parts = self._parts(column)
        splices = sum(
            problem.counts[kind] * len(joints)
            for kind, joints in zip(self.blocks[column.row], column.ways, strict=True)
        )
        rows = [self._kinds + column.row, *(self.add_size(size) for size in parts)]
        values = [1.0, *(-part / members for part in parts.values())]
        if splices:
            rows.append(self._bars)
            values.append(splices / members)
        self._add(problem.splice * splices / members * self.scale, rows, values, column)
        return parts.keys()

    def _parts(self, column: BlockColumn) -> dict[int, float]:
        """Units, and how many pieces of each the block's members need together."""
        problem = self.on.problem
        parts: dict[int, float] = {}
        for kind, joints in zip(self.blocks[column.row], column.ways, strict=True):
            for before, after in pairwise((0, *joints, problem.members[kind].length)):
                for size, part in self._between.parts(after - before):
                    if size:
                        parts[size] = parts.get(size, 0.0) + part * problem.counts[kind]
        return parts


class BlockColumns(PatternPrices):
    """The linear program with its columns; solved again it starts where it was."""

    def __init__(self, sizes: RealSizes, blocks: Sequence[Sequence[int]], nodes: JointNodes, budget: Budget) -> None:
        self.blocks = [list(block) for block in blocks]
        self.master = BlockMaster(sizes, self.blocks)
        super().__init__(sizes, self.master, budget)
        self.between = sizes
        self.nodes = nodes
        self.centre: DualPrices | None = None
        self.hurried = False
        self._misses = 0
        self._drawn: list[tuple[DualPrices, LengthPrices]] = []
        self.known = KnownWays(sizes.problem.members)
        self._alone = all(len(block) == 1 for block in self.blocks)

    def begin(self) -> None:
        """Ways that are cheapest when a length costs its share of the bar that is cheapest for its room."""
        bars = self.sizes.problem.bars
        pairs = [(bar.price, room) for bar, room in zip(bars, self.sizes.rooms, strict=True) if room > 0]
        price, room = min(pairs, key=lambda pair: pair[0] / pair[1])
        even = np.arange(self.sizes.lattice.widest + 1, dtype=np.int64) * (price * self.unit // room)
        for splice in (self.sizes.problem.splice, max(bar.price for bar in bars)):
            prices = self.between.length_prices(even, splice * self.unit)
            self._add(CheapestWays(self.nodes, prices, None, some_of(self.nodes.kinds)).ways(), prices, None)

    def adopt(self, proposal: Proposal, patterns: Sequence[Pattern]) -> None:
        """The ways and bars of a plan, its pieces rounded to units between which they lie, as far as the bars hold."""
        ways = enumerate(proposal.chosen)
        found = [FoundWay(kind, 0, joints) for kind, chosen in ways for joints, _ in chosen]
        self.known.add(found)
        if self._alone:
            number = {block[0]: n for n, block in enumerate(self.blocks)}
            for way in found:
                self.master.add_block(BlockColumn(number[way.kind], (way.joints,)))
        unit, kerf = self.sizes.lattice.unit, self.sizes.problem.saw.kerf
        for pattern in patterns:
            room = self.sizes.rooms[pattern.stock]
            below = [divmod(length + kerf, unit) for length in pattern.pieces]
            left = room - sum(size for size, _ in below)
            pieces: Counter[int] = Counter()
            for size, over in sorted(below, key=lambda each: -each[1]):
                up = int(over > 0 and left > 0)
                pieces[size + up] += 1
                left -= up
            if left >= 0:
                self.lp.add_pattern(pattern.stock, pieces)

    def even_prices(self, limits: SplicingLimits) -> None:
        """Begins `relax` with prices that go by length alone; they are far better than the first of the program."""
        charge = tuple(bar.price * self.unit for bar in self.sizes.problem.bars)
        each = [price // room for price, room in zip(charge, self.sizes.rooms, strict=True) if room > 0]
        prices = self.not_overpaid(self._worth((1,), (min(each),), charge), limits)
        over = tuple(max(0, worth - price) for worth, price in zip(prices.worth, charge, strict=True))
        splice = self.sizes.problem.splice * self.unit
        self.centre = DualPrices(self.sizes.lattice.unit, self._by_size(prices), tuple(0 for _ in charge), over, splice)

    def _add(self, found: Sequence[FoundWay], at: LengthPrices, sizes_of: SizePrices | None) -> bool:
        """Columns of ways: where kinds are alone one for each way, else for each block one of its cheapest known ways.

        New sizes come with the patterns that are best for them under the prices `sizes_of`.
        """
        self.known.add(found)
        if self._alone:
            number = {block[0]: n for n, block in enumerate(self.blocks)}
            columns = [BlockColumn(number[way.kind], (way.joints,)) for way in found]
        else:
            best = self.known.best(at)
            columns = [BlockColumn(n, tuple(best[kind] for kind in block)) for n, block in enumerate(self.blocks)]
        new = [sizes for sizes in map(self.master.add_block, columns) if sizes]
        if sizes_of is not None:
            widest = self.sizes.lattice.widest
            for size in sorted({size for sizes in new for size in sizes if size <= widest}):
                self.support(sizes_of, self.cheapest_bar(sizes_of, size), size)
        return bool(new)

    def at_prices(self, prices: Sequence[int], budget: Budget) -> BlockColumns:
        """The same program where bars cost other `prices` (money), with all columns known here."""
        problem = self.sizes.problem
        bars = tuple(replace(bar, price=price) for bar, price in zip(problem.bars, prices, strict=True))
        other = BlockColumns(self.between.at(replace(problem, bars=bars)), self.blocks, self.nodes, budget)
        for column in self.lp.columns:
            if isinstance(column, PatternColumn):
                other.lp.add_pattern(column.bar, dict(column.pieces))
            elif isinstance(column, BlockColumn):
                other.master.add_block(column)
        other.known.add(self.known.latest())
        return other

    def learn(self, other: BlockColumns) -> None:
        """Takes over ways that another program knows."""
        prices = other.centre and other.prices_of(other.centre)
        if prices:
            self._add(other.known.latest(), prices, None)

    def relax(
        self, limits: SplicingLimits, close: float, rounds: int, cutoff: int = INFINITY
    ) -> SplicingOptimum | None:
        """Solves the program until what its prices prove over the nodes is near its value; `centre` are the best.

        It also ends where that reaches `cutoff`, and with blocks after some rounds that bring both hardly nearer.
        """
        self.lp.limit(limits)
        best, apart, idle = 0, float(INFINITY), 0
        if self.centre is not None:
            found = self._cheapest(self.centre, None)
            best, _ = self.proven(self._total(self.centre, found), self.centre, limits)
        weight = QUICK.centre_weight[not self._alone]
        for _ in range(rounds):
            shares = self._with_patterns(limits)
            if shares is None:
                return None
            here = self.point(self.not_overpaid(self.priced(shares, limits), limits), shares, limits)
            points = [here] if self.centre is None else [between_points(self.centre, here, weight), here]
            new = False
            for point in points:
                found = self._cheapest(point, shares if point is here else None)
                bound, _ = self.proven(self._total(point, found), point, limits)
                if bound > best or self.centre is None:
                    best, self.centre, self._misses = max(best, bound), point, 0
                else:
                    self._misses += 1
                own = self.prices_of(here)
                new = self._add(self._worth_having(found, own, shares), own, self.priced(shares, limits)) or new
                if new and self._misses < PRICING.misses:
                    break
            idle = 0 if shares.value - best < apart - shares.value * QUICK.progress else idle + 1
            apart = apart if idle else shares.value - best
            if best >= min(cutoff, shares.value * (1 - close)) or not new or self.budget.spent():
                break
            if idle >= QUICK.idle and (self.hurried or not self._alone):
                break
        return self._with_patterns(limits)

    def grow(self, shares: SplicingOptimum, limits: SplicingLimits) -> bool:
        """One round of columns that are worth having at an optimum, without a bound; whether there were any."""
        self.budget.spend(self.work())
        prices = self.priced(shares, limits)
        if self.add_patterns(prices):
            return True
        here = self.point(prices, shares, limits)
        own = self.prices_of(here)
        return self._add(self._worth_having(self._cheapest(here, shares), own, shares), own, prices)

    def bound(
        self, point: DualPrices, step: int, limits: SplicingLimits, most: tuple[int, int] | None = None
    ) -> tuple[int, BendersCut]:
        """What prices prove, over stretches of `step` tenths that fill all windows; and their cut.

        Kinds are gone through some at a time, so that memory is bounded; `most` as in `CheapestWays`, by default
        nearly all.
        """
        prices = self.prices_of(point)
        known, problem = self.known.costs(prices), self.sizes.problem
        total = sum(count * int(prices.by_length[length]) for length, count in problem.whole)
        for begin in range(0, len(problem.members), WAYS.kinds_at_once):
            here = slice(begin, begin + WAYS.kinds_at_once)
            nodes = stretches(problem.members[here], step)
            found = CheapestWays(nodes, prices, known[here] + 1, most or nearly_all_of(len(problem.members)))
            self._spend_on(nodes, found)
            total += _paid(found, problem.counts[here])
        return self.proven(total, point, limits)

    def _with_patterns(self, limits: SplicingLimits) -> SplicingOptimum | None:
        """The optimum once no pattern is worth more than its bar."""
        while True:
            shares = self.lp.solve()
            if shares is None:
                return None
            self.budget.spend(self.work())
            if not self.add_patterns(self.priced(shares, limits)) or self.budget.spent():
                return shares

    def _cheapest(self, point: DualPrices, shares: SplicingOptimum | None) -> CheapestWays:
        """Ways that are cheaper than all known ones, and with `shares` than the program's optimum pays."""
        prices = self.prices_of(point)
        below = self.known.costs(prices)
        if shares is not None and self._alone:
            paid = np.array([int(price * self.unit) + 1 for price in shares.member_price], dtype=np.int64)
            order = np.array([block[0] for block in self.blocks])
            below[order] = np.minimum(below[order], paid)
        found = CheapestWays(self.nodes, prices, below, some_of(self.nodes.kinds))
        self._spend_on(self.nodes, found)
        return found

    def _spend_on(self, nodes: JointNodes, found: CheapestWays) -> None:
        self.budget.spend(1 + len(nodes.low) // SPLICING_WORK.nodes + found.pairs // NUMBERS.pairs)

    def _total(self, point: DualPrices, found: CheapestWays) -> int:
        """What all pieces pay at least."""
        prices = self.prices_of(point)
        total = sum(count * int(prices.by_length[length]) for length, count in self.sizes.problem.whole)
        return total + _paid(found, self.sizes.problem.counts)

    def prices_of(self, point: DualPrices) -> LengthPrices:
        """The prices of all lengths at a point; those of the latest points are kept."""
        for known, prices in self._drawn:
            if known is point:
                return prices
        prices = self.between.length_prices(point.by_size, point.splice)
        self._drawn = [(point, prices), *self._drawn[:2]]
        return prices

    def _worth_having(self, found: CheapestWays, own: LengthPrices, shares: SplicingOptimum) -> list[FoundWay]:
        """The ways found that are cheaper at the program's own prices than it knows; of blocks all that were found."""
        ways = found.ways()
        if not self._alone:
            return ways
        price = {block[0]: each * self.unit for block, each in zip(self.blocks, shares.member_price, strict=True)}
        costs = costs_of(self.sizes.problem.members, ways, own)
        return [
            way
            for way, cost in zip(ways, costs, strict=True)
            if cost < price[way.kind] - abs(price[way.kind]) * PRICING.added
        ]


def _paid(found: CheapestWays, counts: Sequence[int]) -> int:
    """What members pay at least; nothing those that cannot be made."""
    least = np.where(found.proven < DEAREST, found.proven, 0).tolist()
    return sum(count * cost for count, cost in zip(counts, least, strict=True))
