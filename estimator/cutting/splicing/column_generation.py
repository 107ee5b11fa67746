"""Column generation over patterns and ways on a lattice, and its proven bound in whole numbers.

For any prices of the sizes, a plan costs at least what whole pieces and the cheapest ways of all members pay, plus, for
every bar and for the splices, what their limits leave. A piece is priced as the best filling of its room; one of more
than half the widest bar, of which no two share a bar, at all that a bar is worth beside the best filling of the rest.
Source: Lagrangian duality; superadditive pricing as in dual feasible functions, Lueker (1983).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from estimator.cutting.colgen.bounds import price_unit
from estimator.cutting.colgen.relaxation import Budget
from estimator.cutting.records import Pattern
from estimator.cutting.runs.compositions import Composition, lengths_of
from estimator.cutting.splicing.benders_cuts import BendersCut
from estimator.cutting.splicing.knapsack import UnboundedKnapsack
from estimator.cutting.splicing.master import PathColumn, PatternColumn, SplicingMaster, SplicingOptimum
from estimator.cutting.splicing.position_graph import Ints
from estimator.cutting.splicing.problem import ProblemOnLattice, Proposal, SplicingLimits
from estimator.cutting.splicing.shortest_paths import DEAREST, MemberPath, PricedMembers, path_through

WAYS_PER_ROUND = 2
PATTERNS_PER_ROUND = 40
CELLS_PER_WORK = 500_000
ROOM_PER_WORK = 100_000
COLUMNS_PER_WORK = 400_000
CLOSE = 5e-5
CENTRE_WEIGHT = 2
MOST_LOWERINGS = 9
MOST_MISSES = 3
INFINITY = 1 << 62


@dataclass(frozen=True, slots=True)
class _Prices:
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


@dataclass(frozen=True, slots=True)
class SplicingRelaxation:
    """The program's last optimum (None where none was found), the proven bound (money) and the prices behind it."""

    shares: SplicingOptimum | None
    bound: int
    point: DualPrices | None = None


class SplicingColumns:
    """The linear program of one lattice with its columns; solved again under other limits it starts where it was."""

    def __init__(self, on: ProblemOnLattice, budget: Budget) -> None:
        self.on = on
        self.lp = SplicingMaster(on)
        self.budget = budget
        self.unit = price_unit(on.problem.bars)
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
            found = self.on.graphs.priced(even, splice * self.unit, WAYS_PER_ROUND)
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
            if isinstance(column, PatternColumn) and use > CLOSE:
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
            if isinstance(column, PathColumn) and use > CLOSE
        ]

    def relax(
        self, limits: SplicingLimits, cutoff: int, close: float = CLOSE, start: DualPrices | None = None
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
            prices = self._priced(shares, limits)
            if self._add_patterns(prices) and not self.budget.spent():
                continue
            bound, new = self._price_ways(shares, prices, limits, best)
            best = max(best, bound)
            if best >= cutoff or best >= shares.value * (1 - close) or not new or self.budget.spent():
                return SplicingRelaxation(shares, best, self._centre)

    def grow(self, shares: SplicingOptimum, limits: SplicingLimits) -> bool:
        """One round of columns that are worth having at an optimum, without a bound; whether there were any."""
        self.budget.spend(self.work())
        prices = self._priced(shares, limits)
        if self._add_patterns(prices):
            return True
        here = self._point(prices, shares, limits)
        return self._add_ways(shares, prices, here, self._bound(here, limits)[1])

    def work(self) -> int:
        """Work of one solution of the program: about its milliseconds on a slow machine, reckoned from sizes alone."""
        rows, room = len(self.lp.row_of), self.on.lattice.widest
        return 1 + rows * room // ROOM_PER_WORK + rows * len(self.lp.columns) // COLUMNS_PER_WORK

    def _priced(self, shares: SplicingOptimum, limits: SplicingLimits) -> _Prices:
        """The program's prices in whole numbers; a bar without limit has no own price below 0 for all rounding."""
        sizes = tuple(shares.size_price)
        whole = [max(0, int(price * self.unit)) for price in shares.size_price.values()]
        charge = tuple(
            max(0 if high is None else -INFINITY, bar.price * self.unit - self._own(own, high))
            for bar, own, high in zip(self.on.problem.bars, shares.bar_price, limits.high, strict=False)
        )
        return self._worth(sizes, whole, charge)

    def _own(self, price: float, high: int | None) -> int:
        return max(0, int(price * self.unit)) if high is None else int(price * self.unit)

    def _worth(self, sizes: tuple[int, ...], whole: Sequence[int], charge: tuple[int, ...]) -> _Prices:
        filling = UnboundedKnapsack(sizes, whole, self.on.lattice.widest)
        worth, ends = [], []
        for room, left in zip(self.on.rooms, self.on.left, strict=True):
            total = filling.pay[: room + 1] + left * self.unit
            end = room - int(total[::-1].argmax())
            worth.append(int(total[end]))
            ends.append(end)
        return _Prices(sizes, filling, charge, tuple(worth), tuple(ends))

    def _add_patterns(self, prices: _Prices) -> int:
        """Patterns worth more than their bar costs: the best of each bar, and the best with single sizes."""
        new = 0
        for bar, (worth, charge, end) in enumerate(zip(prices.worth, prices.charge, prices.ends, strict=True)):
            if worth > charge + max(1, abs(charge) >> 30):
                new += self.lp.add_pattern(bar, prices.filling.pieces(end))
        if not new:
            return 0
        room = self.on.lattice.widest
        pay = prices.filling.pay
        gains = []
        for size in prices.sizes:
            own = int(pay[size]) if size <= room else 0
            for bar, whole in enumerate(self.on.rooms):
                if size <= whole:
                    rest = pay[: whole - size + 1]
                    if self.on.problem.values:
                        rest = rest + self.on.left[bar][size : whole + 1] * self.unit
                    gain = own + int(rest.max()) - prices.charge[bar]
                    if gain > max(1, abs(prices.charge[bar]) >> 30):
                        gains.append((-gain, bar, size))
        for _, bar, size in sorted(gains)[:PATTERNS_PER_ROUND]:
            new += self._support(prices, bar, size)
        return new

    def _support(self, prices: _Prices, bar: int, size: int) -> bool:
        """The best pattern of a bar that cuts a piece of that size."""
        rest = self.on.rooms[bar] - size
        total = prices.filling.pay[: rest + 1] + self.on.left[bar][size : size + rest + 1] * self.unit
        pieces = prices.filling.pieces(rest - int(total[::-1].argmax()))
        pieces[size] = pieces.get(size, 0) + 1
        return self.lp.add_pattern(bar, pieces)

    def _price_ways(
        self, shares: SplicingOptimum, prices: _Prices, limits: SplicingLimits, best: int
    ) -> tuple[int, bool]:
        """The best bound under these prices or those between them and the best so far; whether a cheaper way was added.

        Prices between two points are steadier, so the bound follows the program's value sooner.
        Source: smoothing of dual prices after Wentges, Int. Trans. Opl. Res. 4 (1997) 151.
        """
        here = self._point(self._not_overpaid(prices, limits), shares, limits)
        trials = [here] if self._centre is None else [_between(self._centre, here), here]
        new = False
        for point in trials:
            bound, ways = self._bound(point, limits)
            better = bound > best or self._centre is None
            if better:
                best, self._centre = max(best, bound), point
            self._misses = 0 if better else self._misses + 1
            new = self._add_ways(shares, prices, here, ways) or new
            if new and self._misses < MOST_MISSES and best > 0:
                break
        return best, new

    def _add_ways(self, shares: SplicingOptimum, prices: _Prices, here: DualPrices, ways: PricedMembers) -> bool:
        """Adds the ways that are cheaper than the program knows, with patterns for their sizes."""
        new = False
        for kind in range(len(self.on.webs)):
            below = shares.member_price[kind] * self.unit
            for way in ways.ways(kind, DEAREST):
                cost = sum(int(here.by_size[size]) for size in way.sizes) + here.splice * len(way.joints)
                if cost < below - abs(below) * 1e-8 and self.lp.add_way(kind, way):
                    new = True
                    for size in set(way.sizes):
                        self._support(prices, self._cheapest_bar(prices, size), size)
        return new

    def _point(self, prices: _Prices, shares: SplicingOptimum, limits: SplicingLimits) -> DualPrices:
        own = tuple(
            bar.price * self.unit - charge for bar, charge in zip(self.on.problem.bars, prices.charge, strict=True)
        )
        over = tuple(max(0, worth - charge) for worth, charge in zip(prices.worth, prices.charge, strict=True))
        splice = self.on.problem.splice * self.unit - self._own(shares.splice_price, limits.high[-1])
        return DualPrices(self.on.lattice.unit, self._by_size(prices), own, over, splice)

    def _bound(self, point: DualPrices, limits: SplicingLimits) -> tuple[int, PricedMembers]:
        """The bound that a point proves, and the cheapest ways of every kind there; its cut is kept."""
        total = sum(count * int(point.by_size[size]) for size, count in self.on.whole.items())
        ways = self.on.graphs.priced(point.by_size, point.splice, WAYS_PER_ROUND)
        total += sum(count * ways.least(kind) for kind, count in enumerate(self.on.problem.counts))
        self.budget.spend(self.on.cells // CELLS_PER_WORK)
        own = (*point.own, self.on.problem.splice * self.unit - point.splice)
        slopes = tuple(each - over for each, over in zip(own, (*point.over, 0), strict=True))
        if self.on.lattice.outward:
            self.cuts.append(BendersCut(total, slopes))
        for each, over, low, high in zip(own, (*point.over, 0), limits.low, limits.high, strict=True):
            total += each * low if each > 0 else each * (high or 0)
            total -= over * (high or 0)
        return (0 if self._boundless(point, limits) else -(-total // self.unit)), ways

    def _boundless(self, point: DualPrices, limits: SplicingLimits) -> bool:
        """Whether a bar or a splice that has no limit is overpaid, so that nothing is proven."""
        over = any(over and high is None for over, high in zip(point.over, limits.high, strict=False))
        own = (*point.own, self.on.problem.splice * self.unit - point.splice)
        return over or any(each < 0 and high is None for each, high in zip(own, limits.high, strict=True))

    def _cheapest_bar(self, prices: _Prices, size: int) -> int:
        """The bar on which a piece of that size would cost least beside the best filling of the rest."""
        fitting = [bar for bar, room in enumerate(self.on.rooms) if size <= room]
        return min(fitting, key=lambda bar: prices.charge[bar] - int(prices.filling.pay[self.on.rooms[bar] - size]))

    def _not_overpaid(self, prices: _Prices, limits: SplicingLimits) -> _Prices:
        """Prices lowered until no bar without limit is worth more than it costs.

        One step is enough but where off-cuts have a value, which is not lowered with the prices.
        Source: scaling after Farley, Operations Research 38 (1990) 922.
        """
        for step in range(MOST_LOWERINGS):
            over = [
                (worth, charge)
                for worth, charge, high in zip(prices.worth, prices.charge, limits.high, strict=False)
                if worth > charge and high is None
            ]
            if not over:
                return prices
            worth, charge = max(over, key=lambda pair: Fraction(pair[0], max(1, pair[1])))
            if charge <= 0 or step == MOST_LOWERINGS - 1:
                break
            less = charge - (charge >> 20) * (step and 1 << (2 * step))
            whole = [max(0, int(prices.filling.pay[size]) * less // worth) for size in prices.sizes]
            prices = self._worth(prices.sizes, whole, prices.charge)
        return self._worth((), [], prices.charge)

    def _by_size(self, prices: _Prices) -> Ints:
        """What a piece of each size pays, so that no pattern of any pieces is paid more than its bar is worth."""
        widest = self.on.lattice.widest
        pay, half = prices.filling.pay, widest // 2
        large = np.full(widest + 1, 1 << 57, dtype=np.int64)
        bars = zip(self.on.rooms, self.on.left, prices.charge, prices.worth, strict=True)
        for room, left, charge, worth in bars:
            paid = max(charge, worth)
            beside = pay[: max(0, room - half)]
            if not len(beside):
                continue
            if not self.on.problem.values:
                large[half + 1 : room + 1] = np.minimum(large[half + 1 : room + 1], paid - beside[::-1])
                continue
            for size in range(half + 1, room + 1):
                rest = int((pay[: room - size + 1] + left[size : room + 1] * self.unit).max())
                large[size] = min(int(large[size]), paid - rest)
        found = pay.copy()
        found[half + 1 :] = np.maximum(found[half + 1 :], large[half + 1 :])
        return np.maximum.accumulate(found)


def _between(centre: DualPrices, here: DualPrices) -> DualPrices:
    """A point between two, nearer the first; rounded so that no bar is worth more than it costs."""
    old, new = CENTRE_WEIGHT, 1
    both = old + new

    def mixed(a: Sequence[int], b: Sequence[int], up: int) -> tuple[int, ...]:
        return tuple((old * x + new * y + up * (both - 1)) // both for x, y in zip(a, b, strict=True))

    by_size: Ints = (old * centre.by_size + new * here.by_size) // both
    splice = (old * centre.splice + new * here.splice) // both
    return DualPrices(here.unit, by_size, mixed(centre.own, here.own, 0), mixed(centre.over, here.over, 1), splice)
