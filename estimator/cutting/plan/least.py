"""What every cut plan of some runs takes at least, told without a plan: from lengths alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import prod

from estimator.cutting.instance import usable_length
from estimator.cutting.plan.price_breaks import NO_PLAN, LeastNeeded, least_cost, levels_of
from estimator.cutting.records import JointRules, PriceLevel, RunToCut, Saw, Stock
from estimator.cutting.runs.sorting import SortedRuns, longest_bar, sort_runs
from estimator.cutting.tuning import THOROUGH


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
    piece with its kerf, and no piece is longer than the longest that a bar gives. Bars are then as cheap as the
    cheapest of them by length, at the best of their prices that so many reach. Refuses as ``plan_cuts`` where no bar
    is on offer.

    >>> from estimator.cutting.records import CutRun
    >>> stands = (400.0, 1600.0, 2800.0, 4000.0, 5200.0, 6400.0, 7600.0)
    >>> runs = [CutRun(f"South/A/row {i}/rail 1", 8000.0, stands) for i in (1, 2, 3)]
    >>> least = least_cut(runs, [Stock("R6", 60_000, 6000)], JointRules(100.0, 500.0, 2), Saw(kerf=30))
    >>> least.length, least.bars, least.cost, least.runs[0].splices
    (240180, 5, 24006, 1)
    """
    longest = longest_bar(offer, saw)
    found = sort_runs(runs, rules, longest)
    length = _length(found, saw)
    widest = max(max(0, usable_length(stock, saw)) + saw.kerf for stock in offer if stock.available != 0)
    return LeastCut(_by_run(found, len(runs)), length, -(-length // widest), _cost(offer, saw, length))


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
    paid, need = replace(saw, reusable_length=None), LeastNeeded(length)
    least = min(least_cost(offer, combination, paid, need) for combination in product(*levels))
    return 0 if least >= NO_PLAN else least
