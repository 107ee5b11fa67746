"""One plan over several jobs that are ordered together, beside the plans they would have had apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from estimator.cutting.plan.figures import WHOLE_BARS, bar_figures, whole_bar_notes
from estimator.cutting.plan.planning import plan_cuts
from estimator.cutting.plan.price_breaks import Attempt, charged
from estimator.cutting.records import (
    CutPlan,
    CutRun,
    Effort,
    JointRules,
    OrderPlan,
    Pattern,
    PiecePlace,
    RunToCut,
    Saw,
    Stock,
)
from estimator.cutting.runs.placement import bar_pattern

ADDED_UP = ("pieces", "splices", "splice_cost", "expansion_splices", "expansion_cost")


def plan_order(
    jobs: Sequence[tuple[str, Sequence[RunToCut]]],
    offer: Sequence[Stock],
    rules: JointRules,
    saw: Saw,
    splice_price: int,
    effort: Effort | None = None,
    expansion_price: int = 0,
) -> OrderPlan:
    """Cuts the runs of several jobs together, and each job apart, with the saving of the first over the second.

    Args:
        jobs: (name, runs) of each job; the common plan's runs are numbered through, `run_offsets` says from where.
        offer: bars on offer, as for `plan_cuts`; where they are limited, each separate plan may take them all.
        rules: where a rail may be joined.
        saw: kerf, trim, value of off-cuts.
        splice_price: part and labour of one splice.
        effort: how far to search, for each plan; plans made before are common ones.
        expansion_price: part and labour of one expansion splice.

    Raises:
        Refused: as `plan_cuts`.

    """
    alone = replace(effort, before=()) if effort else None
    apart = tuple(plan_cuts(runs, offer, rules, saw, splice_price, alone, expansion_price) for _, runs in jobs)
    offsets: list[int] = []
    together: list[CutRun] = []
    for name, runs in jobs:
        offsets.append(len(together))
        together.extend(
            CutRun(replace(run.place, quote=name), run.length_mm, tuple(run.attachments_mm)) for run in runs
        )
    common = plan_cuts(together, offer, rules, saw, splice_price, effort, expansion_price)
    return OrderPlan(_never_dearer(common, apart, offsets, (tuple(offer), saw)), apart, tuple(offsets))


def _never_dearer(
    common: CutPlan, apart: Sequence[CutPlan], offsets: Sequence[int], bought_from: tuple[tuple[Stock, ...], Saw]
) -> CutPlan:
    """The common plan; or, should the separate ones bought together be cheaper and bars unlimited, those."""
    offer, saw = bought_from
    if common.cost <= sum(plan.cost for plan in apart) and not any(stock.breaks for stock in offer):
        return common
    if any(stock.available is not None for stock in offer):
        return common
    joined = _joined_bars(apart, offsets, offer)
    patterns = tuple(Pattern(at, len(labels), pieces) for (at, pieces), labels in joined.items())
    sums = {name: sum(getattr(plan, name) for plan in apart) for name in ADDED_UP}
    bought = charged(Attempt(patterns, sums["splice_cost"] + sums["expansion_cost"], 0, 0), offer, saw)
    if common.cost <= bought.cost:
        return common
    bars = tuple(
        bar_pattern(each, bought.offer[each.stock], saw, joined.get((each.stock, each.pieces), ((),) * each.count))
        for each in bought.patterns
    )
    return replace(
        common,
        joints=tuple(
            replace(joint, run=joint.run + offset)
            for plan, offset in zip(apart, offsets, strict=True)
            for joint in plan.joints
        ),
        cost=bought.cost,
        findings=(*(each for each in common.findings if each.code != WHOLE_BARS), *whole_bar_notes(bars)),
        **bar_figures(bars, saw),
        **sums,
    )


def _joined_bars(
    apart: Sequence[CutPlan], offsets: Sequence[int], offer: Sequence[Stock]
) -> dict[tuple[int, tuple[int, ...]], tuple[tuple[PiecePlace, ...], ...]]:
    """The bars of all plans by kind and pieces, runs numbered through; bars that stay whole are left out."""
    kinds = {(stock.part, stock.length, stock.is_offcut): at for at, stock in reversed(list(enumerate(offer)))}
    joined: dict[tuple[int, tuple[int, ...]], tuple[tuple[PiecePlace, ...], ...]] = {}
    for plan, offset in zip(apart, offsets, strict=True):
        for bar in plan.bars:
            if bar.pieces:
                labels = tuple(tuple(replace(p, run=p.run + offset) for p in places) for places in bar.labels)
                key = kinds[bar.part, bar.stock_length, bar.from_yard], bar.pieces
                joined[key] = (*joined.get(key, ()), *labels)
    return joined
