"""Which way each member is made of pieces: compositions and patterns priced together, and a bound over all legal ways.

The program is solved over the compositions found so far; then, under its prices, the cheapest legal composition of
every kind of member is sought among all places where a joint may stand. The bound holds for every legal plan, not only
for those whose compositions were looked at: between known sizes a piece is priced as the next shorter known one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from estimator.cutting.bounds import price_unit, whole_prices
from estimator.cutting.compositions import (
    Composition,
    cheapest,
    furthest_first,
    lengths_of,
    place_step,
    price_by_length,
    shortest_piece,
)
from estimator.cutting.joint_master import JointMaster, JointShares
from estimator.cutting.joints import Member
from estimator.cutting.knapsack import Knapsack
from estimator.cutting.lifting import RoomPrices
from estimator.cutting.relaxation import Budget
from estimator.cutting.shop import Shop

COLUMNS_PER_ROUND = 20
MOST_ROUNDS = 60
MOST_BOUNDING = 2
MOST_LIFTED = 24
TAIL = 4
TAIL_GAIN = 0.0001
MOST_LIFTS = 12
WHOLE_ROOM = 0.7


@dataclass(frozen=True, slots=True)
class SpliceProblem:
    """Whole pieces (length, count), members of each kind with their counts, and the price of a splice."""

    shop: Shop
    whole: tuple[tuple[int, int], ...]
    members: tuple[Member, ...]
    counts: tuple[int, ...]
    splice: int
    longest: int


@dataclass(frozen=True, slots=True)
class Proposal:
    """Per kind of member (composition, times) pairs whose times add up to the kind's count."""

    chosen: tuple[tuple[tuple[Composition, int], ...], ...]


@dataclass(frozen=True, slots=True)
class Spliced:
    """Proposals worth cutting out in full, and the proven bound for every legal plan."""

    proposals: tuple[Proposal, ...]
    bound: int


class SpliceSearch:
    """Column generation over patterns and compositions."""

    def __init__(self, problem: SpliceProblem, budget: Budget) -> None:
        self._problem = problem
        self._budget = budget
        self._shop = problem.shop
        self._unit = price_unit(problem.shop)
        self._master = JointMaster(problem.shop, problem.counts, problem.splice)
        self._knapsack: Knapsack | None = None
        self._sizes = -1

    def run(self) -> Spliced:
        """Column generation to its end or to the budget's; then proposals and the bound."""
        self._start()
        bound = bounding = 0
        shares = self._settle_patterns()
        values: list[float] = []
        for _ in range(MOST_ROUNDS):
            if shares is None or self._budget.spent() or _tails_off(values):
                break
            values.append(shares.value)
            if not self._add_compositions(shares):
                bound = max(bound, joint_bound(self._problem, self._master.shop, shares, self._unit))
                bounding += 1
                if bound >= shares.value - 1 or bounding > MOST_BOUNDING:
                    break
                if not self._add_compositions(shares, bounding=True):
                    break
            shares = self._settle_patterns()
        if shares is None:
            return Spliced((), bound)
        bound = max(bound, joint_bound(self._problem, self._master.shop, shares, self._unit))
        return Spliced(tuple(self._proposals(shares)), bound)

    def _start(self) -> None:
        """The plain compositions: furthest joints for every bar, its halves and thirds, and equal pieces."""
        kerf = self._shop.saw.kerf
        lengths = sorted({bar.room * self._shop.unit - kerf for bar in self._shop.bars if bar.real}, reverse=True)
        lengths = [min(length, self._problem.longest) for length in lengths if length > 0]
        for kind, member in enumerate(self._problem.members):
            pieces = -(-member.length // self._problem.longest)
            parts = {(length + kerf) // n - kerf for length in lengths for n in (1, 2, 3)}
            equal = {-(-member.length // n) for n in range(pieces, pieces + 3)}
            for joints in furthest_first(member, self._problem.longest, sorted(parts | equal, reverse=True)):
                self._propose(kind, joints)

    def _room(self, length: int) -> int:
        return min(-(-(length + self._shop.saw.kerf) // self._shop.unit), self._shop.widest)

    def _propose(self, kind: int, joints: Composition) -> bool:
        lengths = lengths_of(self._problem.members[kind], joints)
        return self._master.add_composition(kind, joints, [self._room(length) for length in lengths])

    def _most(self) -> list[int]:
        shop = self._master.shop
        whole = len(self._shop.sizes)
        used = sum(self._problem.counts)
        return [
            (shop.wanted[i] if i < whole else 0) + max(used, shop.widest // size) for i, size in enumerate(shop.sizes)
        ]

    def _settle_patterns(self) -> JointShares | None:
        """Solves the program with the known compositions over all patterns."""
        master = self._master
        while True:
            shares = master.solve()
            if shares is None:
                return None
            if self._sizes != len(master.shop.sizes) or self._knapsack is None:
                self._knapsack = Knapsack(master.shop, self._most())
                self._sizes = len(master.shop.sizes)
            prices = whole_prices(master.shop, shares.size_price, self._unit)
            charge = self._charge(shares)
            found = self._knapsack.price(prices, self._most(), charge, self._unit, COLUMNS_PER_ROUND)
            self._budget.spend(1 + len(prices) * self._knapsack.points // 1_000_000)
            dear = any(worth > c + max(1, abs(c) >> 33) for worth, c in zip(found.worth, charge, strict=True))
            new = sum(master.add_pattern(column) for column in found.columns) if dear else 0
            if not new or self._budget.effort.should_stop():
                return shares

    def _charge(self, shares: JointShares) -> list[int]:
        return [int((bar.price - own) * self._unit) for bar, own in zip(self._shop.bars, shares.bar_price, strict=True)]

    def _add_compositions(self, shares: JointShares, *, bounding: bool = False) -> bool:
        """The cheapest composition of every kind, each length at what it would cost beside the best other pieces.

        With `bounding`, at the price the bound gives it instead: what still is cheaper then holds the bound down.
        """
        assert self._knapsack is not None
        shop, charge = self._master.shop, self._charge(shares)
        values, bars = self._knapsack.price_of_room(charge)
        if bounding:
            rooms = RoomPrices(shop, self._knapsack.pay_in_every_room(), charge, least_room(self._problem))
            rooms.lift_evenly()
            values = rooms.by_room()
        values = np.maximum(values, 0)
        prices = price_by_length(values, shop.unit, shop.saw.kerf, self._problem.longest, up=True)
        new = False
        for kind, member in enumerate(self._problem.members):
            below = int(shares.member_price[kind] * self._unit)
            found = cheapest(member, prices, self._problem.splice * self._unit, below - max(1, below >> 30))
            self._budget.spend(1 + len(member.windows) // 8)
            if found is not None and self._propose(kind, found[1]):
                new = True
                for length in lengths_of(member, found[1]):
                    self._support(self._room(length), int(bars[self._room(length)]))
        return new

    def _support(self, room: int, bar: int) -> None:
        """The pattern that made a new length cheap."""
        assert self._knapsack is not None
        at = self._master.add_size(room)
        pieces = dict(self._knapsack.completion(bar, room)[1])
        pieces[at] = pieces.get(at, 0) + 1
        self._master.add_pattern((bar, tuple(sorted(pieces.items()))))

    def _proposals(self, shares: JointShares) -> list[Proposal]:
        uses = [shares.use]
        if sum(self._problem.counts) <= 60:
            whole = self._master.whole(30, WHOLE_ROOM * max(bar.price for bar in self._shop.bars))
            self._budget.spend(20)
            if whole is not None:
                uses.insert(0, whole)
        proposals = [self._rounded(use) for use in uses]
        return list(dict.fromkeys(proposals))

    def _rounded(self, use: Sequence[float]) -> Proposal:
        """Whole times per composition: whole parts first, then the largest fractions until the count is reached."""
        chosen = []
        for kind, count in enumerate(self._problem.counts):
            ways = [(c[1], u) for c, u in zip(self._master.compositions, use, strict=True) if c[0] == kind]
            times = [int(u + 1e-6) for _, u in ways]
            order = sorted(range(len(ways)), key=lambda k: (times[k] - ways[k][1], len(ways[k][0]), k))
            missing = count - sum(times)
            for k in order[:missing]:
                times[k] += 1
            if missing > len(order):
                times[order[0]] += missing - len(order)
            while sum(times) > count:
                times[next(k for k in reversed(order) if times[k] > 0)] -= 1
            chosen.append(tuple((way[0], n) for way, n in zip(ways, times, strict=True) if n))
        return Proposal(tuple(chosen))


def least_room(problem: SpliceProblem) -> int:
    """Room of the shortest piece that any spliced member can have, in saw units rounded down."""
    least = min(shortest_piece(member) for member in problem.members)
    return (least + problem.shop.saw.kerf) // problem.shop.unit


def _tails_off(values: Sequence[float]) -> bool:
    """Whether the last rounds hardly lowered the program's value any more."""
    return len(values) > TAIL and values[-1 - TAIL] - values[-1] < TAIL_GAIN * values[-1]


def joint_bound(problem: SpliceProblem, shop: Shop, shares: JointShares, unit: int) -> int:
    """The bound over all legal plans under the prices of the known sizes, wherever joints may stand."""
    prices = whole_prices(shop, shares.size_price, unit)
    charge = [int((bar.price - own) * unit) for bar, own in zip(shop.bars, shares.bar_price, strict=True)]
    most = [shop.widest // size for size in shop.sizes]
    knapsack = Knapsack(shop, most)
    worth = knapsack.price(prices, most, charge, unit, 1).worth
    factor = _overpaid(shop, worth, charge)
    if factor is not None and not shop.values:
        prices = [price * factor[1] // factor[0] for price in prices]
        worth = knapsack.price(prices, most, charge, unit, 1).worth
    worth = tuple(max(value, cost) for value, cost in zip(worth, charge, strict=True))
    pay = knapsack.pay_in_every_room()
    least = least_room(problem)
    total = _least_pay(problem, shop, shares, RoomPrices(shop, pay, worth, least), unit)
    if not shop.values:  # prices built from nothing are valid, too, and sometimes sharper than the program's
        bare = RoomPrices(shop, np.zeros_like(pay), worth, least)
        total = max(total, _least_pay(problem, shop, shares, bare, unit))
    pieces = sum(count for _, count in problem.whole)
    pieces += sum(n * (len(m.windows) + 1) for m, n in zip(problem.members, problem.counts, strict=True))
    for bar, value in zip(shop.bars, worth, strict=True):
        total += min(0, bar.price * unit - value) * (pieces if bar.available is None else bar.available)
    return max(0, -(-total // unit))


def _least_pay(problem: SpliceProblem, shop: Shop, shares: JointShares, rooms: RoomPrices, unit: int) -> int:
    """The least that whole pieces and members can pay, after lifting the sizes that cheap compositions rest on."""
    splice = problem.splice * unit
    if not shop.values:
        rooms.lift_evenly()
    below = [int(own * unit * 1.001) + 1 for own in shares.member_price]
    costs = [0] * len(below)
    for _ in range(max(1, min(MOST_LIFTS, MOST_LIFTED // len(below)))):
        prices = price_by_length(rooms.by_room(), shop.unit, shop.saw.kerf, problem.longest, up=False)
        lifted = False
        for kind, member in enumerate(problem.members):
            found = cheapest(member, prices, splice, below[kind])
            costs[kind] = below[kind] if found is None else found[0]
            if found is not None and found[0] < int(shares.member_price[kind] * unit) and not shop.values:
                step = place_step(member, prices) - 1
                priced = sorted({prices.room(length - step) for length in lengths_of(member, found[1])})
                lifted = sum(rooms.lift_step(room) for room in priced) > 0 or lifted
        if not lifted:
            break
    prices = price_by_length(rooms.by_room(), shop.unit, shop.saw.kerf, problem.longest, up=False)
    return sum(count * int(prices.price[prices.room(length)]) for length, count in problem.whole) + sum(
        count * cost for count, cost in zip(problem.counts, costs, strict=True)
    )


def _overpaid(shop: Shop, worth: Sequence[int], charge: Sequence[int]) -> tuple[int, int] | None:
    best: tuple[int, int] | None = None
    for bar, value, cost in zip(shop.bars, worth, charge, strict=True):
        over = bar.available is None and value > cost > 0
        if over and (best is None or value * best[1] > best[0] * cost):
            best = (value, cost)
    return best
