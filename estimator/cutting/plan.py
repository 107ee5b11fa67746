"""The stage: rail runs with their attachments in, bars, pieces, joints and a proven bound out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from estimator.cutting.choosing import Choice, Purchase, choose, splice_count
from estimator.cutting.placing import fill_bars, place_pieces
from estimator.cutting.plain import full_bars, rounded_up
from estimator.cutting.records import BarPattern, BarsOfLength, CutPlan, Effort, JointRules, RunToCut, Saw, Stock
from estimator.cutting.shop import offcut_value
from estimator.cutting.sorting import Sorted, findings_of, longest_bar, sort_runs


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

    Args:
        runs: label, length and attachments of each run, in mm; a run is named by its index here.
        offer: bars and off-cuts in the yard; lengths in tenths of a mm, prices in the smallest unit of money.
        rules: where a rail may be joined.
        saw: kerf, trim, and what an off-cut is worth.
        splice_price: part and labour of one rigid splice, in the smallest unit of money.
        effort: how far to search; by default a fixed amount of work.
        expansion_price: part and labour of one expansion splice; the rule of equal parts fixes how many there are.

    Returns:
        The plan. Runs that no legal joint lets be made are left out of it, named in `refused` and in an error finding.

    Raises:
        Refused: if no bar is on offer, a number is out of range, or the bars on hand do not suffice.

    Source: counting and splicing rules are common practice; the search is ours (see `search.py`, `splicing.py`).

    >>> from estimator.cutting.records import CutRun
    >>> stands = (400.0, 1600.0, 2800.0, 4000.0, 5200.0, 6400.0, 7600.0)
    >>> runs = [CutRun(f"South/A/row {i}/rail 1", 8000.0, stands) for i in (1, 2, 3)]
    >>> bars = [Stock("R6", 60_000, 6000)]
    >>> plan = plan_cuts(runs, bars, JointRules(100.0, 500.0, 2), Saw(kerf=30), 500)
    >>> plan.bars_by_length[0].count, plan.splices, plan.cost, plan.proven_optimal
    (5, 3, 31500, True)

    """
    found = sort_runs(runs, rules, longest_bar(offer, saw))
    purchase = Purchase(tuple(offer), saw, splice_price)
    choice = choose(found, purchase, effort or Effort())
    plan = _plan(runs, found, choice, purchase, rules)
    return with_expansions(plan, expansion_price)


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


def _plan(runs: Sequence[RunToCut], found: Sorted, choice: Choice, purchase: Purchase, rules: JointRules) -> CutPlan:
    saw = purchase.saw
    placed = place_pieces(found, choice.chosen)
    bars = fill_bars(choice.cut.patterns, purchase.offer, saw, placed.pieces)
    splices = splice_count(choice.chosen)
    bought = sum(bar.stock_length * bar.count for bar in bars)
    kept = sum(bar.offcut * bar.count for bar in bars if bar.reusable)
    used = sum(piece.length for piece in placed.pieces)
    return CutPlan(
        bars=bars,
        joints=placed.joints,
        cost=choice.cost,
        lower_bound=choice.bound,
        pieces=len(placed.pieces),
        cuts=sum(bar.cuts * bar.count for bar in bars),
        splices=splices,
        expansion_splices=len(found.expansions),
        bars_by_length=bars_by_length(bars),
        run_labels=tuple(run.label for run in runs),
        bought_length=bought,
        waste_length=bought - used - kept,
        reusable_length=kept,
        bar_cost=sum(bar.price * bar.count for bar in bars),
        splice_cost=splices * purchase.splice_price,
        offcut_value=sum(offcut_value(saw, bar.price, bar.offcut) * bar.count for bar in bars),
        against_rounded_up=rounded_up(purchase.offer, saw, found, purchase.splice_price),
        against_full_bars=full_bars(purchase.offer, saw, found, purchase.splice_price),
        refused=found.refused,
        findings=findings_of(runs, rules, found),
        work=choice.work,
    )


def bars_by_length(bars: Sequence[BarPattern]) -> tuple[BarsOfLength, ...]:
    """Bars of each part, length and price, the longest first."""
    counts: dict[tuple[str, int, int], int] = {}
    for bar in bars:
        key = (bar.part, bar.stock_length, bar.price)
        counts[key] = counts.get(key, 0) + bar.count
    return tuple(
        BarsOfLength(part, length, count, price)
        for (part, length, price), count in sorted(counts.items(), key=lambda item: (-item[0][1], item[0]))
    )
