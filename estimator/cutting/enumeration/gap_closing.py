"""Closing the gap at once: the patterns that a plan near the bound may use, where they are few, decide.

Where nearly all of the bars' room must be used, prices by length leave only patterns that waste next to nothing, and
no linear program over all patterns is needed. Source: common practice; the listing is exact, see `patterns.py`.
"""

from __future__ import annotations

from estimator.cutting.colgen.bounds import Limits
from estimator.cutting.colgen.relaxation import Relaxed, Workbench
from estimator.cutting.enumeration.tree import Trial, settle

SHARES = (1, 4, 16, 64)
LITTLE_WASTE = 0.02
MANY_ALIKE = (
    5  # with more pieces of a length than that, bars without waste are not looked for before the bound is sharp
)
BY_LENGTH = Trial(20_000, 600, True)
AT_FIRST = Trial(6_000, 60)
AT_LAST = Trial(250_000, 4000)
WORK_AT_FIRST = 150


def priced_by_length(bench: Workbench, bound: int) -> Relaxed | None:
    """The proof that the bars' room gives: every size at the price of its room on the bar cheapest for its room."""
    shop, unit = bench.shop, bench.unit
    if shop.values:
        return None
    best: tuple[int, int] | None = None
    for bar in shop.bars:
        if bar.room > 0 and bar.available != 0 and (best is None or bar.price * best[1] < best[0] * bar.room):
            best = (bar.price, bar.room)
    if best is None or best[0] == 0:
        return None
    price, room = best
    prices = tuple(size * price * unit // room for size in shop.sizes)
    worth = tuple(bar.room * price * unit // room for bar in shop.bars)
    return Relaxed(None, bound, prices, worth)


def close_by_length(bench: Workbench, limits: Limits, bound: int) -> int:
    """Decides, where hardly any room may be wasted, whether a plan costs just the bound; gives the new bound."""
    proof = priced_by_length(bench, bound)
    wanted = bench.shop.wanted
    if proof is None or sum(wanted) > MANY_ALIKE * len(wanted):
        return bound
    used = sum(n * p for n, p in zip(wanted, proof.prices, strict=True))
    dearest = max(bar.price for bar in bench.shop.bars)
    if bound * bench.unit - used > LITTLE_WASTE * dearest * bench.unit:
        return bound
    if settle(bench, wanted, limits, [proof], bound, BY_LENGTH):
        return min(bench.best_cost, bench.up(bound + 1))
    return bound


def close_gap(bench: Workbench, limits: Limits, proof: Relaxed, bound: int, trial: Trial) -> int:
    """Works from the bound upwards, as far as the patterns that matter can be listed; gives the new bound."""
    begun = bench.budget.done
    for share in SHARES:
        while bound < bench.best_cost:
            ceiling = max(bound, bound + (bench.below(bench.best_cost) - bound) // share)
            if not settle(bench, bench.shop.wanted, limits, [proof], ceiling, trial):
                break
            bound = min(bench.best_cost, bench.up(ceiling + 1))
        spent = bench.budget.done - begun
        if bound >= bench.best_cost or bench.budget.spent() or (trial is AT_FIRST and spent > WORK_AT_FIRST):
            break
    return bound
