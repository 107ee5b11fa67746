"""Plans to begin with: greedy ones before the linear program, and what its first optimum leads to."""

from __future__ import annotations

from dataclasses import replace

from estimator.cutting.colgen.bounds import StockLimits
from estimator.cutting.colgen.relaxation import Budget, Relaxation, SearchState
from estimator.cutting.heuristics.diving import DIVE_POLICIES, dive
from estimator.cutting.heuristics.greedy import cheaper_bars, greedy_plan
from estimator.cutting.heuristics.value_correction import correct_values
from estimator.cutting.instance import Instance, Plan
from estimator.cutting.tuning import HEURISTICS, WORK


def greedy_plans(instance: Instance, limits: StockLimits, budget: Budget) -> list[Plan]:
    """Greedy plans: every bar free to be chosen, then each stock preferred, the cheapest for its room first.

    Ends where a plan needs no more than the bars' room, and with a share of the work; the first plan is always made.
    """
    several = len(instance.bars) > 1
    offered = [bar for bar, high in enumerate(limits.high) if high != 0 and instance.bars[bar].room]
    offered.sort(key=lambda bar: (instance.bars[bar].price / instance.bars[bar].room, bar))
    end = budget.effort.work_limit // HEURISTICS.greedy_share
    plans = []
    for only in [None, *(offered if several else [])]:
        if only is not None and (budget.done >= end or budget.spent()):
            break
        plan = greedy_plan(instance, instance.wanted, limits.high, only)
        budget.spend(len(offered) * (1 if plan is None else len(plan)) // WORK.greedy_fillings)
        if plan is not None:
            plans.append(cheaper_bars(instance, plan, limits.high) if several else plan)
    return plans


def plan_at_root(state: SearchState, limits: StockLimits, relaxed: Relaxation, target: int) -> bool:
    """Dives from the root's optimum; says if a plan cheaper than `target` was found.

    Where a short dive leaves the plan a whole bar or more above the bound, as with many pieces to a bar and few bars,
    bars are filled one by one before a longer one.
    """
    assert relaxed.shares is not None
    wanted, use, limit = state.instance.wanted, relaxed.shares.use, state.budget.effort.work_limit
    work = min(HEURISTICS.most_at_root, limit // HEURISTICS.root_share)
    end = state.budget.done + work // HEURISTICS.short_dive
    if dive(state, wanted, limits, use, target, replace(DIVE_POLICIES[0], work=work // HEURISTICS.short_dive)):
        return True
    was_cut_off = state.budget.done >= end
    dearest = max(bar.price for bar in state.instance.bars if bar.real)
    if state.best_cost >= target + dearest and correct_values(state, limits, target - 1, work):
        return True
    return was_cut_off and dive(state, wanted, limits, use, target, replace(DIVE_POLICIES[0], work=work))
