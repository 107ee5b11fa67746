"""The stage: rail runs with their attachments in, bars, pieces, joints and a proven bound out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from estimator.cutting.plan.baselines import full_bars, rounded_up
from estimator.cutting.plan.earlier_plans import EarlierPlan, recalled
from estimator.cutting.plan.figures import bar_figures, whole_bar_notes
from estimator.cutting.plan.price_breaks import Attempt, Bought, LeastNeeded, buy_at_breaks, charged
from estimator.cutting.records import CutPlan, Effort, JointRules, Kept, RunToCut, Saw, Stock
from estimator.cutting.runs.placement import fill_bars, place_pieces
from estimator.cutting.runs.sorting import SortedRuns, findings_of, longest_bar, longest_without_limit, sort_runs
from estimator.cutting.splicing.choice import Purchase, choose, splice_count
from estimator.errors import Refused


def plan_cuts(
    runs: Sequence[RunToCut],
    offer: Sequence[Stock],
    rules: JointRules,
    saw: Saw,
    splice_price: int,
    effort: Effort | None = None,
    expansion_price: int = 0,
) -> CutPlan:
    """Cuts all runs from the bars on offer at the least cost found: bars, plus splices, less off-cuts of value.

    Where prices fall with the number of bars, the plan is made at the prices of the numbers it takes.

    Args:
        runs: label, length and attachments of each run, in mm; a run is named by its index here.
        offer: bars and off-cuts in the yard; lengths in tenths of a mm, prices in the smallest unit of money.
        rules: where a rail may be joined.
        saw: kerf, trim, and what an off-cut is worth.
        splice_price: part and labour of one rigid splice, in the smallest unit of money.
        effort: how far to search; by default a fixed amount of work. Plans made before are kept as far as they stand
            where nothing cheaper is found, at the same cost, too.
        expansion_price: part and labour of one expansion splice; the rule of equal parts fixes how many there are.

    Returns:
        The plan. Runs that no legal joint lets be made are left out of it, named in `refused` and in an error finding.
        Runs that only bars limited in number hold in one piece stay whole; where these do not suffice, they may be
        spliced, and the bound is that of all such plans.

    Raises:
        Refused: if no bar is on offer, a number is out of range, or the bars on hand do not suffice.

    Source: counting and splicing rules are common practice; the search is ours (`branch_and_bound`, `splicing`).

    >>> from estimator.cutting.records import CutRun
    >>> stands = (400.0, 1600.0, 2800.0, 4000.0, 5200.0, 6400.0, 7600.0)
    >>> runs = [CutRun(f"South/A/row {i}/rail 1", 8000.0, stands) for i in (1, 2, 3)]
    >>> bars = [Stock("R6", 60_000, 6000)]
    >>> plan = plan_cuts(runs, bars, JointRules(100.0, 500.0, 2), Saw(kerf=30), 500)
    >>> plan.bars_by_length[0].count, plan.splices, plan.cost, plan.proven_optimal
    (5, 3, 31500, True)

    """
    longest = longest_bar(offer, saw)
    purchase, limit = Purchase(tuple(offer), saw, splice_price), effort or Effort()
    found = sort_runs(runs, rules, longest)
    try:
        bought, kept = _never_dearer(runs, found, purchase, limit)
    except Refused:
        freer = sort_runs(runs, rules, longest, longest_without_limit(offer, saw))
        if freer.kinds.keys() == found.kinds.keys():
            raise
        found = freer
        bought, kept = _never_dearer(runs, found, purchase, limit)
    plan = replace(_plan(runs, found, bought, purchase, rules), kept=kept)
    return with_expansions(plan, expansion_price)


def _never_dearer(
    runs: Sequence[RunToCut], found: SortedRuns, purchase: Purchase, effort: Effort
) -> tuple[Bought, Kept]:
    """The cheapest way found, or what stands of the cheapest plan made before where that costs no more."""
    every = (recalled(plan, runs, found, purchase.offer, purchase.saw) for plan in effort.before)
    ways = [(_recharged(each, purchase), each) for each in every if each is not None]
    before = min(ways, key=lambda way: (way[0].cost, not way[1].whole), default=None)
    bought = _bought(found, purchase, replace(effort, before=()), before[1] if before else None)
    if before is None or bought.cost < before[0].cost:
        return bought, "none"
    kept, earlier = before
    return replace(kept, bound=min(bought.bound, kept.cost), work=bought.work), "whole" if earlier.whole else "part"


def _recharged(earlier: EarlierPlan, purchase: Purchase) -> Bought:
    """A plan made before at the prices that its bars and splices are charged at now."""
    joints = splice_count(earlier.chosen) * purchase.splice_price
    return charged(Attempt(earlier.patterns, joints, 0, 0, earlier.chosen), purchase.offer, purchase.saw)


def _bought(found: SortedRuns, purchase: Purchase, effort: Effort, earlier: EarlierPlan | None) -> Bought:
    """The cheapest way found to make what was sorted, at the prices of the numbers it takes."""
    offer, saw, splice_price = purchase.offer, purchase.saw, purchase.splice_price

    def solve(bars: tuple[Stock, ...], limit: Effort) -> Attempt:
        begin = (earlier.chosen, earlier.patterns) if earlier and len(bars) == len(offer) else None
        choice = choose(found, Purchase(bars, saw, splice_price), limit, begin)
        joints = choice.cost - choice.cut.cost
        return Attempt(choice.cut.patterns, joints, choice.bound, choice.work, choice.chosen, choice.elsewhere)

    return buy_at_breaks(offer, saw, _need(found, saw, splice_price), solve, effort)


def _need(found: SortedRuns, saw: Saw, splice_price: int) -> LeastNeeded:
    """The length that all pieces take at least, each with its kerf, and what the fewest splices cost."""
    splices = sum((-(-member.length // found.longest) - 1) * len(places) for member, places in found.kinds.items())
    length = sum((length + saw.kerf) * len(places) for length, places in found.whole.items())
    length += sum((member.length + saw.kerf) * len(places) for member, places in found.kinds.items())
    return LeastNeeded(length + splices * saw.kerf, splices * splice_price)


def with_expansions(plan: CutPlan, price: int) -> CutPlan:
    """The plan with its expansion splices at their price: a constant in cost, bound and plain methods alike."""
    cost = plan.expansion_splices * price
    ways = [
        replace(way, cost=way.cost + cost) if way.possible else way
        for way in (plan.against_rounded_up, plan.against_full_bars)
    ]
    return replace(
        plan,
        cost=plan.cost + cost,
        lower_bound=plan.lower_bound + cost,
        expansion_cost=plan.expansion_cost + cost,
        against_rounded_up=ways[0],
        against_full_bars=ways[1],
    )


def _plan(
    runs: Sequence[RunToCut], found: SortedRuns, bought: Bought, purchase: Purchase, rules: JointRules
) -> CutPlan:
    saw = purchase.saw
    placed = place_pieces(found, bought.made)
    bars = fill_bars(bought.patterns, bought.offer, saw, placed.pieces)
    splices = splice_count(bought.made)
    return CutPlan(
        **bar_figures(bars, saw),
        joints=placed.joints,
        cost=bought.cost,
        lower_bound=bought.bound,
        pieces=len(placed.pieces),
        splices=splices,
        expansion_splices=len(found.expansions),
        run_places=tuple(run.place for run in runs),
        splice_cost=splices * purchase.splice_price,
        against_rounded_up=rounded_up(purchase.offer, saw, found, purchase.splice_price),
        against_full_bars=full_bars(purchase.offer, saw, found, purchase.splice_price),
        refused=found.refused,
        findings=(*findings_of(runs, rules, found), *whole_bar_notes(bars)),
        work=bought.work,
    )
