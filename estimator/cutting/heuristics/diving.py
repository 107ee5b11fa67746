"""Whole plans from fractional ones: fix what is nearly whole, solve again for the rest, until nothing is left.

Source: diving with column generation, as in Sadykov et al., INFORMS J. Comput. 31 (2019) 251.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from estimator.cutting.colgen.bounds import StockLimits
from estimator.cutting.colgen.relaxation import SearchState, relax
from estimator.cutting.heuristics.greedy import greedy_plan, plan_cost
from estimator.cutting.instance import Column, Plan
from estimator.cutting.tuning import HEURISTICS


@dataclass(frozen=True, slots=True)
class DivePolicy:
    """How boldly a dive rounds: columns with at least this fraction go up, at most so many at a time.

    It ends after so many `fails` or so much `work`.
    """

    up_from: float = 0.85
    at_once: int = 4
    skip: int = 0
    width: int = 2
    fails: int = 30
    work: int = 1 << 30


DIVE_POLICIES = (
    DivePolicy(fails=8),
    DivePolicy(0.95, 1),
    DivePolicy(0.7, 2, 1),
    DivePolicy(0.6, 8, 2),
    DivePolicy(0.99, 1, 3, 3, 100),
    DivePolicy(0.9, 2, 4, 1, 60),
    DivePolicy(0.99, 1, 5, 4, 200),
    DivePolicy(0.8, 3, 6, 2, 60),
    DivePolicy(0.99, 1, 7, 2, 200),
    DivePolicy(0.5, 6, 8, 3, 60),
)


def in_round(policy: DivePolicy, turn: int) -> DivePolicy:
    """The policy when all had their turn so often already: it begins elsewhere and goes back more often."""
    if not turn:
        return policy
    return replace(policy, skip=policy.skip + turn, width=policy.width + turn, fails=policy.fails << turn)


@dataclass(slots=True)
class PartialPlan:
    """The plan fixed so far, and what is left of pieces, bars and money."""

    plan: Plan
    rest: list[int]
    low: list[int]
    high: list[int | None]
    spent: int = 0

    def copy(self) -> PartialPlan:
        """The same state, to be changed without changing this one."""
        return PartialPlan(dict(self.plan), list(self.rest), list(self.low), list(self.high), self.spent)

    def limits(self) -> StockLimits:
        """Limits of the bars still to be cut."""
        return StockLimits(tuple(self.low), tuple(self.high))

    def fix(self, state: SearchState, column: Column, times: int) -> None:
        """Adds a pattern to the plan for good."""
        bar = column[0]
        for i, n in column[1]:
            self.rest[i] -= n * times
        have = self.high[bar]
        if have is not None:
            self.high[bar] = have - times
        self.low[bar] = max(0, self.low[bar] - times)
        self.spent += state.instance.cost(column) * times
        self.plan[column] = self.plan.get(column, 0) + times

    def room_for(self, column: Column, times: int) -> int:
        """How often the pattern, up to `times`, fits what is left without a piece too many."""
        have = self.high[column[0]]
        most = min((self.rest[i] // n for i, n in column[1]), default=0)
        return min(times, most) if have is None else min(times, most, have)


@dataclass(slots=True)
class DiveNode:
    """A state on the way down, the program's optimum there, and which move comes next."""

    descent: PartialPlan
    use: Sequence[float]
    next_move: int


def dive(
    state: SearchState,
    wanted: Sequence[int],
    limits: StockLimits,
    use: Sequence[float],
    cutoff: int,
    manner: DivePolicy,
) -> bool:
    """Looks for a plan that costs less than `cutoff`; whatever it finds on the way is offered to the search.

    A dead end is left by going one step back and fixing the next candidate, until `manner.fails` ends are met.
    """
    start = PartialPlan({}, list(wanted), list(limits.low), list(limits.high))
    path = [DiveNode(start, use, manner.skip)]
    fails = 0
    end = state.budget.done + manner.work
    while path and fails < manner.fails and state.budget.done < end and not state.budget.spent():
        turn = path[-1]
        descent = turn.descent.copy()
        move = turn.next_move
        turn.next_move += 1
        if move > manner.skip + manner.width or not _fix_some(state, descent, turn.use, manner, move):
            path.pop()
            continue
        if _finished(state, descent) < cutoff:
            return True
        if state.finisher is not None and sum(turn.descent.rest) > HEURISTICS.small_rest >= sum(descent.rest):
            if _finished_well(state, descent) < cutoff:
                return True
            del path[-HEURISTICS.steps_back :]
            fails += 1
            continue
        left = cutoff - descent.spent
        relaxed = relax(state, descent.rest, descent.limits(), left)
        if relaxed.shares is None or relaxed.bound >= left:
            fails += 1
        else:
            path.append(DiveNode(descent, relaxed.shares.use, 0))
    return False


def _finished(state: SearchState, descent: PartialPlan) -> int | float:
    """Cost of the plan completed greedily, which is offered to the search if it is the best so far."""
    rest = greedy_plan(state.instance, descent.rest, descent.high)
    if rest is None:
        return float("inf")
    cost = descent.spent + plan_cost(state.instance, rest)
    if cost < state.best_cost:
        whole = descent.copy()
        for column, count in rest.items():
            whole.fix(state, column, count)
        state.offer(whole.plan, cost)
    return cost


def _finished_well(state: SearchState, descent: PartialPlan) -> int | float:
    """Cost of the plan whose small rest is cut by a search of its own; offered to the search if it is the best."""
    assert state.finisher is not None
    rest = state.finisher(descent.rest, descent.high)
    if rest is None:
        return float("inf")
    cost = descent.spent + plan_cost(state.instance, rest)
    if cost < state.best_cost:
        whole = descent.copy()
        for column, count in rest.items():
            whole.fix(state, column, count)
        state.offer(whole.plan, cost)
    return cost


def _fix_some(state: SearchState, descent: PartialPlan, use: Sequence[float], manner: DivePolicy, skip: int) -> bool:
    """Fixes the whole parts, and the largest fractions; at least one pattern, or it says no."""
    columns = state.master.columns
    fractions: list[tuple[float, int]] = []
    fixed = False
    for k, value in enumerate(use):
        if value > 1e-6:
            whole = int(value + 1e-6)
            if whole:
                times = descent.room_for(columns[k], whole)
                if times:
                    descent.fix(state, columns[k], times)
                    fixed = True
            if value - whole > 1e-6:
                fractions.append((value - whole, k))
    fractions.sort(key=lambda pair: (-pair[0], pair[1]))
    done = 0
    for value, k in fractions[skip:]:
        if done >= manner.at_once or (value < manner.up_from and (fixed or done)):
            break
        if descent.room_for(columns[k], 1):
            descent.fix(state, columns[k], 1)
            done += 1
    return fixed or done > 0 or _fix_part(state, descent, fractions)


def _fix_part(state: SearchState, descent: PartialPlan, fractions: list[tuple[float, int]]) -> bool:
    """Where no pattern fits what is left as it is, the largest fraction is fixed with the pieces still wanted."""
    for _, k in fractions:
        bar, pieces = state.master.columns[k]
        kept = tuple((i, min(n, descent.rest[i])) for i, n in pieces if descent.rest[i] > 0)
        if kept and descent.high[bar] != 0:
            descent.fix(state, (bar, kept), 1)
            return True
    return False
