"""The search for a proven plan: quick plans, the linear program, then numbers of bars of each stock.

Where off-cuts are worth nothing, whole numbers of bars are gone through by their cost; else, and where they are too
many, the search branches on them. The open branch with the lowest bound goes first, but hard ones are put off until
the others had their turn; the lowest open bound is the bound of the whole problem at any time.
Source: Belov and Scheithauer, Eur. J. Oper. Res. 171 (2006) 85, for the general plan; the rest is common practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from heapq import heappop, heappush
from operator import mul

from estimator.cutting.branch_and_bound.feasibility import PointProgram
from estimator.cutting.branch_and_bound.stock_counts import BarCounts
from estimator.cutting.colgen.bounds import Limits, length_bound, open_limits
from estimator.cutting.colgen.master import Master
from estimator.cutting.colgen.possible_costs import Reach
from estimator.cutting.colgen.pricing import Knapsack
from estimator.cutting.colgen.relaxation import Budget, Finisher, Relaxed, Workbench, relax
from estimator.cutting.enumeration.gap_closing import AT_FIRST, AT_LAST, close_by_length, close_gap
from estimator.cutting.enumeration.tree import settle
from estimator.cutting.heuristics.diving import MANNERS, SMALL_REST, dive
from estimator.cutting.heuristics.greedy import cheaper_bars, greedy_plan, plan_cost, trimmed
from estimator.cutting.heuristics.value_correction import filled_one_by_one
from estimator.cutting.instance import Plan, Shop
from estimator.cutting.records import Effort

FINISHING_WORK = 150
POINT_SHARES = (8, 64, 512)
LEVELS_AT_ONCE = 3
TIGHT = 10_000
AT_ROOT = replace(MANNERS[0], work=1_000)
DIVE_AT_POINT = 700


@dataclass(order=True, slots=True)
class Branch:
    """A part of the search: its bound, how hard it was tried already, and the limits that define it.

    `points` stands for all numbers of bars that cost at least the bound, to be gone through one by one; `late` is how
    often one of them was put off.
    """

    late: int = field(default=0, kw_only=True)
    bound: int
    level: int
    number: int
    limits: Limits = field(compare=False)
    points: bool = field(default=False, compare=False)


@dataclass(frozen=True, slots=True)
class Outcome:
    """The best plan in hand, its cost and the proven bound."""

    plan: Plan
    cost: int
    bound: int
    work: int


def find_plan(shop: Shop, effort: Effort) -> Outcome | None:
    """The cheapest plan the effort allows for, with its bound; None if the bars run out."""
    limits = open_limits(shop)
    plans = _quick_plans(shop, limits)
    bound = length_bound(shop)
    budget = Budget(effort)
    if plans:
        best = min(plans, key=lambda plan: plan_cost(shop, plan))
        cost = plan_cost(shop, best)
        if cost <= bound:
            return Outcome(best, cost, cost, 0)
    bench = Workbench(shop, Master(shop, shop.wanted), Knapsack(shop, shop.wanted), budget)
    bench.finisher = _finisher(shop, budget) if sum(shop.wanted) > 2 * SMALL_REST else None
    _first_columns(bench, plans)
    if plans:
        bench.offer(best, cost)
        bench.reach = Reach(shop, limits, cost)
        bound = bench.up(bound)
        bound = close_by_length(bench, limits, bound)
        if bound >= bench.best_cost:
            return Outcome(bench.best, bench.best_cost, bench.best_cost, budget.done)
    bound = max(bound, _search(bench, limits))
    if not bench.best:
        return None
    return Outcome(bench.best, bench.best_cost, min(bound, bench.best_cost), budget.done)


def _finisher(shop: Shop, budget: Budget) -> Finisher:
    """A search of its own for the small rest of a dive, on only the sizes that are left."""

    def finish(rest: Sequence[int], high: Sequence[int | None]) -> Plan | None:
        kept = [i for i, count in enumerate(rest) if count]
        bars = tuple(replace(bar, available=most) for bar, most in zip(shop.bars, high, strict=True))
        small = replace(
            shop,
            bars=bars,
            sizes=tuple(shop.sizes[i] for i in kept),
            wanted=tuple(rest[i] for i in kept),
            lengths=tuple(shop.lengths[i] for i in kept),
        )
        outcome = find_plan(small, Effort(FINISHING_WORK, budget.effort.should_stop))
        if outcome is None:
            return None
        budget.spend(outcome.work)
        found: Plan = {}
        for (bar, pieces), count in trimmed(small, outcome.plan, small.wanted).items():
            column = (bar, tuple((kept[i], n) for i, n in pieces))
            found[column] = found.get(column, 0) + count
        return found

    return finish


def _quick_plans(shop: Shop, limits: Limits) -> list[Plan]:
    """Greedy plans: every bar free to be chosen, and each stock preferred in turn."""
    tries = [None, *range(len(shop.bars))] if len(shop.bars) > 1 else [None]
    plans = []
    for only in tries:
        plan = greedy_plan(shop, shop.wanted, limits.high, only)
        if plan is not None:
            plans.append(cheaper_bars(shop, plan, limits.high) if len(shop.bars) > 1 else plan)
    return plans


def _first_columns(bench: Workbench, plans: list[Plan]) -> None:
    for plan in plans:
        bench.master.add(plan)
    for bar, stock in enumerate(bench.shop.bars):
        bench.master.add((bar, ((i, 1),)) for i, size in enumerate(bench.shop.sizes) if size <= stock.room)


@dataclass(slots=True)
class Front:
    """The open branches, the bounds of those given up, and the root's proof."""

    heap: list[Branch]
    given_up: list[int] = field(default_factory=list)
    number: int = 1
    root: Relaxed | None = None
    points: PointProgram | None = None

    def bound(self, cost: int) -> int:
        """What is proven of the whole problem."""
        return min([cost, *(branch.bound for branch in self.heap), *self.given_up])

    def push(self, branches: Iterable[Branch]) -> None:
        """Opens branches, numbered in their order."""
        for branch in branches:
            heappush(self.heap, replace(branch, number=self.number))
            self.number += 1

    def note(self, bench: Workbench, relaxed: Relaxed) -> None:
        """Keeps what the prices of a relaxation prove about numbers of bars."""
        if self.points is not None and relaxed.prices:
            self.points.counts.add(relaxed.worth, sum(map(mul, bench.shop.wanted, relaxed.prices)))


def _search(bench: Workbench, limits: Limits) -> int:
    """Branches for half of the effort left, then tries to close the whole gap, then goes on; gives the proven bound."""
    if not bench.best:
        bench.best_cost = 1 << 62
    front = Front([Branch(0, 0, 0, limits)])
    _branch_and_bound(bench, front, (bench.budget.done + bench.budget.effort.work_limit) // 2)
    bound = front.bound(bench.best_cost)
    if bench.best and bound < bench.best_cost and front.root is not None and not bench.budget.spent():
        bound = close_gap(bench, limits, front.root, bench.up(bound), AT_LAST)
        if bound < bench.best_cost:
            _branch_and_bound(bench, front, bench.budget.effort.work_limit)
            bound = max(bound, front.bound(bench.best_cost))
    return bound


def _branch_and_bound(bench: Workbench, front: Front, work: int) -> None:
    """Works through the open branches, the lowest bound first."""
    heap = front.heap
    while heap:
        if bench.budget.spent() or bench.budget.done >= work:
            break
        branch = heappop(heap)
        if not _is_due(bench, front, branch):
            continue
        relaxed = relax(bench, bench.shop.wanted, branch.limits, bench.best_cost)
        front.note(bench, relaxed)
        bound = max(branch.bound, relaxed.bound)
        if bound >= bench.best_cost or relaxed.shares is None:
            continue
        if heap and bound > heap[0].bound and bound > branch.bound:
            heappush(heap, replace(branch, bound=bound))
            continue
        front.push(_work_on(bench, replace(branch, bound=bound), relaxed, front))


def _work_on(bench: Workbench, branch: Branch, relaxed: Relaxed, front: Front) -> list[Branch]:
    """Splits a branch at a stock whose bars are fractional; a branch with whole counts is tried and settled."""
    assert relaxed.shares is not None
    if relaxed.shares.value == float("inf"):
        front.given_up.append(branch.bound)
        return []
    counts = [0.0] * len(bench.shop.bars)
    for column, value in zip(bench.master.columns, relaxed.shares.use, strict=True):
        counts[column[0]] += value
    aways = [abs(count - round(count)) for count in counts]
    bar = max(range(len(counts)), key=lambda b: (aways[b], -b))
    if branch.number == 0:
        target = branch.bound + bench.step
        if dive(bench, bench.shop.wanted, branch.limits, relaxed.shares.use, target, AT_ROOT):
            return []
        branch = _close_root(bench, branch, front)
        if branch.bound >= bench.best_cost:
            return []
        if len(counts) > 1 and bench.best and not bench.shop.values:
            front.points = PointProgram(bench, BarCounts(bench.shop, branch.limits))
            front.note(bench, relaxed)
            front.note(bench, front.root or relaxed)
            return [replace(branch, points=True)]
    if aways[bar] > 1e-5 and len(counts) > 1:
        return _split(branch, bar, int(counts[bar]))
    return _try_leaf(bench, branch, relaxed, [round(count) for count in counts], front.given_up)


def _close_root(bench: Workbench, branch: Branch, front: Front) -> Branch:
    """Sharpens the root's prices, leaves out costs that cannot be, and tries to close the gap there and then."""
    sharp = relax(bench, bench.shop.wanted, branch.limits, bench.best_cost, to_the_end=True)
    if not sharp.prices or not bench.best:
        return branch
    front.root = sharp
    if bench.reach is not None:
        bench.reach.sharpen(sharp.worth, sum(n * p for n, p in zip(bench.shop.wanted, sharp.prices, strict=True)))
    bound = bench.up(max(branch.bound, sharp.bound))
    return replace(branch, bound=close_gap(bench, branch.limits, sharp, bound, AT_FIRST))


def _is_due(bench: Workbench, front: Front, branch: Branch) -> bool:
    """Whether the linear program is to look at a branch now; what can be told of it before is told."""
    if branch.bound >= bench.best_cost:
        return False
    if front.points is None:
        return True
    if branch.points:
        front.push(_points(bench, front.points.counts, branch))
        return False
    if not front.points.counts.allow(branch.limits, bench.best_cost):
        return False
    if branch.limits.low != branch.limits.high:
        return True
    possible = branch.late > 0 or front.points.possible(branch.limits.low)
    return possible and _is_due_point(bench, front, branch)


def _is_due_point(bench: Workbench, front: Front, branch: Branch) -> bool:
    """Fills so many bars one by one; if that fails, dives wait until all other numbers had their turn, too."""
    counts = branch.limits.low
    if _is_tight(bench, counts):
        return True
    plan = filled_one_by_one(bench, counts, branch.late + branch.level)
    if plan is not None:
        bench.offer(plan, plan_cost(bench.shop, plan))
        return False
    if not branch.late:
        front.push([replace(branch, late=1)])
    return branch.late > 0


def _points(bench: Workbench, counts: BarCounts, branch: Branch) -> list[Branch]:
    """A branch for every number of bars from the bound up to some cost, and one for all that cost more.

    Where they are too many even just above the bound, the branch as it is, to be split stock by stock.
    """
    for share in POINT_SHARES:
        end = min(bench.best_cost, branch.bound + -(-(bench.best_cost - branch.bound) // share))
        points = counts.between(branch.bound, end)
        if points is not None:
            beyond = [] if end >= bench.best_cost else [replace(branch, bound=end)]
            return [*(Branch(counts.cost(n), 0, 0, Limits(n, n)) for n in points), *beyond]
    return [replace(branch, points=False)]


def _is_tight(bench: Workbench, counts: Sequence[int]) -> bool:
    """Whether hardly any room may be wasted, so that bars filled one by one seldom do."""
    shop = bench.shop
    room = sum(n * bar.room for n, bar in zip(counts, shop.bars, strict=True))
    need = sum(map(mul, shop.sizes, shop.wanted))
    return bool((room - need) * TIGHT < need)


def _split(branch: Branch, bar: int, at: int) -> list[Branch]:
    """At most `at` bars of that stock, or at least one more."""
    low, high = branch.limits.low, branch.limits.high
    return [
        Branch(branch.bound, 0, 0, Limits(low, (*high[:bar], at, *high[bar + 1 :]))),
        Branch(branch.bound, 0, 0, Limits((*low[:bar], at + 1, *low[bar + 1 :]), high)),
    ]


def _try_leaf(
    bench: Workbench, branch: Branch, relaxed: Relaxed, counts: list[int], given_up: list[int]
) -> list[Branch]:
    """Looks for a whole plan with these counts; then decides by listing, or comes back to it later with more effort."""
    if len(counts) == 1:
        counts = [max(counts[0], -(-branch.bound // max(1, bench.shop.bars[0].price)))]
    exact = Limits(tuple(counts), tuple(counts))
    at_last = relax(bench, bench.shop.wanted, exact, bench.best_cost)
    target = branch.bound + bench.step
    settled = at_last.shares is None or at_last.bound >= bench.best_cost
    if not settled and at_last.shares is not None:
        manner = MANNERS[branch.level]
        manner = replace(manner, work=DIVE_AT_POINT) if branch.late else manner
        if dive(bench, bench.shop.wanted, exact, at_last.shares.use, target, manner):
            return []
        sharp = relax(bench, bench.shop.wanted, branch.limits, bench.best_cost, to_the_end=True)
        settled = settle(bench, bench.shop.wanted, exact, (sharp, at_last, relaxed))
    children = _around(branch, counts)
    if settled:
        return children
    if branch.level + 1 < len(MANNERS):
        level = branch.level + 1
        late = 1 + level // LEVELS_AT_ONCE if branch.late else 0
        children.append(Branch(max(branch.bound, at_last.bound), level, 0, exact, late=late))
    else:
        given_up.append(max(branch.bound, at_last.bound))
    return children


def _around(branch: Branch, counts: list[int]) -> list[Branch]:
    """The branch without the one point `counts`, in parts that do not overlap."""
    low, high = list(branch.limits.low), list(branch.limits.high)
    if len(counts) == 1:
        low = counts  # fewer bars than that contradict the bound already
    parts = []
    for bar, count in enumerate(counts):
        if count > low[bar]:
            below = [*high[:bar], count - 1, *high[bar + 1 :]]
            parts.append(Branch(branch.bound, 0, 0, Limits(tuple(low), tuple(below))))
        most = high[bar]
        if most is None or count < most:
            above = [*low[:bar], count + 1, *low[bar + 1 :]]
            parts.append(Branch(branch.bound, 0, 0, Limits(tuple(above), tuple(high))))
        low[bar], high[bar] = count, count
    return parts
