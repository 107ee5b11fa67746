"""One plan over several jobs that are ordered together, beside the plans they would have had apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from estimator.cutting.plan import bars_by_length, plan_cuts
from estimator.cutting.records import BarPattern, CutPlan, CutRun, Effort, JointRules, OrderPlan, RunToCut, Saw, Stock

ADDED_UP = (
    "pieces",
    "cuts",
    "splices",
    "bought_length",
    "waste_length",
    "reusable_length",
    "bar_cost",
    "splice_cost",
    "expansion_splices",
    "expansion_cost",
    "offcut_value",
)


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
        effort: how far to search, for each plan.
        expansion_price: part and labour of one expansion splice.

    Raises:
        Refused: as `plan_cuts`.

    """
    apart = tuple(plan_cuts(runs, offer, rules, saw, splice_price, effort, expansion_price) for _, runs in jobs)
    offsets: list[int] = []
    together: list[CutRun] = []
    for name, runs in jobs:
        offsets.append(len(together))
        together.extend(CutRun(f"{name}/{run.label}", run.length_mm, tuple(run.attachments_mm)) for run in runs)
    common = plan_cuts(together, offer, rules, saw, splice_price, effort, expansion_price)
    return OrderPlan(_never_dearer(common, apart, offsets, offer), apart, tuple(offsets))


def _never_dearer(common: CutPlan, apart: Sequence[CutPlan], offsets: Sequence[int], offer: Sequence[Stock]) -> CutPlan:
    """The common plan; or, should the separate ones together be cheaper and the bars unlimited, those put together."""
    total = sum(plan.cost for plan in apart)
    if common.cost <= total or any(stock.available is not None for stock in offer):
        return common
    return replace(
        common,
        bars=_joined_bars(apart, offsets),
        joints=tuple(
            replace(joint, run=joint.run + offset)
            for plan, offset in zip(apart, offsets, strict=True)
            for joint in plan.joints
        ),
        cost=total,
        bars_by_length=bars_by_length([bar for plan in apart for bar in plan.bars]),
        **{name: sum(getattr(plan, name) for plan in apart) for name in ADDED_UP},
    )


def _joined_bars(apart: Sequence[CutPlan], offsets: Sequence[int]) -> tuple[BarPattern, ...]:
    """The bars of all plans, bars cut alike put together, runs numbered through."""
    groups: dict[tuple[str, int, int, bool, tuple[int, ...]], BarPattern] = {}
    for plan, offset in zip(apart, offsets, strict=True):
        for bar in plan.bars:
            labels = tuple(tuple(replace(p, run=p.run + offset) for p in places) for places in bar.labels)
            key = (bar.part, bar.stock_length, bar.price, bar.from_yard, bar.pieces)
            before = groups.get(key)
            groups[key] = (
                replace(bar, labels=labels)
                if before is None
                else replace(before, count=before.count + bar.count, labels=before.labels + labels)
            )
    return tuple(groups.values())
