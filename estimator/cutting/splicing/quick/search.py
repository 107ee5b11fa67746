"""The quick search: one linear program over real lengths, its columns rounded, and the bound its prices prove.

It ends as soon as the plan is within the gap that is asked for. Where members are few, they are taken out of plans and
put back before and after the program, and only where joints have little room lattices are tried. Else few kinds are
rounded by dives and by a small whole-number program; many are in blocks, whose columns are dealt out to their members
in proportion.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

from estimator.cutting.colgen.bounds import round_up
from estimator.cutting.colgen.relaxation import Budget
from estimator.cutting.records import Effort
from estimator.cutting.runs.compositions import Composition
from estimator.cutting.splicing.bounds.benders_cuts import least_paid
from estimator.cutting.splicing.bounds.number_tuning import NUMBERS
from estimator.cutting.splicing.problem import Proposal, SplicingLimits, SplicingProblem, splicing_limits
from estimator.cutting.splicing.quick.block_columns import BlockColumn, BlockColumns
from estimator.cutting.splicing.quick.cheapest_ways import some_of
from estimator.cutting.splicing.quick.joint_nodes import JointNodes, places
from estimator.cutting.splicing.quick.length_prices import SizesAbove, SizesBetween
from estimator.cutting.splicing.quick.ruin_and_recreate import RuinAndRecreate
from estimator.cutting.splicing.rounding.diving import dived_use
from estimator.cutting.splicing.rounding.restricted_mip import whole_use
from estimator.cutting.splicing.search import OpenNode, SplicingSearch, bounding_unit, fitting_unit, rounded_times
from estimator.cutting.tuning import QUICK, RECREATION, SPLICING_WORK

USED = 1e-9


@dataclass(frozen=True, order=True, slots=True)
class _Counted:
    """Numbers of bars, the least and the largest number of splices (None: any), and what plans with them cost."""

    bound: int
    order: int
    bars: tuple[int, ...] = field(compare=False)
    splices: int = field(compare=False)
    most: int | None = field(compare=False, default=None)


class QuickSearch(SplicingSearch):
    """The same proposals and bounds as the thorough search, in an order that gives a good plan and a bound soon."""

    _relaxed: BlockColumns | None = None

    def bound_elsewhere(self, prices: Sequence[int], limits: SplicingLimits, below: int) -> int:
        """What plans at other prices of bars cost at least, with so many bars of each stock, some perhaps left whole.

        Every call begins with the same columns, so that its answer does not depend on those before.
        """
        if self._relaxed is None:
            return 0
        key = (tuple(prices), limits, below)
        if key not in self._elsewhere:
            self._elsewhere[key] = self._bound_elsewhere(self._relaxed, prices, limits, below)
        return self._elsewhere[key]

    def _bound_elsewhere(self, relaxed: BlockColumns, prices: Sequence[int], limits: SplicingLimits, below: int) -> int:
        program = relaxed.at_prices(prices, Budget(Effort(QUICK.elsewhere_work, self.budget.effort.should_stop)))
        limits = replace(limits, low=(*limits.low[:-1], 0))
        program.relax(limits, QUICK.close, QUICK.rounds, int(below * (1 + QUICK.beyond)))
        if program.centre is None:
            return 0
        point = program.centre
        paid = [least * program.unit for least in least_paid(program.sizes.problem)]
        point = replace(point, own=tuple(min(own, least) for own, least in zip(point.own, paid, strict=True)))
        return program.bound(point, QUICK.stretches[0], limits, some_of(len(self.problem.members), 3))[0]

    def run(self, known: int) -> int:
        """The search to the gap asked for, or to the budget's end; the result is the bound, at least `known`."""
        limits = splicing_limits(self.problem)
        limits = replace(limits, low=(*limits.low[:-1], 0))  # no way has fewer splices than it must
        self._open = [OpenNode(known, 0, limits)]
        self.budget.proved(known)
        if self._near(known):
            return known
        again = self._again(known)
        known = self._by_lengths(known)
        return known if self._near(known) else self._by_prices(again, limits, known)

    def _by_prices(self, again: RuinAndRecreate | None, limits: SplicingLimits, known: int) -> int:
        """The search with prices: the program, what it proves, plans rounded from it or made member by member."""
        many = len(self.problem.members) > QUICK.few_kinds
        if many:  # each step takes longer, but there are no more of them
            limit = QUICK.more_work * self.budget.effort.work_limit
            self.budget.effort = replace(self.budget.effort, work_limit=limit)
        program = self._between(self.problem, QUICK.unit)
        incumbent = self._incumbents.incumbent()
        if again is not None and incumbent is not None and not many:
            program.adopt(*incumbent)
            program.hurried = True
            program.even_prices(limits)
        shares = program.relax(limits, QUICK.close, QUICK.rounds)
        if shares is None or program.centre is None:
            return known
        self._relaxed = program
        if many:
            bound = self._proven(program, known, limits, (QUICK.stretches_of_blocks,))
            self._fill_up(program, limits)
            return bound
        self._offer_dealt(dealt_out(program, shares.use))
        bound = self._proven(program, known, limits, QUICK.stretches[:1])
        if again is not None and not self._near(bound):
            bound = self._by_numbers(program, bound)
        if again is not None:
            self._recreate(again, bound)
            if self._nearly(bound):
                return bound
            left = self.budget.done + RECREATION.lattice_work
            self.budget.effort = replace(self.budget.effort, work_limit=min(self.budget.effort.work_limit, left))
        elif not self._near(bound) and self._nearly(bound):
            bound = self._rounded_until_near(program, limits, bound)
        if self._near(bound) or self.budget.spent():
            return bound
        return self._on_lattices(program, shares.use, bound)

    def _by_numbers(self, program: BlockColumns, known: int) -> int:
        """The bound once numbers of bars are looked at one by one, the cheapest first, each with its own prices.

        With whole numbers of bars little is left open, and what prices prove for one excludes many others. Not where
        there are many kinds of members: the bound then stays where it was, at 1.5 times the time.
        """
        points = self.numbers.points(self.best) if self.best is not None else None
        if points is None or self.best is None or len(self.problem.members) > NUMBERS.members:
            return known
        waiting = [_Counted(max(known, point.cost), at, point.bars, point.splices) for at, point in enumerate(points)]
        heapq.heapify(waiting)
        left: list[_Counted] = []
        number, looked, until = len(waiting), 0, self.budget.done + NUMBERS.work
        bound = known
        while waiting:
            bound = min(each.bound for each in (waiting[0], *left))
            if self._near(bound) or self.budget.spent() or (left and waiting[0].bound > bound):
                break
            if looked == NUMBERS.looked_at or self.budget.done >= until:
                break
            node = heapq.heappop(waiting)
            better = max(node.bound, self._by_cuts_at(node))
            if better > node.bound:
                if better < self.best:
                    heapq.heappush(waiting, replace(node, bound=better))
                continue
            looked += 1
            parts = self._looked_at(program, node)
            if len(parts) == 1:
                left.append(parts[0])
                continue
            for part in parts:
                if part.bound < self.best:
                    number += 1
                    heapq.heappush(waiting, replace(part, order=number))
        bound = min([self.best, *(each.bound for each in (*waiting[:1], *left))])
        self.budget.proved(bound)
        return max(known, bound)

    def _looked_at(self, program: BlockColumns, node: _Counted) -> list[_Counted]:
        """Numbers of bars with what their own prices prove: nothing if that is enough, else itself or two parts."""
        assert self.best is not None
        limits = SplicingLimits((*node.bars, node.splices), (*node.bars, node.most))
        program.centre = None
        shares = program.relax(limits, QUICK.close, QUICK.rounds, self.best)
        if program.centre is None or shares is None:
            return [node]
        found, cut = program.bound(program.centre, NUMBERS.stretches, limits)
        self.cuts.add(cut)
        bound = max(node.bound, round_up(found, self._step))
        if bound >= self.best:
            return []
        below = int(shares.splices + USED)
        if shares.splices - below < 1e-4:
            return [replace(node, bound=bound)]
        few = replace(node, bound=bound, most=below)
        more = max(bound, self.numbers.cost(node.bars, below + 1))
        return [few, replace(node, bound=more, splices=below + 1)]

    def _by_cuts_at(self, node: _Counted) -> int:
        """What all that prices proved elsewhere says of a number of bars."""
        return self.cuts.least_at(node.bars, node.splices, node.most)

    def _by_lengths(self, known: int) -> int:
        """The bound that whole numbers of bars and splices give."""
        if self.best is not None and not self._near(known):
            known = max(known, round_up(min(self.best, self.numbers.bound(self.best)), self._step))
            self.budget.proved(known)
        return known

    def _again(self, known: int) -> RuinAndRecreate | None:
        """Plans made member by member, where there are few."""
        if sum(self.problem.counts) > RECREATION.members or not any(bar.room > 0 for bar in self._offered()):
            return None
        again = RuinAndRecreate(self.problem, self._places(self.problem, RECREATION.unit))
        again.begin()
        self._offer_plan(again)
        known = self._by_lengths(known)
        if not self._near(known):
            again.go_on(_rounds(self.problem) // 2, self._near_enough(known))
            self._go_on(again, _rounds(self.problem) // 2, known)
        return again

    def _near_enough(self, bound: int) -> int:
        """A cost that is near enough to a bound."""
        return int(bound / (1 - self.budget.effort.gap))

    def _go_on(self, again: RuinAndRecreate, rounds: int, bound: int) -> bool:
        """Some rounds over places at which pieces fill the plan's bars as well; whether they bring a cheaper plan."""
        again.move(self._places(self.problem, RECREATION.unit, again.filling()))
        better = again.go_on(rounds, self._near_enough(bound))
        self._offer_plan(again)
        return better

    def _offer_plan(self, again: RuinAndRecreate) -> None:
        self.budget.spend(1 + again.work // SPLICING_WORK.pieces)
        again.work = 0
        proposal = again.proposal()
        if proposal is not None:
            self.offer(proposal)

    def _recreate(self, again: RuinAndRecreate, bound: int) -> None:
        """Members taken out and put back until the bound is near, or that does not help any more."""
        better = True
        while better and not self._near(bound) and not self.budget.spent():
            incumbent = self._incumbents.incumbent()
            if incumbent is not None and self.best is not None:
                again.adopt(*incumbent, self.best)
            better = self._go_on(again, _rounds(self.problem), bound)

    def _nearly(self, bound: int) -> bool:
        """Whether plan and bound are so near that joints seem to have room: else straight prices tell too little."""
        return self.best is not None and self.best - bound <= QUICK.nearly * self.best

    def _rounded_until_near(self, program: BlockColumns, limits: SplicingLimits, bound: int) -> int:
        for spared in (0.5, 0.0):
            fewer = self._above(self.problem, spared)
            fewer.learn(program)
            shares = fewer.relax(limits, QUICK.close_above, QUICK.rounds)
            if shares is None:
                break
            for use in self._uses(fewer, shares.use, limits):
                self.offer(dealt_out(fewer, use), fewer.sizes.lattice)
                if self._near(bound) or self.budget.spent():
                    break
            if not self._near(bound) and not spared:
                bound = self._proven(program, bound, limits, QUICK.stretches[1:])
            if self._near(bound) or self.budget.spent():
                break
        return bound

    def _uses(
        self, program: BlockColumns, first: tuple[float, ...], limits: SplicingLimits
    ) -> Iterator[tuple[float, ...]]:
        """The optimum itself, the best of a small whole-number program, the end of a dive: each when asked for."""
        yield first
        whole = whole_use(program, self._step)
        if whole is not None:
            yield whole
        dived = dived_use(program, limits)
        if dived is not None:
            yield dived

    def _on_lattices(self, program: BlockColumns, use: Sequence[float], known: int) -> int:
        """The same steps as the thorough search where joints have little room: real plans inside, branches outside."""
        limits = splicing_limits(self.problem)
        self._open = [OpenNode(known, 0, limits)]
        ways = used_ways(program, use)
        self._known = {False: ways, True: ways}
        self._inside = [self._inner(QUICK.inside, 0.0)]
        self._propose(self._inside[0], limits)
        if not self._enough():
            outside = self._root(*QUICK.outside)
            if not self._enough():
                self._inside.append(self._inner(QUICK.inside, 0.5))
                self._propose(self._inside[1], limits)
            if not self._enough():
                self._branch(outside)
        return min(node.bound for node in self._open) if self._open else (self.best or known)

    def _enough(self) -> bool:
        """Whether the best plan is near enough to the bound, or the work is done."""
        return self._closed() or self.budget.spent() or self._near(min(node.bound for node in self._open))

    def _between(self, problem: SplicingProblem, about: int) -> BlockColumns:
        unit = bounding_unit([bar.room for bar in self._offered()], about)
        program = BlockColumns(
            SizesBetween(problem, unit), blocks_of(problem), self._places(problem, unit), self.budget
        )
        program.begin()
        return program

    def _above(self, problem: SplicingProblem, spared: float = 0.0) -> BlockColumns:
        unit = fitting_unit(
            [bar.room for bar in self._offered()], QUICK.above[len(self.problem.members) > QUICK.many_kinds]
        )
        sizes = SizesAbove(problem, self._lattice(unit, False, 1, (), int(unit * spared)))
        program = BlockColumns(sizes, blocks_of(problem), self._places(problem, unit), self.budget)
        program.begin()
        return program

    def _places(self, problem: SplicingProblem, unit: int, rests: Sequence[int] = ()) -> JointNodes:
        kerf = problem.saw.kerf
        marks = sorted({bar.room // n - kerf for bar in self._offered() for n in (1, 2, 3)} - {0})
        return places(problem.members, unit, kerf, marks, rests)

    def _proven(self, program: BlockColumns, known: int, limits: SplicingLimits, steps: Sequence[int]) -> int:
        """The bound that the best prices prove; over finer stretches as long as the gap is not reached."""
        bound = known
        for step in steps:
            assert program.centre is not None
            found, cut = program.bound(program.centre, step, limits)
            self.cuts.add(cut)
            bound = max(bound, round_up(found, self._step))
            self.budget.proved(bound)
            if self._near(bound) or self.budget.spent():
                break
        return bound

    def _fill_up(self, guide: BlockColumns, limits: SplicingLimits) -> None:
        """All kinds dealt out over lengths rounded to whole units; joints are then moved until bars hold them."""
        program = self._above(self.problem, QUICK.spared[len(self.problem.members) > QUICK.many_kinds])
        program.learn(guide)
        shares = program.relax(limits, QUICK.close_above, QUICK.rounds)
        if shares is not None:
            self.offer(dealt_out(program, shares.use), program.sizes.lattice)

    def _offer_dealt(self, proposal: Proposal) -> None:
        """Offers a proposal on a lattice to whose nearest units its lengths are rounded; joints are moved to fit."""
        if all(proposal.chosen):
            unit = fitting_unit([bar.room for bar in self._offered()], QUICK.packed)
            self.offer(proposal, self._lattice(unit, False, 1, (), unit // 2))


def _rounds(problem: SplicingProblem) -> int:
    """How often members are taken out and put back: more often where there are more of them."""
    return min(RECREATION.rounds, RECREATION.rounds_each * sum(problem.counts))


def blocks_of(problem: SplicingProblem) -> list[list[int]]:
    """Kinds alone where they are few; else so many blocks, in each those of nearly equal length and first window."""
    members = problem.members
    if len(members) <= QUICK.few_kinds:
        return [[kind] for kind in range(len(members))]
    order = sorted(range(len(members)), key=lambda k: (members[k].length, members[k].windows[0].low, k))
    return [order[len(order) * n // QUICK.blocks : len(order) * (n + 1) // QUICK.blocks] for n in range(QUICK.blocks)]


def used_ways(program: BlockColumns, use: Sequence[float]) -> list[tuple[int, Composition]]:
    """Kind and joints of every way that a use of the columns has."""
    return [
        way
        for column, amount in zip(program.lp.columns, use, strict=False)
        if isinstance(column, BlockColumn) and amount > USED
        for way in zip(program.blocks[column.row], column.ways, strict=True)
    ]


def dealt_out(program: BlockColumns, use: Sequence[float]) -> Proposal:
    """Whole times of ways for every kind: each block's columns in proportion to their use."""
    problem = program.sizes.problem
    columns: list[list[tuple[BlockColumn, float]]] = [[] for _ in program.blocks]
    for column, amount in zip(program.lp.columns, use, strict=False):
        if isinstance(column, BlockColumn) and amount > USED:
            columns[column.row].append((column, amount))
    chosen: list[tuple[tuple[Composition, int], ...]] = [()] * len(problem.members)
    for block, ways in zip(program.blocks, columns, strict=True):
        if not ways:  # the relaxed program stands on a column of no way: nothing to deal out
            continue
        total = sum(amount for _, amount in ways)
        owed = [0.0] * len(ways)
        for at, kind in enumerate(block):
            count = problem.counts[kind]
            shares = [amount / total * count + debt for (_, amount), debt in zip(ways, owed, strict=True)]
            times = rounded_times(shares, count)
            owed = [share - n for share, n in zip(shares, times, strict=True)]
            found: dict[Composition, int] = {}
            for (column, _), n in zip(ways, times, strict=True):
                if n:
                    found[column.ways[at]] = found.get(column.ways[at], 0) + n
            chosen[kind] = tuple(found.items())
    return Proposal(tuple(chosen))
