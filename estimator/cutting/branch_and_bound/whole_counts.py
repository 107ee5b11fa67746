"""A branch with whole numbers of bars: dives, then listed patterns, until it is decided or its turn is over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from estimator.cutting.branch_and_bound.nodes import SearchNode, around
from estimator.cutting.colgen.bounds import StockLimits
from estimator.cutting.colgen.relaxation import Relaxation, SearchState, relax
from estimator.cutting.enumeration.tree import THOROUGH, EnumerationLimits, decided
from estimator.cutting.heuristics.diving import DIVE_POLICIES, dive, in_round
from estimator.cutting.heuristics.greedy import plan_cost
from estimator.cutting.heuristics.value_correction import value_corrected_plan
from estimator.cutting.tuning import BRANCHING


def try_counts(
    state: SearchState, branch: SearchNode, relaxed: Relaxation, counts: list[int], given_up: list[SearchNode]
) -> list[SearchNode]:
    """Looks for a whole plan with these counts; then decides by listing, or comes back to it later with more effort."""
    if len(counts) == 1:
        counts = [max(counts[0], -(-branch.bound // max(1, state.instance.bars[0].price)))]
    exact = StockLimits(tuple(counts), tuple(counts))
    at_last = relax(state, state.instance.wanted, exact, state.best_cost)
    target = branch.bound + state.step
    settled = at_last.shares is None or at_last.bound >= state.best_cost
    if not settled and at_last.shares is not None:
        if _found(state, branch, exact, at_last.shares.use, target):
            return []
        sharp = relax(state, state.instance.wanted, branch.limits, state.best_cost, to_the_end=True)
        settled = decided(
            state, state.instance.wanted, exact, (sharp, at_last, relaxed), trial=_enumeration(branch.round)
        )
    children = around(branch, counts)
    if settled:
        return children
    level = branch.level + 1
    late = 1 + level // BRANCHING.levels_at_once if branch.late else 0
    again = SearchNode(max(branch.bound, at_last.bound), level, 0, exact, late=late, round=branch.round)
    (children if level < len(DIVE_POLICIES) else given_up).append(again)
    return children


def _found(state: SearchState, branch: SearchNode, exact: StockLimits, use: Sequence[float], target: int) -> bool:
    """Whether a dive finds a plan cheaper than `target`; in later rounds bars are filled one by one before it."""
    if branch.round:
        plan = value_corrected_plan(state, exact.low, branch.round * len(DIVE_POLICIES) + branch.level)
        if plan is not None:
            state.offer(plan, plan_cost(state.instance, plan))
            if state.best_cost < target:
                return True
    policy = in_round(DIVE_POLICIES[branch.level], branch.round)
    policy = replace(policy, work=BRANCHING.dive_work << branch.round) if branch.late else policy
    return dive(state, state.instance.wanted, exact, use, target, policy)


def _enumeration(turn: int) -> EnumerationLimits:
    """How far listed patterns are branched on: in every round four times as far."""
    patterns = min(BRANCHING.most_patterns, THOROUGH.patterns << (2 * turn))
    return EnumerationLimits(patterns, THOROUGH.nodes << (2 * turn))
