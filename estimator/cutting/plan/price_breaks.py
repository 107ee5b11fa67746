"""Prices that change with the number of bars bought: the plan at the levels it reaches, with a bound that holds.

A combination takes one price level for every kind of bar. A plan at these levels buys of each kind at least as many
bars as its level begins at, and fewer than the next one begins at. So the first are paid beforehand, less what a whole
bar left over is worth, and are then on offer at that worth. Every plan is among those of its own combination, so none
costs less than the least bound over all combinations. What is bought beyond need to reach a level stays whole.

Source: quantity breaks on the ordered quantity are common practice; the search over combinations is ours.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import product
from math import ceil, prod
from typing import Any

from estimator.cutting.instance import offcut_value, usable_length
from estimator.cutting.records import TENTHS_PER_M, Effort, Pattern, PriceLevel, Saw, Stock
from estimator.cutting.runs.placement import cuts_and_offcut
from estimator.cutting.tuning import THOROUGH
from estimator.errors import Refused

NO_PLAN = 1 << 60
"""Cost of bars that cannot hold what has to be held, whatever is cut."""

Combination = tuple[PriceLevel, ...]


Elsewhere = Callable[[Sequence[int], Sequence[int], Sequence[int | None], int, int], int]


@dataclass(frozen=True, slots=True)
class Attempt:
    """What a search found at fixed prices: patterns, the cost of joints, the bound with it, and how runs are made.

    `elsewhere`, where there is one, tells from other prices, the least and the largest number of bars of each kind
    (None: any), a cost and a bound that is enough what all plans cheaper than that cost at least.
    """

    patterns: tuple[Pattern, ...]
    joints: int
    bound: int
    work: int
    made: Any = None
    elsewhere: Elsewhere | None = None


@dataclass(frozen=True, slots=True)
class Bought:
    """The plan kept: the offer at the prices charged, patterns (whole bars without pieces), cost, and the bound."""

    offer: tuple[Stock, ...]
    patterns: tuple[Pattern, ...]
    cost: int
    bound: int
    work: int
    made: Any = None


@dataclass(frozen=True, slots=True)
class LeastNeeded:
    """What every plan takes at least: the length of all pieces with a kerf each (tenths of a mm), and joints' cost."""

    length: int
    joints: int = 0


Solve = Callable[[tuple[Stock, ...], Effort], Attempt]


def levels_of(stock: Stock) -> tuple[PriceLevel, ...]:
    """The price of one, then the breaks that the bars on hand can reach."""
    reached = (each for each in stock.breaks if stock.available is None or each.from_bars <= stock.available)
    return (PriceLevel(0, stock.price), *reached)


def level_at(stock: Stock, bars: int) -> PriceLevel:
    """The level that so many bars reach.

    >>> level_at(Stock("R6", 60_000, 1000, breaks=(PriceLevel(10, 900),)), 10).price
    900
    """
    return next(each for each in reversed(levels_of(stock)) if each.from_bars <= bars or not each.from_bars)


def most_bars(stock: Stock, level: PriceLevel) -> int | None:
    """The most bars that are bought at a level of a stock: one fewer than the next begins at; None: any number.

    A level that is none of the stock's own stands for all of them together.

    >>> ten = Stock("R6", 60_000, 1000, breaks=(PriceLevel(10, 900),))
    >>> [most_bars(ten, level) for level in levels_of(ten)]
    [9, None]
    """
    levels = levels_of(stock)
    further = [each.from_bars for each in levels if each.from_bars > level.from_bars]
    return further[0] - 1 if further and level in levels else stock.available


def buy_at_breaks(offer: Sequence[Stock], saw: Saw, need: LeastNeeded, solve: Solve, effort: Effort) -> Bought:
    """The plan that costs least at the prices really charged.

    Args:
        offer: bars with their price levels.
        saw: kerf, trim and what off-cuts are worth.
        need: what every plan takes at least.
        solve: the search at fixed prices.
        effort: how far each search may go; no further one is begun once they took twice as much together.

    Returns:
        The plan with its offer at the prices charged. The bound holds over all levels, tried or not.

    Raises:
        Refused: as ``solve``, where no plan can be made.

    """
    search = _LevelSearch(tuple(offer), saw, need, solve, effort)
    if any(stock.breaks for stock in offer):
        return search.run()
    attempt = solve(search.offer, effort)
    best = charged(attempt, search.offer, saw)
    return replace(best, bound=min(attempt.bound, best.cost))


@dataclass(slots=True)
class _LevelSearch:
    """The combinations of levels, the most promising first."""

    offer: tuple[Stock, ...]
    saw: Saw
    need: LeastNeeded
    solve: Solve
    effort: Effort
    work: int = 0
    tries: int = 0
    proven: list[tuple[Combination, int, bool]] = field(default_factory=list)
    """Combinations tried, with the bound at their prices, and whether the plan reached the levels of what it took."""
    free: list[Elsewhere] = field(default_factory=list)

    def run(self) -> Bought:
        """Tries the likeliest combination, forced if need be, then others until none is left that could cost less."""
        likely = likely_levels(self.offer, self.saw, self.need)
        first = self.solve(_at(self.offer, likely), self.effort)
        best = charged(first, self.offer, self.saw)
        self.work = first.work
        self._note(likely, first)
        bounds = []
        for least, combination in sorted(self._waiting(best), key=lambda each: (each[1] != likely, each[0])):
            bound = max(least, self._known(combination))
            if bound < self._enough(best):
                bound = max(bound, self._elsewhere(combination, best))
            if bound < self._enough(best) and not (self._is_idle(combination) or self._is_spent()):
                found, best = self._try(combination, best)
                bound = max(bound, found)
            bounds.append(bound)
        return replace(best, bound=min([best.cost, *bounds]), work=self.work)

    def _enough(self, best: Bought) -> int:
        """The bound from which on a combination is left: with it nothing is saved, or less than the gap asked for.

        Where the best plan is that far from its own bound itself, only what lies below that bound counts.
        """
        if not self.effort.gap:
            return best.cost
        own = max((proven for _, proven, _ in self.proven), default=0)
        return ceil(min(best.cost, own) - self.effort.gap * best.cost)

    def _note(self, combination: Combination, attempt: Attempt) -> None:
        """Keeps the bound of a search at a combination's prices for all that are nowhere cheaper."""
        counts = [0] * len(self.offer)
        for each in attempt.patterns:
            counts[each.stock] += each.count
        reached = all(count >= level.from_bars or not count for count, level in zip(counts, combination, strict=True))
        self.proven.append((combination, attempt.bound, reached))
        if attempt.elsewhere is not None:
            self.free.append(attempt.elsewhere)

    def _known(self, combination: Combination) -> int:
        """The best bound proven at prices that are nowhere higher."""
        return max((bound for other, bound, _ in self.proven if _nowhere_higher(other, combination)), default=0)

    def _elsewhere(self, combination: Combination, best: Bought) -> int:
        """The best bound that searches at other prices prove for plans cheaper than the best one."""
        prices = [level.price for level in combination]
        least = [level.from_bars for level in combination]
        most = [most_bars(stock, level) for stock, level in zip(self.offer, combination, strict=True)]
        enough = self._enough(best)
        return max((attempt(prices, least, most, best.cost, enough) for attempt in self.free), default=0)

    def _is_idle(self, combination: Combination) -> bool:
        """Whether a plan reached its levels at prices that are nowhere higher than these."""
        return any(reached and _nowhere_higher(other, combination) for other, _, reached in self.proven)

    def _waiting(self, best: Bought) -> Iterator[tuple[int, Combination]]:
        """All combinations that could lead to a lower cost, each with the least its plans can cost."""
        levels = [self._worth_trying(at, best.cost) for at in range(len(self.offer))]
        if prod(len(each) for each in levels) > THOROUGH.combinations:
            lowest = tuple(PriceLevel(0, min(level.price for level in each)) for each in levels)
            yield self._least(lowest), lowest
            return
        for combination in product(*levels):
            yield self._least(combination), combination

    def _worth_trying(self, at: int, cost: int) -> tuple[PriceLevel, ...]:
        """The levels of one kind of bar that could lead to a lower cost, all others being as cheap as they can be."""
        lowest = [PriceLevel(0, min(level.price for level in levels_of(stock))) for stock in self.offer]
        own = levels_of(self.offer[at])
        return tuple(
            level for level in own if level is own[0] or self._least((*lowest[:at], level, *lowest[at + 1 :])) < cost
        )

    def _least(self, combination: Combination) -> int:
        return least_cost(self.offer, combination, self.saw, self.need)

    def _is_spent(self) -> bool:
        """Whether the work is done; where the likely levels were not reached, one further search always follows."""
        if self.effort.should_stop() or self.tries >= THOROUGH.tries:
            return True
        return self.work >= 2 * self.effort.work_limit and (self.tries > 0 or self.proven[0][2])

    def _try(self, combination: Combination, best: Bought) -> tuple[int, Bought]:
        """The bound of a combination, and the better plan; levels are forced only where prices alone do not do it."""
        priced = _at(self.offer, combination)
        if all(combination != other for other, _, _ in self.proven):
            free = self._solved(priced)
            if free is None:
                return 0, best
            self._note(combination, free)
            best = _cheaper(best, charged(free, self.offer, self.saw))
        bound = max(self._known(combination), self._elsewhere(combination, best))
        if bound >= best.cost or self._is_idle(combination) or self._is_spent():
            return bound, best
        prepaid, origin, paid = _paid_beforehand(priced, combination, self.saw)
        forced = self._solved(prepaid)
        if forced is None:
            return bound, best
        patterns = _merged(replace(each, stock=origin[each.stock]) for each in forced.patterns)
        best = _cheaper(best, charged(replace(forced, patterns=patterns), self.offer, self.saw))
        return max(bound, forced.bound + paid), best

    def _solved(self, offer: tuple[Stock, ...]) -> Attempt | None:
        self.tries += 1
        try:
            attempt = self.solve(offer, self.effort)
        except Refused:
            return None
        self.work += attempt.work
        return attempt


def likely_levels(offer: Sequence[Stock], saw: Saw, need: LeastNeeded) -> Combination:
    """All at the price of one, but the kind of bar that is cheapest where it gives all: at the level it then reaches.

    Joints are taken to grow as bars get shorter.

    >>> ten = Stock("R6", 60_000, 1000, breaks=(PriceLevel(10, 900),))
    >>> likely_levels([ten], Saw(), LeastNeeded(700_000))[0].price
    900
    """
    found = [levels_of(stock)[0] for stock in offer]
    rooms = [max(0, usable_length(stock, saw)) + saw.kerf for stock in offer]
    ways = []
    for at, (stock, room) in enumerate(zip(offer, rooms, strict=True)):
        bars = -(-need.length // room) if room else 0
        if bars and (stock.available is None or stock.available >= bars):
            level = level_at(stock, bars)
            ways.append((bars * level.price + need.joints * max(rooms) // room, at, level))
    if ways:
        _, at, level = min(ways, key=lambda way: way[:2])
        found[at] = level
    return tuple(found)


def _at(offer: Sequence[Stock], combination: Combination) -> tuple[Stock, ...]:
    return tuple(replace(stock, price=level.price, breaks=()) for stock, level in zip(offer, combination, strict=True))


def _nowhere_higher(one: Combination, other: Combination) -> bool:
    return all(mine.price <= theirs.price for mine, theirs in zip(one, other, strict=True))


def least_cost(offer: Sequence[Stock], combination: Combination, saw: Saw, need: LeastNeeded) -> int:
    """A cost that no plan at these levels falls below: bars forced by their levels, then the cheapest by length.

    >>> ten = Stock("R6", 60_000, 1000, breaks=(PriceLevel(10, 900),))
    >>> levels = (PriceLevel(0, 1000), PriceLevel(10, 900))
    >>> [least_cost([ten], (level,), Saw(), LeastNeeded(300_000)) for level in levels]
    [5000, 9000]
    """
    value = saw.offcut_value_per_m if saw.reusable_length is not None else 0
    total, left = Fraction(value * need.length), need.length
    rates: list[tuple[Fraction, int | None]] = []
    for stock, level in zip(offer, combination, strict=True):
        room = max(0, usable_length(stock, saw)) + saw.kerf
        net = level.price * TENTHS_PER_M - value * max(stock.length, room)
        if net < 0:
            return need.joints
        total += net * level.from_bars
        left -= room * level.from_bars
        if room:
            most = most_bars(stock, level)
            more = None if most is None else (most - level.from_bars) * room
            rates.append((Fraction(net, room), more))
    for rate, more in sorted(rates, key=lambda each: each[0]):
        taken = max(0, left) if more is None else max(0, min(left, more))
        total += rate * taken
        left -= taken
    if left > 0:
        return NO_PLAN
    return need.joints + ceil(total / TENTHS_PER_M)


def charged(attempt: Attempt, offer: tuple[Stock, ...], saw: Saw) -> Bought:
    """An attempt at the prices its bars are charged at, or at those of more bars where these cost less; no bound."""
    charged: list[Stock] = []
    patterns = list(attempt.patterns)
    cost = attempt.joints
    for at, stock in enumerate(offer):
        own = [
            (cuts_and_offcut(stock, saw, each.pieces)[1], each.count) for each in attempt.patterns if each.stock == at
        ]
        used = sum(count for _, count in own)
        wanted = [used, *(level.from_bars for level in levels_of(stock) if level.from_bars > used > 0)]
        paid, bars = min((_charge(stock, saw, own, bars), bars) for bars in wanted)
        level = level_at(stock, bars)
        cost += paid
        charged.append(replace(stock, price=level.price, breaks=(), price_from=level.from_bars))
        if bars > used:
            patterns.append(Pattern(at, bars - used, ()))
    return Bought(tuple(charged), _in_order(patterns, offer), cost, 0, attempt.work, attempt.made)


def _charge(stock: Stock, saw: Saw, offcuts: Sequence[tuple[int, int]], bars: int) -> int:
    """So many bars at their level, less the off-cuts' worth and that of the bars that stay whole."""
    price = level_at(stock, bars).price
    whole = bars - sum(count for _, count in offcuts)
    left = sum(offcut_value(saw, price, length) * count for length, count in offcuts)
    return price * bars - left - whole * offcut_value(saw, price, stock.length)


def _paid_beforehand(
    priced: Sequence[Stock], combination: Combination, saw: Saw
) -> tuple[tuple[Stock, ...], list[int], int]:
    """The offer with a level's first bars at a whole bar's worth, the kind each is of, and what is paid for them."""
    offer: list[Stock] = []
    origin: list[int] = []
    paid = 0
    for at, (stock, level) in enumerate(zip(priced, combination, strict=True)):
        more = stock.available
        if level.from_bars:
            worth = offcut_value(saw, level.price, stock.length)
            paid += level.from_bars * (level.price - worth)
            offer.append(replace(stock, price=worth, available=level.from_bars))
            origin.append(at)
            more = None if more is None else more - level.from_bars
        offer.append(replace(stock, available=more))
        origin.append(at)
    return tuple(offer), origin, paid


def _cheaper(best: Bought, other: Bought) -> Bought:
    return other if other.cost < best.cost else best


def _merged(patterns: Iterator[Pattern]) -> tuple[Pattern, ...]:
    """Bars of one kind cut alike put together."""
    counts: dict[tuple[int, tuple[int, ...]], int] = {}
    for each in patterns:
        counts[each.stock, each.pieces] = counts.get((each.stock, each.pieces), 0) + each.count
    return tuple(Pattern(stock, count, pieces) for (stock, pieces), count in counts.items())


def _in_order(patterns: Sequence[Pattern], offer: Sequence[Stock]) -> tuple[Pattern, ...]:
    """The longest bars first, in each kind the fullest first."""
    return tuple(
        sorted(patterns, key=lambda p: (-offer[p.stock].length, p.stock, -sum(p.pieces), tuple(-x for x in p.pieces)))
    )
