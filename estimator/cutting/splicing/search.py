"""The search for the cheapest choice of compositions: real plans from inside, the proven bound from outside.

Inward lattices give linear programs whose plans are real; a small whole program over their columns proposes
compositions, which are then cut out in full. Outward lattices bound every legal plan; branching on the number of bars
of each stock and of splices lifts that bound to what whole bars and whole splices can cost.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import gcd
from typing import Protocol

from estimator.cutting.colgen.bounds import price_unit, round_up
from estimator.cutting.colgen.relaxation import Budget
from estimator.cutting.instance import Bar
from estimator.cutting.records import Effort, Pattern
from estimator.cutting.runs.compositions import Composition
from estimator.cutting.splicing.bounds.benders_cuts import BendersCuts
from estimator.cutting.splicing.bounds.counts_bound import fixed_cost
from estimator.cutting.splicing.bounds.whole_numbers import WholeNumbers
from estimator.cutting.splicing.colgen.column_generation import SplicingColumns
from estimator.cutting.splicing.colgen.master import PathColumn, SplicingOptimum
from estimator.cutting.splicing.colgen.pattern_prices import DualPrices
from estimator.cutting.splicing.position_graph.graph import Lattice
from estimator.cutting.splicing.problem import (
    ProblemOnLattice,
    Proposal,
    SplicingLimits,
    SplicingProblem,
    splicing_limits,
)
from estimator.cutting.splicing.rounding.diving import dived_use
from estimator.cutting.splicing.rounding.restricted_mip import whole_use
from estimator.cutting.tuning import THOROUGH

WHOLE = 1e-5
FAR = 1 << 62


class Incumbents(Protocol):
    """Where proposals are cut out in full, and the best is kept."""

    def evaluate(self, proposal: Proposal, lattice: Lattice | None) -> int | None:
        """What a proposal costs; None if the bars on hand do not suffice."""

    def incumbent(self) -> tuple[Proposal, tuple[Pattern, ...]] | None:
        """The best proposal so far with its bars."""


@dataclass(frozen=True, slots=True, order=True)
class OpenNode:
    """A part of the search: the bound known for it, its number, its limits, and the prices that proved the bound."""

    bound: int
    order: int
    limits: SplicingLimits = field(compare=False)
    point: DualPrices | None = field(default=None, compare=False)


class SplicingSearch:
    """Proposals are handed to `incumbents`, which keep the best; `run` returns the bound."""

    def __init__(self, problem: SplicingProblem, incumbents: Incumbents, budget: Budget) -> None:
        self.problem = problem
        self.budget = budget
        self.best: int | None = None
        self._incumbents = incumbents
        self._tried: set[tuple[Proposal, Lattice | None]] = set()
        self._quick = budget.effort.work_limit < THOROUGH.little_work
        self._step = 1 if problem.values else max(1, gcd(problem.splice, *(bar.price for bar in problem.bars)))
        self._inside: list[SplicingColumns] = []
        self._open: list[OpenNode] = []
        self._known: dict[bool, list[tuple[int, Composition]]] = {False: [], True: []}
        self._count = 0
        self.cuts = BendersCuts(problem, price_unit(problem.bars), self._step)
        self._value_inside: float | None = None
        self.proof: tuple[Lattice, DualPrices] | None = None
        self._elsewhere: dict[tuple[tuple[int, ...], SplicingLimits, int], int] = {}
        self._optimum_inside: tuple[SplicingColumns, SplicingOptimum] | None = None
        self.numbers = WholeNumbers(problem)

    def begin_with(self, cost: int) -> None:
        """Goes on from a plan of that cost, which the incumbents hold already."""
        self.best = cost
        self.budget.found(cost)

    def offer(self, proposal: Proposal, lattice: Lattice | None = None) -> None:
        """Cuts a proposal out in full, once; one from a lattice also with its joints moved."""
        if (proposal, lattice) in self._tried:
            return
        self._tried.add((proposal, lattice))
        cost = self._incumbents.evaluate(proposal, lattice)
        if cost is not None and (self.best is None or cost < self.best):
            self.best = cost
            self.budget.found(cost)

    def bound_elsewhere(self, prices: Sequence[int], limits: SplicingLimits, below: int) -> int:
        """What plans at other prices of bars, with so many bars of each stock, cost at least, if less than `below`.

        0: nothing is known.
        """
        return 0

    def run(self, known: int) -> int:
        """The search to its end or to the budget's; `known` is a bound known before, the result is at least that."""
        self._open = [OpenNode(known, 0, splicing_limits(self.problem))]
        self.budget.proved(known)
        levels = THOROUGH.little_levels if self._quick else THOROUGH.levels
        outside = next(self._root(*level[2:]) for level in levels if level[2])
        for level, (inner, spared, outer, _) in enumerate(levels):
            if self.budget.spent() or self._closed():
                break
            self._inside = []
            for part in spared:
                self._inside.append(self._inner(inner, part))
                self._propose(self._inside[-1], splicing_limits(self.problem))
            if not outer or self._closed():
                continue
            finer = levels[level + 1] if level + 1 < len(levels) else None
            if finer and self._too_coarse(outside):
                outside = self._root(*finer[2:])
                continue
            self._branch(outside)
            if finer and not self._closed():
                outside = self._outer(*finer[2:])
        return min(node.bound for node in self._open) if self._open else (self.best or known)

    def _root(self, outer: int, stretches: int) -> SplicingColumns:
        """An outward lattice, and the bound it gives without any branching."""
        outside = self._outer(outer, stretches)
        whole, known = outside.budget, self._open[0]
        part = max(THOROUGH.least_share, int(whole.effort.work_limit * THOROUGH.root_share))
        outside.budget = Budget(Effort(part, whole.effort.should_stop))
        relaxed = outside.relax(
            known.limits, self.best if self.best is not None else FAR, THOROUGH.close_branch, known.point
        )
        if relaxed.shares is not None:
            self._known[True] = outside.used_ways(relaxed.shares)
        self._by_cuts(outside, known.limits, FAR)
        self.budget.spend(outside.budget.done)
        whole.spend(outside.budget.done)
        outside.budget = whole
        bound = max(known.bound, round_up(relaxed.bound, self._step))
        whole.proved(bound)
        self._open = [OpenNode(bound, 0, known.limits, relaxed.point)]
        if relaxed.point is not None:
            self.proof = (outside.on.lattice, relaxed.point)
        return outside

    def _too_coarse(self, outside: SplicingColumns) -> bool:
        """Whether the lattices' own error is what keeps the bound from the plans, and a finer one can be afforded."""
        if self._open[0].order or self._value_inside is None:
            return False
        apart = self._value_inside - self._open[0].bound
        left = self.budget.effort.work_limit - self.budget.done
        return apart > THOROUGH.coarseness * self._value_inside and left > THOROUGH.finer_work * outside.budget.done

    def _near(self, bound: int) -> bool:
        """Whether a bound is so near to the best plan that the gap asked for is reached."""
        return self.best is not None and self.best - bound <= self.best * self.budget.effort.gap

    def _closed(self) -> bool:
        """Whether nothing cheaper than the best plan is open any more."""
        if self.best is not None:
            self._open = [node for node in self._open if node.bound < self.best]
        return not self._open

    def _inner(self, about: int, spared: float) -> SplicingColumns:
        kerf = self.problem.saw.kerf
        marks = tuple(sorted({bar.room // n - kerf for bar in self._offered() for n in (1, 2, 3)} - {0}))
        unit = fitting_unit([bar.room for bar in self._offered()], about)
        program = self._program(
            self._lattice(unit, False, 1, marks, int(unit * spared)),
            THOROUGH.little_share if self._quick else THOROUGH.inner_share,
        )
        incumbent = self._incumbents.incumbent()
        if incumbent is not None:
            program.adopt_plan(*incumbent)
        return program

    def _outer(self, about: int, stretches: int) -> SplicingColumns:
        unit = bounding_unit([bar.room for bar in self._offered()], about)
        program = self._program(self._lattice(unit, True, stretches, (), 0), 1.0)
        if self._optimum_inside is not None:
            program.adopt_optimum(*self._optimum_inside)
        return program

    def _offered(self) -> list[Bar]:
        return [bar for bar in self.problem.bars if bar.available != 0]

    def _lattice(self, unit: int, outward: bool, steps: int, marks: tuple[int, ...], spared: int) -> Lattice:
        rooms = tuple(bar.room for bar in self.problem.bars)
        return Lattice(unit, self.problem.saw.kerf, self.problem.longest, rooms, outward, steps, marks, spared)

    def _program(self, lattice: Lattice, share: float) -> SplicingColumns:
        left = max(0, self.budget.effort.work_limit - self.budget.done)
        part = Budget(Effort(max(THOROUGH.least_share, int(left * share)), self.budget.effort.should_stop))
        program = SplicingColumns(ProblemOnLattice(self.problem, lattice), part)
        program.begin(self._known[lattice.outward])
        return program

    def _propose(self, program: SplicingColumns, limits: SplicingLimits) -> None:
        """Whole compositions from an inner program within `limits`, cut out in full."""
        before, lattice = program.budget.done, program.on.lattice
        cutoff = self.best if self.best is not None else FAR
        relaxed = program.relax(limits, cutoff, THOROUGH.close_inside)
        if relaxed.shares is not None and relaxed.bound < cutoff:
            self._known[False] = program.used_ways(relaxed.shares)
            if limits == splicing_limits(self.problem):
                self._value_inside = relaxed.shares.value
                if not lattice.spared:
                    self._optimum_inside = (program, relaxed.shares)
            use = dived_use(program, limits)
            if use is not None:
                self.offer(rounded(program, use), lattice)
            few = len(program.lp.row_of) <= THOROUGH.whole_rows
            if few and not program.budget.spent() and (self.best is None or relaxed.bound < self.best):
                use = whole_use(program, self._step)
                if use is not None:
                    self.offer(rounded(program, use), lattice)
        self.budget.spend(program.budget.done - before)

    def _branch(self, program: SplicingColumns) -> None:
        """Best first over the limits on bars and splices; what cannot be closed on this lattice stays open."""
        waiting = list(self._open)
        heapq.heapify(waiting)
        left: list[OpenNode] = []
        while waiting and not program.budget.spent() and not self.budget.spent():
            node = heapq.heappop(waiting)
            if self._near(node.bound):
                waiting.append(node)  # a bound at or above the best plan is dropped when all is done
                break
            if len(left) >= THOROUGH.leaves and node.bound >= min(each.bound for each in left):
                waiting.append(node)
                break
            self.budget.proved(min(node.bound, *(each.bound for each in left)) if left else node.bound)
            before = program.budget.done
            cutoff = self.best if self.best is not None else FAR
            known = self._by_cuts(program, node.limits, cutoff)
            if known > node.bound:
                heapq.heappush(waiting, replace(node, bound=known))
                continue
            relaxed = program.relax(node.limits, cutoff, THOROUGH.close_branch, node.point)
            if relaxed.shares is not None and not _parted(node.limits, relaxed.shares):
                relaxed = program.relax(node.limits, cutoff)
            self.budget.spend(program.budget.done - before)
            bound = max(node.bound, round_up(relaxed.bound, self._step))
            if self.best is not None and bound >= self.best:
                continue
            parts = [] if relaxed.shares is None else _parted(node.limits, relaxed.shares)
            for part in parts:
                self._count += 1
                heapq.heappush(waiting, OpenNode(max(bound, self._fixed(part)), self._count, part, relaxed.point))
            if not parts:
                left.append(OpenNode(bound, node.order, node.limits, relaxed.point))
                if relaxed.shares is not None:
                    self._known[True] = program.used_ways(relaxed.shares)
                    self._leaf(relaxed.shares, bound)
        self._open = [*left, *waiting]
        self._closed()

    def _by_cuts(self, program: SplicingColumns, limits: SplicingLimits, below: int) -> int:
        """The bound that all cuts so far prove within the limits."""
        for cut in program.cuts:
            self.cuts.add(cut)
        program.cuts.clear()
        return self.cuts.bound(limits, below)

    def _fixed(self, limits: SplicingLimits) -> int:
        return fixed_cost(self.problem, limits) if limits.low == limits.high else 0

    def _leaf(self, shares: SplicingOptimum, fixed: int) -> None:
        """Looks for a real plan with just these bars, and with as few splices or more while that stays cheaper."""
        bars = tuple(round(x) for x in shares.bars)
        splices = round(shares.splices)
        more = 0
        if self.best is not None and self.problem.splice:
            more = max(0, (self.best - 1 - fixed) // self.problem.splice)
        high = (*bars, splices + more if self.problem.splice else None)
        for program in self._inside:
            if self.best is None or self.best > fixed:
                self._propose(program, SplicingLimits((*bars, splices), high))


def fitting_unit(rooms: Sequence[int], about: int) -> int:
    """The unit near `about` (tenths) of which the bars' rooms lose least when rounded down.

    >>> fitting_unit([61_530], 200)
    210
    """
    units = range(about * 3 // 4, about * 5 // 4 + 1)
    return min(units, key=lambda unit: (max(room % unit for room in rooms), abs(unit - about), unit))


def bounding_unit(rooms: Sequence[int], about: int) -> int:
    """The unit near `about` (tenths) with which pieces rounded down reach least beyond the bars' rooms.

    Pieces that fill a bar of whole units may each be almost a unit longer; so the more of a unit is left of a room, the
    less of that can be had for nothing.

    >>> bounding_unit([61_530], 200)
    159
    """
    units = range(about * 3 // 4, about * 5 // 4 + 1)
    return min(units, key=lambda unit: (max(unit - 1 - room % unit for room in rooms), abs(unit - about), unit))


def _parted(limits: SplicingLimits, shares: SplicingOptimum) -> list[SplicingLimits]:
    """The limits split at the number that is least whole; nothing where all are whole."""
    used = (*shares.bars, shares.splices)
    off = [abs(value - round(value)) for value in used]
    at = max(range(len(off)), key=lambda i: (off[i], i))
    if off[at] < WHOLE:
        return []
    below = int(used[at])
    low, high = list(limits.low), list(limits.high)
    high[at], low[at] = below, below + 1
    return [replace(limits, high=tuple(high)), replace(limits, low=tuple(low))]


def rounded(program: SplicingColumns, use: Sequence[float]) -> Proposal:
    """Whole times per composition: whole parts first, then the largest fractions until the count is reached."""
    kinds: list[list[tuple[Composition, float]]] = [[] for _ in program.on.problem.members]
    for column, amount in zip(program.lp.columns, use, strict=False):  # columns added since are unused
        if isinstance(column, PathColumn):
            kinds[column.kind].append((column.way.joints, amount))
    chosen = []
    for ways, count in zip(kinds, program.on.problem.counts, strict=True):
        times = rounded_times([amount for _, amount in ways], count, [len(way) for way, _ in ways])
        chosen.append(tuple((way[0], n) for way, n in zip(ways, times, strict=True) if n))
    return Proposal(tuple(chosen))


def rounded_times(shares: Sequence[float], count: int, joints: Sequence[int] | None = None) -> list[int]:
    """Whole numbers near the shares that add up to `count`: whole parts, then the largest fractions (fewest joints).

    >>> rounded_times([1.6, 0.7, 0.7], 3)
    [1, 1, 1]
    """
    times = [max(0, int(share + 1e-6)) for share in shares]
    fewest = [0] * len(times) if joints is None else joints
    order = sorted(range(len(times)), key=lambda k: (times[k] - shares[k], fewest[k], k))
    missing = count - sum(times)
    for k in order[: max(0, missing)]:
        times[k] += 1
    if missing > len(order):
        times[order[0]] += missing - len(order)
    while sum(times) > count:
        times[next(k for k in reversed(order) if times[k] > 0)] -= 1
    return times
