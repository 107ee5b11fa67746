"""Closing the gap at once: the patterns that a plan near the bound may use, where they are few, decide.

Where nearly all of the bars' room must be used, prices by length leave only patterns that waste next to nothing, and
no linear program over all patterns is needed. Source: common practice; the listing is exact, see `patterns.py`.
"""

from __future__ import annotations

from estimator.cutting.colgen.bounds import StockLimits
from estimator.cutting.colgen.relaxation import Relaxation, SearchState
from estimator.cutting.enumeration.tree import EnumerationLimits, decided
from estimator.cutting.tuning import ENUMERATION

BY_LENGTH = EnumerationLimits(20_000, 600, True)
AT_FIRST = EnumerationLimits(6_000, 60)
AT_LAST = EnumerationLimits(250_000, 4000)


def priced_by_length(state: SearchState, bound: int) -> Relaxation | None:
    """The proof that the bars' room gives: every size at the price of its room on the bar cheapest for its room."""
    instance, unit = state.instance, state.unit
    if instance.values:
        return None
    best: tuple[int, int] | None = None
    for bar in instance.bars:
        if bar.room > 0 and bar.available != 0 and (best is None or bar.price * best[1] < best[0] * bar.room):
            best = (bar.price, bar.room)
    if best is None or best[0] == 0:
        return None
    price, room = best
    prices = tuple(size * price * unit // room for size in instance.sizes)
    worth = tuple(bar.room * price * unit // room for bar in instance.bars)
    return Relaxation(None, bound, prices, worth)


def close_by_length(state: SearchState, limits: StockLimits, bound: int) -> int:
    """Decides, where hardly any room may be wasted, whether a plan costs just the bound; gives the new bound."""
    proof = priced_by_length(state, bound)
    wanted = state.instance.wanted
    if proof is None or sum(wanted) > ENUMERATION.many_alike * len(wanted):
        return bound
    used = sum(n * p for n, p in zip(wanted, proof.prices, strict=True))
    dearest = max(bar.price for bar in state.instance.bars)
    if bound * state.unit - used > ENUMERATION.little_waste * dearest * state.unit:
        return bound
    if decided(state, wanted, limits, [proof], bound, BY_LENGTH):
        return min(state.best_cost, state.up(bound + 1))
    return bound


def close_gap(state: SearchState, limits: StockLimits, proof: Relaxation, bound: int, trial: EnumerationLimits) -> int:
    """Works from the bound upwards, as far as the patterns that matter can be listed; gives the new bound."""
    begun = state.budget.done
    for share in ENUMERATION.gap_shares:
        while bound < state.best_cost:
            ceiling = max(bound, bound + (state.below(state.best_cost) - bound) // share)
            if not decided(state, state.instance.wanted, limits, [proof], ceiling, trial):
                break
            bound = min(state.best_cost, state.up(ceiling + 1))
            state.budget.proved(bound)
        spent = state.budget.done - begun
        if bound >= state.best_cost or state.budget.spent() or (trial is AT_FIRST and spent > ENUMERATION.first_work):
            break
    return bound
