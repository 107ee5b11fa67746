"""The choice of compositions: proposals of the splice search and plain ones, each cut out in full; the best is kept."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import gcd

import numpy as np

from estimator.cutting.aggregate import Need, aggregate_bound
from estimator.cutting.bounds import round_up
from estimator.cutting.compositions import cheapest, furthest_first, lengths_of, price_by_length
from estimator.cutting.joints import Member
from estimator.cutting.placing import Chosen
from estimator.cutting.records import TENTHS_PER_M, CutSolution, CuttingProblem, Demand, Effort, Saw, Stock
from estimator.cutting.relaxation import Budget
from estimator.cutting.shop import Bar, Shop, usable_length
from estimator.cutting.solve import solve_cutting
from estimator.cutting.sorting import Sorted
from estimator.cutting.splicing import Proposal, SpliceProblem, SpliceSearch
from estimator.errors import Refused

SPLICE_WORK = 1_500
COARSEST = 3_000
FINEST = 8_000


@dataclass(frozen=True, slots=True)
class Choice:
    """Compositions for every kind of member, the cut of all pieces, its cost with splices, and the bound."""

    chosen: Chosen
    cut: CutSolution
    cost: int
    bound: int
    work: int


@dataclass(frozen=True, slots=True)
class Purchase:
    """What the rails are made with: bars, saw, price of a splice."""

    offer: tuple[Stock, ...]
    saw: Saw
    splice_price: int


def choose(found: Sorted, purchase: Purchase, effort: Effort) -> Choice:
    """The cheapest choice found, with a bound over all legal choices.

    Raises:
        Refused: if the bars on hand do not suffice for any choice tried.

    """
    if not found.kinds:
        cut = _cut(found, {}, purchase, effort)
        return Choice({}, cut, cut.cost, cut.lower_bound, cut.work)
    members = tuple(found.kinds)
    problem = _splice_problem(found, purchase)
    budget = Budget(Effort(min(effort.work_limit, SPLICE_WORK), effort.should_stop))
    spliced = SpliceSearch(problem, budget).run()
    bound = _sharpened(problem, purchase, spliced.bound)
    best: Choice | None = None
    refusal: Refused | None = None
    for proposal in dict.fromkeys([*spliced.proposals, *_plain_proposals(problem, purchase)]):
        chosen = dict(zip(members, proposal.chosen, strict=True))
        splices = splice_count(chosen) * purchase.splice_price
        try:
            cut = _cut(found, chosen, purchase, effort)
        except Refused as refused:
            refusal = refused
            continue
        budget.spend(cut.work)
        if best is None or cut.cost + splices < best.cost:
            best = Choice(chosen, cut, cut.cost + splices, bound, budget.done)
        if best.cost <= bound:
            break
    if best is None:
        raise refusal or Refused("The bars on hand do not suffice for the runs")
    return Choice(best.chosen, best.cut, best.cost, min(bound, best.cost), budget.done)


def splice_count(chosen: Chosen) -> int:
    """Rigid splices of a choice."""
    return sum(len(joints) * times for ways in chosen.values() for joints, times in ways)


def _cut(found: Sorted, chosen: Chosen, purchase: Purchase, effort: Effort) -> CutSolution:
    pieces: dict[int, int] = {length: len(places) for length, places in found.whole.items()}
    for member, ways in chosen.items():
        for joints, times in ways:
            for length in lengths_of(member, joints):
                pieces[length] = pieces.get(length, 0) + times
    demands = tuple(Demand(length, count) for length, count in sorted(pieces.items(), reverse=True))
    return solve_cutting(CuttingProblem(purchase.offer, demands, purchase.saw), effort)


def _splice_problem(found: Sorted, purchase: Purchase) -> SpliceProblem:
    """The problem in saw units: as coarse as lengths allow without loss, never finer than is quick."""
    saw = purchase.saw
    rooms = [max(0, usable_length(stock, saw)) + saw.kerf for stock in purchase.offer]
    whole = tuple(sorted(((length, len(places)) for length, places in found.whole.items()), reverse=True))
    values = saw.reusable_length is not None and saw.offcut_value_per_m > 0
    unit = gcd(*rooms, *(length + saw.kerf for length, _ in whole))
    widest = max(rooms)
    unit = _handy_unit(gcd(*rooms) if values and widest // unit > FINEST else unit, widest, exact=values)
    sizes: dict[int, int] = {}
    for length, count in whole:
        size = min(-(-(length + saw.kerf) // unit), widest // unit)
        sizes[size] = sizes.get(size, 0) + count
    bars = tuple(
        Bar(room // unit, stock.price, stock.available, stock.length)
        for room, stock in zip(rooms, purchase.offer, strict=True)
    )
    order = tuple(sorted(sizes, reverse=True))
    shop = Shop(bars, order, tuple(sizes[s] for s in order), (), unit, saw, values, widest // unit)
    counts = tuple(len(places) for places in found.kinds.values())
    return SpliceProblem(shop, whole, tuple(found.kinds), counts, purchase.splice_price, found.longest)


def _handy_unit(common: int, widest: int, *, exact: bool) -> int:
    """A unit of length that divides `common` and the widest bar into thousands; a coarser one where none is near."""
    for parts in range(1, common + 1):
        if common % parts == 0 and widest * parts // common >= COARSEST:
            if exact or widest * parts // common <= FINEST:
                return common // parts
            break
    return max(1, -(-widest // FINEST))


def _sharpened(problem: SpliceProblem, purchase: Purchase, bound: int) -> int:
    """The bound raised to what whole bars and whole splices can cost.

    An off-cut is worth no more than its length at the value of a metre. So a plan costs no less than its bars, each
    less the value of its whole length, with the value of the length the pieces take on top.
    """
    saw = purchase.saw
    step = max(1, gcd(purchase.splice_price, *(stock.price for stock in purchase.offer)))
    splices = sum(
        fewest_splices(member, problem.longest) * count
        for member, count in zip(problem.members, problem.counts, strict=True)
    )
    room = sum((length + saw.kerf) * count for length, count in problem.whole)
    room += sum((m.length + saw.kerf) * n for m, n in zip(problem.members, problem.counts, strict=True))
    room += splices * saw.kerf
    bars = [
        Bar(usable_length(stock, saw) + saw.kerf, stock.price, stock.available, stock.length)
        for stock in purchase.offer
    ]
    need = Need(room, saw.kerf, splices, purchase.splice_price)
    if not problem.shop.values:
        return aggregate_bound(bars, need, round_up(bound, step))
    value = saw.offcut_value_per_m
    worth = [-(-value * bar.room // TENTHS_PER_M) for bar in bars]
    if any(bar.price <= most for bar, most in zip(bars, worth, strict=True)):
        return bound
    used = value * room // TENTHS_PER_M
    net = [replace(bar, price=bar.price - most) for bar, most in zip(bars, worth, strict=True)]
    return used + aggregate_bound(net, need, max(0, bound - used))


def fewest_splices(member: Member, longest: int) -> int:
    """The fewest rigid splices with which the member can be made (short pieces allowed, so never too many)."""
    free = price_by_length(np.zeros(2, dtype=np.int64), longest, 0, longest, up=False)
    found = cheapest(member, free, 1, 1 << 40)
    return 0 if found is None else found[0]


def _plain_proposals(problem: SpliceProblem, purchase: Purchase) -> list[Proposal]:
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
