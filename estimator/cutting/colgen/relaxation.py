"""Column generation at one place of the search: the linear program's optimum and its proven bound."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from estimator.cutting.colgen.bounds import StockLimits, price_unit, proven_bound, round_up, whole_prices
from estimator.cutting.colgen.master import Master, MasterOptimum
from estimator.cutting.colgen.possible_costs import PossibleCosts
from estimator.cutting.colgen.pricing import Knapsack
from estimator.cutting.instance import Instance, Plan
from estimator.cutting.records import Effort, Standing
from estimator.cutting.tuning import COLUMNS, WORK


@dataclass(slots=True)
class Budget:
    """Work done so far against the effort allowed, and what has come of it for those who look on."""

    effort: Effort
    done: int = 0
    cost: int | None = None
    bound: int | None = None

    def spend(self, work: int = 1) -> None:
        """Notes work done."""
        self.done += work
        self.effort.watch(Standing(self.done, self.effort.work_limit, self.cost, self.bound))

    def found(self, cost: int) -> None:
        """Notes the cost of a plan."""
        self.cost = cost if self.cost is None else min(cost, self.cost)

    def proved(self, bound: int) -> None:
        """Notes a bound on the cost of every plan."""
        self.bound = bound if self.bound is None else max(bound, self.bound)

    def spent(self) -> bool:
        """Whether the search has to end."""
        return self.done >= self.effort.work_limit or self.effort.should_stop()


RestSolver = Callable[[Sequence[int], Sequence[int | None]], Plan | None]
"""Cuts a small rest (pieces of each size, bars left) as well as can be; None if the bars run out."""


@dataclass(slots=True)
class SearchState:
    """What the search shares: the instance, its linear program, its knapsack, its budget."""

    instance: Instance
    master: Master
    knapsack: Knapsack
    budget: Budget
    unit: int = 0
    step: int = 1
    best: Plan = field(default_factory=dict)
    best_cost: int = 0
    finisher: RestSolver | None = None
    reach: PossibleCosts | None = None

    def __post_init__(self) -> None:
        """Derives the units of the arithmetic."""
        self.unit = price_unit(self.instance.bars)
        self.step = self.instance.step()

    def up(self, cost: int) -> int:
        """The least cost that a plan for all pieces can have and that is not below `cost`."""
        return round_up(cost, self.step) if self.reach is None else self.reach.up(cost)

    def below(self, cost: int) -> int:
        """The greatest cost below `cost` that a plan for all pieces can have."""
        return cost - self.step if self.reach is None else self.reach.below(cost)

    def offer(self, plan: Plan, cost: int) -> None:
        """Keeps a plan for all pieces if it is the best so far."""
        if not self.best or cost < self.best_cost:
            self.best, self.best_cost = dict(plan), cost
            self.budget.found(cost)


@dataclass(frozen=True, slots=True)
class Relaxation:
    """The linear program's last optimum, the proven bound, and the prices and worths that prove it."""

    shares: MasterOptimum | None
    bound: int
    prices: tuple[int, ...] = ()
    worth: tuple[int, ...] = ()


def relax(
    state: SearchState,
    wanted: Sequence[int],
    limits: StockLimits,
    cutoff: int,
    to_the_end: bool = False,
    until: int | None = None,
) -> Relaxation:
    """Solves the linear program over all patterns for `wanted` pieces within `limits`.

    Stops as soon as the bound reaches `cutoff`, or cannot rise any more after rounding up; with `to_the_end` only
    when no further pattern helps, and then the prices are the sharpest ones. Ends early at `until` (work done in all).
    """
    master, instance = state.master, state.instance
    master.want(wanted)
    master.limit(limits.low, limits.high)
    best = Relaxation(None, 0)
    whole = tuple(wanted) == instance.wanted
    while True:
        shares = master.solve()
        state.budget.spend(_work(state))
        if shares is None:
            return Relaxation(None, max(best.bound, cutoff))
        prices = whole_prices(instance, shares.size_price, state.unit)
        charge = [int((bar.price - own) * state.unit) for bar, own in zip(instance.bars, shares.bar_price, strict=True)]
        found = state.knapsack.price(prices, wanted, charge, state.unit, _columns_a_round(instance))
        least = proven_bound(instance, wanted, prices, found.worth, limits, state.unit)
        bound = state.up(least) if whole else round_up(least, state.step)
        best = _better(best, Relaxation(shares, bound, tuple(prices), found.worth), to_the_end)
        late = until is not None and state.budget.done >= until
        if best.bound >= cutoff or late or state.budget.spent():
            return best
        if not to_the_end and _settled(shares.value, best.bound, state.step):
            return best
        helped = _worthwhile(found.worth, charge) and master.add(found.columns) > 0
        if not helped and (shares.value < float("inf") or not master.make_shortage_dearer()):
            return best


def _columns_a_round(instance: Instance) -> int:
    return max(COLUMNS.a_round, len(instance.sizes) // COLUMNS.sizes_each)


def _work(state: SearchState) -> int:
    """Work of one round: about its milliseconds on a slow machine, reckoned from sizes alone."""
    rows = len(state.instance.sizes)
    program = max(rows * len(state.master.columns) // WORK.master_cells, state.master.effort // WORK.master_steps)
    return 1 + program + rows * state.knapsack.points // WORK.knapsack_points


def _better(before: Relaxation, now: Relaxation, latest: bool) -> Relaxation:
    """The newest optimum with the best bound and its proof (the latest proof, if so asked)."""
    if not before.prices or now.bound > before.bound or (latest and now.bound >= before.bound):
        return Relaxation(now.shares, max(now.bound, before.bound), now.prices, now.worth)
    return Relaxation(now.shares, before.bound, before.prices, before.worth)


def _settled(value: float, bound: int, step: int) -> bool:
    """Whether the program's value, rounded up to a possible cost, is the bound already."""
    return value != float("inf") and bound >= round_up(int(value - 1e-6 * max(1.0, step)) + 1, step)


def _worthwhile(worth: Sequence[int], charge: Sequence[int]) -> bool:
    return any(value > price + max(1, abs(price) >> 33) for value, price in zip(worth, charge, strict=True))
