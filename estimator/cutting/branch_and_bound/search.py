"""The search for a proven plan: quick plans, the linear program, then numbers of bars of each stock.

Where off-cuts are worth nothing, whole numbers of bars are gone through by their cost; else, and where they are too
many, the search branches on them. The open branch with the lowest bound goes first, but hard ones are put off until
the others had their turn; the lowest open bound is the bound of the whole problem at any time.
Source: Belov and Scheithauer, Eur. J. Oper. Res. 171 (2006) 85, for the general plan; the rest is common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from operator import mul

from estimator.cutting.branch_and_bound.feasibility import FeasibilityProgram
from estimator.cutting.branch_and_bound.first_plans import greedy_plans, plan_at_root
from estimator.cutting.branch_and_bound.nodes import OpenNodes, SearchNode, split_at
from estimator.cutting.branch_and_bound.stock_counts import StockCounts
from estimator.cutting.branch_and_bound.whole_counts import try_counts
from estimator.cutting.colgen.bounds import StockLimits, length_bound, open_limits
from estimator.cutting.colgen.master import Master, single_pieces
from estimator.cutting.colgen.possible_costs import PossibleCosts
from estimator.cutting.colgen.pricing import Knapsack
from estimator.cutting.colgen.relaxation import Budget, Relaxation, RestSolver, SearchState, relax
from estimator.cutting.enumeration.gap_closing import AT_FIRST, AT_LAST, close_by_length, close_gap
from estimator.cutting.heuristics.greedy import plan_cost, trimmed
from estimator.cutting.heuristics.value_correction import value_corrected_plan
from estimator.cutting.instance import Instance, Plan
from estimator.cutting.records import Effort
from estimator.cutting.tuning import BRANCHING, HEURISTICS


@dataclass(frozen=True, slots=True)
class Outcome:
    """The best plan in hand, its cost and the proven bound."""

    plan: Plan
    cost: int
    bound: int
    work: int


def find_plan(instance: Instance, effort: Effort) -> Outcome | None:
    """The cheapest plan the effort allows for, with its bound; None if the bars run out."""
    limits = open_limits(instance)
    budget = Budget(effort)
    plans = greedy_plans(instance, limits, budget)
    bound = length_bound(instance)
    if plans:
        best = min(plans, key=lambda plan: plan_cost(instance, plan))
        cost = plan_cost(instance, best)
        if cost <= bound:
            return Outcome(best, cost, cost, 0)
    state = SearchState(instance, Master(instance, instance.wanted), Knapsack(instance, instance.wanted), budget)
    state.finisher = _finisher(instance, budget) if sum(instance.wanted) > 2 * HEURISTICS.small_rest else None
    _first_columns(state, plans)
    if plans:
        state.offer(best, cost)
        state.reach = PossibleCosts(instance, limits, cost)
        bound = state.up(bound)
        bound = close_by_length(state, limits, bound)
        if bound >= state.best_cost:
            return Outcome(state.best, state.best_cost, state.best_cost, budget.done)
    budget.proved(bound)
    bound = max(bound, _search(state, limits))
    if not state.best:
        return None
    return Outcome(state.best, state.best_cost, min(bound, state.best_cost), budget.done)


def _finisher(instance: Instance, budget: Budget) -> RestSolver:
    """A search of its own for the small rest of a dive, on only the sizes that are left."""

    def finish(rest: Sequence[int], high: Sequence[int | None]) -> Plan | None:
        kept = [i for i, count in enumerate(rest) if count]
        bars = tuple(replace(bar, available=most) for bar, most in zip(instance.bars, high, strict=True))
        small = replace(
            instance,
            bars=bars,
            sizes=tuple(instance.sizes[i] for i in kept),
            wanted=tuple(rest[i] for i in kept),
            lengths=tuple(instance.lengths[i] for i in kept),
        )
        outcome = find_plan(small, Effort(HEURISTICS.rest_work, budget.effort.should_stop))
        if outcome is None:
            return None
        budget.spend(outcome.work)
        found: Plan = {}
        for (bar, pieces), count in trimmed(small, outcome.plan, small.wanted).items():
            column = (bar, tuple((kept[i], n) for i, n in pieces))
            found[column] = found.get(column, 0) + count
        return found

    return finish


def _first_columns(state: SearchState, plans: list[Plan]) -> None:
    for plan in plans:
        state.master.add(plan)
    state.master.add(single_pieces(state.instance))


def _search(state: SearchState, limits: StockLimits) -> int:
    """Branches for half of the effort left, then tries to close the whole gap, then goes on; gives the proven bound."""
    if not state.best:
        state.best_cost = 1 << 62
    front = OpenNodes([SearchNode(0, 0, 0, limits)])
    _branch_and_bound(state, front, (state.budget.done + state.budget.effort.work_limit) // 2)
    bound = front.bound(state.best_cost)
    if state.best and bound < state.best_cost and front.root is not None and not state.budget.spent():
        bound = close_gap(state, limits, front.root, state.up(bound), AT_LAST)
        if bound < state.best_cost:
            _branch_and_bound(state, front, state.budget.effort.work_limit)
            bound = max(bound, front.bound(state.best_cost))
    if state.budget.effort.patient:
        bound = _search_on(state, front, bound)
    return bound


def _search_on(state: SearchState, front: OpenNodes, bound: int) -> int:
    """Rounds in which everything that was given up has another turn, each more thorough, until proven or spent."""
    while bound < state.best_cost and not state.budget.spent() and front.reopen():
        _branch_and_bound(state, front, state.budget.effort.work_limit)
        bound = max(bound, front.bound(state.best_cost))
    return bound


def _branch_and_bound(state: SearchState, front: OpenNodes, work: int) -> None:
    """Works through the open branches, the lowest bound first."""
    heap = front.heap
    while heap:
        if state.budget.spent() or state.budget.done >= work:
            break
        branch = heappop(heap)
        state.budget.proved(branch.bound)
        if not _is_due(state, front, branch):
            continue
        share = int(state.budget.effort.work_limit * BRANCHING.root_work) if branch.number == 0 else None
        relaxed = relax(state, state.instance.wanted, branch.limits, state.best_cost, until=share)
        front.note(state, relaxed)
        bound = max(branch.bound, relaxed.bound)
        if bound >= state.best_cost or relaxed.shares is None:
            continue
        if heap and bound > heap[0].bound and bound > branch.bound:
            heappush(heap, replace(branch, bound=bound))
            continue
        front.push(_work_on(state, replace(branch, bound=bound), relaxed, front))


def _work_on(state: SearchState, branch: SearchNode, relaxed: Relaxation, front: OpenNodes) -> list[SearchNode]:
    """Splits a branch at a stock whose bars are fractional; a branch with whole counts is tried and settled."""
    assert relaxed.shares is not None
    if relaxed.shares.value == float("inf"):
        front.given_up.append(branch)
        return []
    counts = [0.0] * len(state.instance.bars)
    for column, value in zip(state.master.columns, relaxed.shares.use, strict=True):
        counts[column[0]] += value
    aways = [abs(count - round(count)) for count in counts]
    bar = max(range(len(counts)), key=lambda b: (aways[b], -b))
    if branch.number == 0:
        target = branch.bound + state.step
        if plan_at_root(state, branch.limits, relaxed, target):
            return []
        branch = _close_root(state, branch, front)
        if branch.bound >= state.best_cost:
            return []
        if len(counts) > 1 and state.best and not state.instance.values:
            front.points = FeasibilityProgram(state, StockCounts(state.instance, branch.limits))
            front.note(state, relaxed)
            front.note(state, front.root or relaxed)
            return [replace(branch, points=True)]
    if aways[bar] > 1e-5 and len(counts) > 1:
        return split_at(branch, bar, int(counts[bar]))
    return try_counts(state, branch, relaxed, [round(count) for count in counts], front.given_up)


def _close_root(state: SearchState, branch: SearchNode, front: OpenNodes) -> SearchNode:
    """Sharpens the root's prices, leaves out costs that cannot be, and tries to close the gap there and then."""
    sharp = relax(state, state.instance.wanted, branch.limits, state.best_cost, to_the_end=True)
    if not sharp.prices or not state.best:
        return branch
    front.root = sharp
    if state.reach is not None:
        state.reach.sharpen(sharp.worth, sum(n * p for n, p in zip(state.instance.wanted, sharp.prices, strict=True)))
    bound = state.up(max(branch.bound, sharp.bound))
    return replace(branch, bound=close_gap(state, branch.limits, sharp, bound, AT_FIRST))


def _is_due(state: SearchState, front: OpenNodes, branch: SearchNode) -> bool:
    """Whether the linear program is to look at a branch now; what can be told of it before is told."""
    if branch.bound >= state.best_cost:
        return False
    if front.points is None:
        return True
    if branch.points:
        front.push(_points(state, front.points.counts, branch))
        return False
    if not front.points.counts.allow(branch.limits, state.best_cost):
        return False
    if branch.limits.low != branch.limits.high:
        return True
    possible = branch.late > 0 or front.points.possible(branch.limits.low)
    return possible and _is_due_point(state, front, branch)


def _is_due_point(state: SearchState, front: OpenNodes, branch: SearchNode) -> bool:
    """Fills so many bars one by one; if that fails, dives wait until all other numbers had their turn, too."""
    counts = branch.limits.low
    if _is_tight(state, counts):
        return True
    plan = value_corrected_plan(state, counts, branch.late + branch.level)
    if plan is not None:
        state.offer(plan, plan_cost(state.instance, plan))
        return False
    if not branch.late:
        front.push([replace(branch, late=1)])
    return branch.late > 0


def _points(state: SearchState, counts: StockCounts, branch: SearchNode) -> list[SearchNode]:
    """A branch for every number of bars from the bound up to some cost, and one for all that cost more.

    Where they are too many even just above the bound, the branch as it is, to be split stock by stock.
    """
    for share in BRANCHING.point_shares:
        end = min(state.best_cost, branch.bound + -(-(state.best_cost - branch.bound) // share))
        points = counts.between(branch.bound, end)
        if points is not None:
            beyond = [] if end >= state.best_cost else [replace(branch, bound=end)]
            return [*(SearchNode(counts.cost(n), 0, 0, StockLimits(n, n)) for n in points), *beyond]
    return [replace(branch, points=False)]


def _is_tight(state: SearchState, counts: Sequence[int]) -> bool:
    """Whether hardly any room may be wasted, so that bars filled one by one seldom do."""
    instance = state.instance
    room = sum(n * bar.room for n, bar in zip(counts, instance.bars, strict=True))
    need = sum(map(mul, instance.sizes, instance.wanted))
    return bool((room - need) * BRANCHING.tight < need)
