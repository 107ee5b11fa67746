"""The choice of compositions: proposals of the splice search and plain ones, each cut out in full; the best is kept."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from estimator.cutting.branch_and_bound.solve import solve_cutting
from estimator.cutting.colgen.relaxation import Budget
from estimator.cutting.instance import Bar, offcut_value, usable_length
from estimator.cutting.records import (
    TENTHS_PER_M,
    CutSolution,
    CuttingProblem,
    Demand,
    Effort,
    Pattern,
    Saw,
    Stock,
    never,
)
from estimator.cutting.runs.compositions import Composition, furthest_first, lengths_of
from estimator.cutting.runs.joint_rules import fewest_splices
from estimator.cutting.runs.placement import Chosen, cuts_and_offcut
from estimator.cutting.runs.sorting import SortedRuns
from estimator.cutting.splicing.bounds.length_bound import RoomNeeded, aggregate_bound
from estimator.cutting.splicing.position_graph.graph import Lattice
from estimator.cutting.splicing.problem import Proposal, SplicingLimits, SplicingProblem, splicing_limits
from estimator.cutting.splicing.quick.search import QuickSearch
from estimator.cutting.splicing.rounding.repair import Repaired, packed_as_rounded, repaired
from estimator.cutting.splicing.search import SplicingSearch
from estimator.cutting.tuning import THOROUGH
from estimator.errors import Refused
from estimator.sentences import say

Elsewhere = Callable[[Sequence[int], Sequence[int], Sequence[int | None], int, int], int]
"""What every choice cheaper than a cost costs at least, from: prices of bars, bars of each stock at least and at most,
that cost, and a bound that is enough."""


@dataclass(frozen=True, slots=True)
class SplicingPlan:
    """Compositions for every kind of member, the cut of all pieces, its cost with splices, and the bound.

    `elsewhere` bounds the cost of every choice at other prices and with so many bars of each stock.
    """

    chosen: Chosen
    cut: CutSolution
    cost: int
    bound: int
    work: int
    elsewhere: Elsewhere | None = None


@dataclass(frozen=True, slots=True)
class Purchase:
    """What the rails are made with: bars, saw, price of a splice."""

    offer: tuple[Stock, ...]
    saw: Saw
    splice_price: int


Beginning = tuple[Chosen, tuple[Pattern, ...]]
"""A choice that is known before, whole and legal, with the bars that it is cut from."""


def choose(found: SortedRuns, purchase: Purchase, effort: Effort, beginning: Beginning | None = None) -> SplicingPlan:
    """The cheapest choice found, with a bound over all legal choices; the search goes on from a `beginning`.

    Raises:
        Refused: if the bars on hand do not suffice for any choice tried.

    """
    if not found.kinds:
        cut = _cut(found, {}, purchase, effort)
        return SplicingPlan({}, cut, cut.cost, cut.lower_bound, cut.work)
    effort = replace(effort, work_limit=min(effort.work_limit, THOROUGH.most_work))
    problem = splicing_problem(found, purchase)
    if effort.memory is None or effort.should_stop is not never:
        return _searched(problem, found, purchase, effort, beginning)
    key = (problem, purchase, effort, beginning and (tuple(beginning[0].items()), beginning[1]))
    kept: SplicingPlan | None = effort.memory.get(key)
    if kept is None:
        kept = effort.memory[key] = _searched(problem, found, purchase, effort, beginning)
    return kept


def _searched(
    problem: SplicingProblem, found: SortedRuns, purchase: Purchase, effort: Effort, beginning: Beginning | None
) -> SplicingPlan:
    budget = Budget(effort)
    one = Effort(max(THOROUGH.cut_work, effort.work_limit // THOROUGH.cut_share), effort.should_stop)
    table = _Evaluation(problem, found, purchase, one, budget)
    search = (QuickSearch if effort.gap else SplicingSearch)(problem, table, budget)
    if beginning is not None:
        search.begin_with(table.begin_with(*beginning))
    for proposal in _plain_proposals(problem, purchase):
        if search.best is None or not budget.spent():
            search.offer(proposal)
    known = _least(problem)
    if search.best is not None:
        known = max(known, search.numbers.bound(search.best))
    bound = search.run(known)
    table.cut_best_again(
        Effort(max(THOROUGH.cut_work, effort.work_limit // THOROUGH.last_share), effort.should_stop), bound
    )
    best = table.best
    if best is None:
        raise table.refusal or Refused(say("The bars on hand do not suffice for the runs"))
    bound = max(bound, search.numbers.bound(best.cost))
    elsewhere = _elsewhere(problem, search)
    return SplicingPlan(best.chosen, best.cut, best.cost, min(bound, best.cost), budget.done, elsewhere)


def _elsewhere(problem: SplicingProblem, search: SplicingSearch) -> Elsewhere | None:
    """What a search has proven, for other prices; nothing where a price is so low that it caps an off-cut's value."""

    def least(prices: Sequence[int], bars: Sequence[int], most: Sequence[int | None], below: int, enough: int) -> int:
        if any(_capped(problem, bar, price) for bar, price in zip(problem.bars, prices, strict=True)):
            return 0
        limits = splicing_limits(problem)
        within = SplicingLimits((*bars, limits.low[-1]), (*most, limits.high[-1]))
        known = search.cuts.at_prices(prices).bound(within, below)
        if known < min(below, enough):
            known = max(known, search.numbers.bound(below, prices, most))
        return known if known >= min(below, enough) else max(known, search.bound_elsewhere(prices, within, below))

    return None if any(_capped(problem, bar, bar.price) for bar in problem.bars) else least


def _capped(problem: SplicingProblem, bar: Bar, price: int) -> bool:
    """Whether the price of a bar keeps down what its off-cuts are worth."""
    return problem.values and offcut_value(problem.saw, 1 << 62, max(bar.length, bar.room)) > price


@dataclass(slots=True)
class _Evaluation:
    """Cuts proposals out in full and keeps the best."""

    problem: SplicingProblem
    found: SortedRuns
    purchase: Purchase
    effort: Effort
    budget: Budget
    best: SplicingPlan | None = None
    refusal: Refused | None = None

    def evaluate(self, proposal: Proposal, lattice: Lattice | None) -> int | None:
        """What a proposal costs when it is cut out in full; None if it is not cheaper or the bars do not suffice.

        One from a lattice is packed as if its rounded lengths were the truth; if that would be cheaper than the best,
        its joints are moved until the bars hold it, or else it is cut again as it then is.
        """
        if lattice is None:
            return self._cut_out(proposal)
        packed = packed_as_rounded(self.problem, proposal, lattice, self.effort)
        if packed is None:
            return self._cut_out(proposal)
        self.budget.spend(packed.work + 1)
        if self.best is not None and packed.cost + self._splices(proposal) >= self.best.cost:
            return None
        slid = repaired(self.problem, proposal, lattice, packed)
        if slid is None:
            return self._cut_out(proposal)
        if not slid.homeless:
            return self._keep(slid)
        housed = self._housed(slid)
        return self._cut_out(slid.proposal) if housed is None else self._keep(housed)

    def _housed(self, slid: Repaired) -> Repaired | None:
        """The choice with bars for the pieces that have none; None where the bars on hand do not suffice."""
        demands = tuple(Demand(length, count) for length, count in sorted(slid.homeless.items(), reverse=True))
        left = []
        for at, stock in enumerate(self.purchase.offer):
            used = sum(pattern.count for pattern in slid.patterns if pattern.stock == at)
            left.append(stock if stock.available is None else replace(stock, available=stock.available - used))
        try:
            cut = solve_cutting(CuttingProblem(tuple(left), demands, self.purchase.saw), self.effort)
        except Refused:
            return None
        self.budget.spend(cut.work)
        return Repaired(slid.proposal, (*slid.patterns, *cut.patterns), {})

    def begin_with(self, chosen: Chosen, patterns: tuple[Pattern, ...]) -> int:
        """Keeps a choice that is known with its bars; its cost."""
        ways = tuple(tuple(_times(chosen[member]).items()) for member in self.problem.members)
        return self._keep(Repaired(Proposal(ways), patterns, {}))

    def incumbent(self) -> tuple[Proposal, tuple[Pattern, ...]] | None:
        """The best choice's compositions and bars."""
        if self.best is None:
            return None
        ways = tuple(self.best.chosen[member] for member in self.problem.members)
        return Proposal(ways), self.best.cut.patterns

    def _keep(self, slid: Repaired) -> int:
        """The price of a choice whose bars are known; the choice is kept if it is the best."""
        price = self._price(slid)
        if self.best is None or price < self.best.cost:
            cut = CutSolution(slid.patterns, price - self._splices(slid.proposal), 0)
            self.best = SplicingPlan(self._chosen(slid.proposal), cut, price, 0, 0)
        return price

    def cut_best_again(self, effort: Effort, bound: int) -> None:
        """Cuts the best choice once more, with more effort, unless it is proven already."""
        best = self.best
        if best is None or best.cost <= bound:
            return
        cut = _cut(self.found, best.chosen, self.purchase, effort)
        self.budget.spend(cut.work)
        cost = cut.cost + splice_count(best.chosen) * self.purchase.splice_price
        if cost < best.cost:
            self.best = SplicingPlan(best.chosen, cut, cost, 0, 0)

    def _cut_out(self, proposal: Proposal) -> int | None:
        chosen = self._chosen(proposal)
        try:
            cut = _cut(self.found, chosen, self.purchase, self.effort)
        except Refused as refused:
            self.refusal = refused
            return None
        self.budget.spend(cut.work)
        cost = cut.cost + splice_count(chosen) * self.purchase.splice_price
        if self.best is None or cost < self.best.cost:
            self.best = SplicingPlan(chosen, cut, cost, 0, 0)
        return cost

    def _chosen(self, proposal: Proposal) -> Chosen:
        return dict(zip(self.found.kinds, proposal.chosen, strict=True))

    def _splices(self, proposal: Proposal) -> int:
        return splice_count(self._chosen(proposal)) * self.purchase.splice_price

    def _price(self, slid: Repaired) -> int:
        """Bars at their price, less the value of their off-cuts, plus splices."""
        return self._splices(slid.proposal) + _bars_cost(self.purchase, slid.patterns)


def _bars_cost(purchase: Purchase, patterns: Sequence[Pattern]) -> int:
    """Bars at their price, less the value of their off-cuts."""
    total = 0
    for pattern in patterns:
        stock = purchase.offer[pattern.stock]
        _, left = cuts_and_offcut(stock, purchase.saw, pattern.pieces)
        total += pattern.count * (stock.price - offcut_value(purchase.saw, stock.price, left))
    return total


def _times(ways: Sequence[tuple[Composition, int]]) -> dict[Composition, int]:
    """How many times each composition is taken."""
    times: dict[Composition, int] = {}
    for joints, count in ways:
        times[joints] = times.get(joints, 0) + count
    return times


def splice_count(chosen: Chosen) -> int:
    """Rigid splices of a choice."""
    return sum(len(joints) * times for ways in chosen.values() for joints, times in ways)


def _cut(found: SortedRuns, chosen: Chosen, purchase: Purchase, effort: Effort) -> CutSolution:
    pieces: dict[int, int] = {length: len(places) for length, places in found.whole.items()}
    for member, ways in chosen.items():
        for joints, times in ways:
            for length in lengths_of(member, joints):
                pieces[length] = pieces.get(length, 0) + times
    demands = tuple(Demand(length, count) for length, count in sorted(pieces.items(), reverse=True))
    return solve_cutting(CuttingProblem(purchase.offer, demands, purchase.saw), effort)


def splicing_problem(found: SortedRuns, purchase: Purchase) -> SplicingProblem:
    """The sorted runs and the bars as the search wants them."""
    saw = purchase.saw
    bars = tuple(
        Bar(max(0, usable_length(stock, saw)) + saw.kerf, stock.price, stock.available, stock.length)
        for stock in purchase.offer
    )
    whole = tuple(sorted(((length, len(places)) for length, places in found.whole.items()), reverse=True))
    counts = tuple(len(places) for places in found.kinds.values())
    fewest = tuple(fewest_splices(member, found.longest) or 0 for member in found.kinds)
    return SplicingProblem(bars, saw, whole, tuple(found.kinds), counts, purchase.splice_price, found.longest, fewest)


def _least(problem: SplicingProblem) -> int:
    """A bound from lengths alone: what whole bars (parts of them where off-cuts have a value) and splices can cost."""
    saw = problem.saw
    splices = sum(few * count for few, count in zip(problem.fewest, problem.counts, strict=True))
    room = sum((length + saw.kerf) * count for length, count in problem.whole)
    room += sum((m.length + saw.kerf) * n for m, n in zip(problem.members, problem.counts, strict=True))
    need = RoomNeeded(room + splices * saw.kerf, saw.kerf, splices, problem.splice)
    return _least_with_values(problem, need) if problem.values else aggregate_bound(problem.bars, need, 0)


def _least_with_values(problem: SplicingProblem, need: RoomNeeded) -> int:
    """As if all that is left of bars, however short, had its value: what the needed room costs on the best bars."""
    value = problem.saw.offcut_value_per_m
    offers = [bar for bar in problem.bars if bar.room > 0 and bar.available != 0]
    net = [(bar.price * TENTHS_PER_M - value * bar.room, bar.room) for bar in offers]
    if not net or min(price for price, _ in net) < 0:
        return need.splices * need.splice_price
    rates = (need.room * price // room for price, room in net)
    return (need.room * value + min(rates)) // TENTHS_PER_M + need.splices * need.splice_price


def _plain_proposals(problem: SplicingProblem, purchase: Purchase) -> list[Proposal]:
    """Every member in the same plain way: full bars of one stock first, then the remainder."""
    proposals = []
    for length in sorted({usable_length(stock, purchase.saw) for stock in purchase.offer}, reverse=True):
        chosen = []
        for member, count in zip(problem.members, problem.counts, strict=True):
            ways = furthest_first(member, problem.longest, [length]) if length > 0 else []
            if ways:
                chosen.append(((ways[0], count),))
        if len(chosen) == len(problem.members):
            proposals.append(Proposal(tuple(chosen)))
    return proposals
