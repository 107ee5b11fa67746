"""What every cut plan of some runs takes at least, told without a plan: from lengths alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations, product
from math import ceil, prod

from estimator.cutting.instance import Bar, usable_length
from estimator.cutting.plan.price_breaks import NO_PLAN, Combination, LeastNeeded, least_cost, levels_of, most_bars
from estimator.cutting.records import JointRules, PriceLevel, RunToCut, Saw, Stock
from estimator.cutting.runs.sorting import SortedRuns, longest_bar, longest_without_limit, sort_runs
from estimator.cutting.splicing.bounds.length_bound import RoomNeeded, aggregate_bound
from estimator.cutting.tuning import THOROUGH

MOST_MORE = 12
"""Splices beyond the fewest that are looked at one by one."""
MOST_COVERS = 20_000
"""Ways of choosing numbers of bars that are looked at, at most."""


@dataclass(frozen=True, slots=True)
class LeastOfRun:
    """The fewest pieces and rigid splices of one run, and its expansion splices; all 0 where it cannot be made."""

    pieces: int = 0
    splices: int = 0
    expansion_splices: int = 0


@dataclass(frozen=True, slots=True)
class LeastCut:
    """The least of every run, the length all pieces take with a kerf each (tenths of a mm), bars, and what they cost.

    ``cost`` is in the smallest kept unit and knows no worth of off-cuts: it is what is paid.
    """

    runs: tuple[LeastOfRun, ...]
    length: int
    bars: int
    cost: int


def least_cut(runs: Sequence[RunToCut], offer: Sequence[Stock], rules: JointRules, saw: Saw) -> LeastCut:
    """A bound on every plan that ``plan_cuts`` may make of the same.

    Runs that cannot be made are in no plan, so they are left out. Every other run's length has to be bought, each
    piece with its kerf, and no piece is longer than the longest that a bar gives. The bars are the cheapest whole ones
    that are so long together, at the best of their prices that so many reach; or, where pieces that stay whole fill
    bars badly, what few of them that a bar holds cost (`_whole_pieces`). Refuses as ``plan_cuts`` where no bar
    is on offer.

    >>> from estimator.cutting.records import CutRun
    >>> stands = (400.0, 1600.0, 2800.0, 4000.0, 5200.0, 6400.0, 7600.0)
    >>> runs = [CutRun(f"South/A/row {i}/rail 1", 8000.0, stands) for i in (1, 2, 3)]
    >>> least = least_cut(runs, [Stock("R6", 60_000, 6000)], JointRules(100.0, 500.0, 2), Saw(kerf=30))
    >>> least.length, least.bars, least.cost, least.runs[0].splices
    (240180, 5, 30000, 1)
    """
    longest = longest_bar(offer, saw)
    found = sort_runs(runs, rules, longest)
    length = _length(found, saw)
    widest = max(max(0, usable_length(stock, saw)) + saw.kerf for stock in offer if stock.available != 0)
    cost = max(_cost(offer, saw, length), _whole_pieces(offer, saw, found, length))
    return LeastCut(_by_run(found, len(runs)), length, -(-length // widest), cost)


def least_cuts(
    runs: Sequence[RunToCut], offer: Sequence[Stock], rules: JointRules, saw: Saw, least: LeastCut
) -> tuple[LeastCut, ...]:
    """Bounds on plans with the fewest splices, with one more, and so on; the last one holds for all further ones.

    Every bar that is cut holds a piece, and every splice makes one piece more: so short bars that are cheap by length
    ask for splices. ``least`` is the bound on all plans; only that, where there are many bars to choose among.
    """
    found = sort_runs(runs, rules, longest_bar(offer, saw))
    pieces, first = sum(each.pieces for each in least.runs), _first_spliced(offer, saw, found)
    bars = [(max(0, usable_length(each, saw)) + saw.kerf, _lowest(each), each.available) for each in offer]
    if not pieces or (pieces + MOST_MORE) ** (len(bars) - 1) > MOST_COVERS:
        return (least,)
    freely = _cover(bars, least.length, None)
    bounds = []
    for more in range(MOST_MORE if first is not None else 1):
        paid = _cover(bars, least.length + more * saw.kerf, pieces + more)
        if paid is not None:
            bounds.append(_with_more(least, first, more, paid))
            if paid == freely:
                return tuple(bounds)
    return (*bounds, _with_more(least, first, MOST_MORE, least.cost)) if first is not None else (*bounds,) or (least,)


def _with_more(least: LeastCut, first: int | None, more: int, paid: int) -> LeastCut:
    """The bound with so many splices more, in the first run that may have them, and bars at that cost."""
    runs = list(least.runs)
    if first is not None:
        runs[first] = replace(runs[first], pieces=runs[first].pieces + more, splices=runs[first].splices + more)
    return replace(least, runs=tuple(runs), cost=max(least.cost, paid))


def _first_spliced(offer: Sequence[Stock], saw: Saw, found: SortedRuns) -> int | None:
    """A run that may have more splices; None where no piece of any run can be parted."""
    always = longest_without_limit(offer, saw)
    places = [place for each in found.kinds.values() for place in each]
    places += [place for size, each in found.whole.items() if size > always for place in each]
    return min((place.run for place in places), default=None)


def _cover(bars: Sequence[tuple[int, int, int | None]], room: int, most: int | None) -> int | None:
    """What bars of so much room cost at least, no more of them than ``most``; None where these do not hold it."""
    (each, price, available), *others = bars
    enough = max(0, -(-room // each)) if each else 0
    limit = min([enough, *(limit for limit in (available, most) if limit is not None)])
    if not others:
        return price * enough if enough == limit and enough * each >= room else None
    left = (
        (price * count, _cover(others, room - count * each, None if most is None else most - count))
        for count in range(limit + 1)
    )
    return min((paid + rest for paid, rest in left if rest is not None), default=None)


def _lowest(stock: Stock) -> int:
    return min(level.price for level in levels_of(stock))


def _by_run(found: SortedRuns, runs: int) -> tuple[LeastOfRun, ...]:
    pieces, splices, expansions = [0] * runs, [0] * runs, [0] * runs
    for run, _ in found.expansions:
        expansions[run] += 1
    for places in found.whole.values():
        for place in places:
            pieces[place.run] += 1
    for member, places in found.kinds.items():
        few = _pieces(member.length, found.longest)
        for place in places:
            pieces[place.run] += few
            splices[place.run] += few - 1
    return tuple(map(LeastOfRun, pieces, splices, expansions))


def _pieces(length: int, longest: int) -> int:
    return max(1, -(-length // longest))


def _length(found: SortedRuns, saw: Saw) -> int:
    whole = sum((length + saw.kerf) * len(places) for length, places in found.whole.items())
    spliced = (
        (member.length + _pieces(member.length, found.longest) * saw.kerf) * len(places)
        for member, places in found.kinds.items()
    )
    return whole + sum(spliced)


def _cost(offer: Sequence[Stock], saw: Saw, length: int) -> int:
    """What bars of so much length cost at least over all price levels; 0 where none suffice: planning tells that."""
    levels = [levels_of(stock) for stock in offer]
    if prod(len(each) for each in levels) > THOROUGH.combinations:
        levels = [(PriceLevel(0, min(level.price for level in each)),) for each in levels]
    least = min(_whole_bars(offer, combination, saw, length) for combination in product(*levels))
    return 0 if least >= NO_PLAN else least


def _whole_bars(offer: Sequence[Stock], combination: Combination, saw: Saw, length: int) -> int:
    """What whole bars of so much length cost at least at these levels; NO_PLAN where they cannot hold it."""
    by_length = least_cost(offer, combination, replace(saw, reusable_length=None), LeastNeeded(length))
    if by_length >= NO_PLAN:
        return by_length
    paid, left, bars = 0, length, []
    for stock, level in zip(offer, combination, strict=True):
        room, most = max(0, usable_length(stock, saw)) + saw.kerf, most_bars(stock, level)
        paid += level.price * level.from_bars
        left -= room * level.from_bars
        bars.append(Bar(room, level.price, None if most is None else most - level.from_bars, stock.length))
    return max(by_length, paid + aggregate_bound(bars, RoomNeeded(max(0, left), 0, 0, 0), 0))


def _whole_pieces(offer: Sequence[Stock], saw: Saw, found: SortedRuns, length: int) -> int:
    """What pieces that stay whole make bars cost at least, where not many of them fit into one.

    Every tenth of a mm counts for a rate, and each piece longer than some length for a share besides; what a bar then
    holds is at most its price, so these are prices of a linear program's dual. Any length may be told, and any rate
    up to the cheapest bar's. Source: duality of the cutting stock program, Gilmore and Gomory, Operations Research 9
    (1961) 849; the choice of prices is ours.
    """
    bars = [
        (usable_length(stock, saw) + saw.kerf, _lowest(stock))
        for stock in offer
        if stock.available != 0 and usable_length(stock, saw) > 0
    ]
    always = longest_without_limit(offer, saw)  # longer pieces may yet be spliced where the bars on hand do not suffice
    pieces = sorted(
        ((size + saw.kerf, len(places)) for size, places in found.whole.items() if size <= always), reverse=True
    )
    best, many = Fraction(0), 0
    for shortest, count in pieces:
        many += count
        held = [(room, price, room // shortest) for room, price in bars]
        best = max([best, *(rate * length + share * many for rate, share in _rates(held))])
    return ceil(best)


def _rates(held: Sequence[tuple[int, int, int]]) -> Iterator[tuple[Fraction, Fraction]]:
    """Rates worth trying, each with the share that a piece then has: room, price and pieces held of every bar.

    The share falls with the rate along a few straight lines; the best rate lies where two of them meet, or at an end.
    """
    dearest = min(Fraction(price, room) for room, price, _ in held)
    lines = [(Fraction(price, most), Fraction(room, most)) for room, price, most in held if most]
    meet = {(one[0] - two[0]) / (one[1] - two[1]) for one, two in combinations(lines, 2) if one[1] != two[1]}
    for rate in sorted({Fraction(0), dearest, *(each for each in meet if 0 < each < dearest)}):
        yield rate, min((price - rate * room for price, room in lines), default=Fraction(0))
