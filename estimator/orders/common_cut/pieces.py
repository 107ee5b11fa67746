"""The pieces of several quotes, joints untouched, cut from bars in common."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from estimator.cutting import solve_cutting
from estimator.cutting.plan.baselines import full_bars, rounded_up
from estimator.cutting.plan.figures import bar_figures, whole_bar_notes
from estimator.cutting.plan.planning import with_expansions
from estimator.cutting.plan.price_breaks import Attempt, Bought, LeastNeeded, buy_at_breaks, charged
from estimator.cutting.records import (
    BarPattern,
    CutPlan,
    CutRun,
    CuttingProblem,
    Demand,
    Effort,
    Joint,
    Pattern,
    PiecePlace,
    Stock,
)
from estimator.cutting.runs.placement import fill_bars
from estimator.cutting.runs.sorting import longest_bar, sort_runs
from estimator.errors import Refused
from estimator.orders.common_cut.groups import CutGroup


def plan_pieces(group: CutGroup, effort: Effort | None = None, before: Sequence[CutPlan] = ()) -> CutPlan:
    """Every piece of the quotes' own plans from bars in common, at the least cost found.

    ``lower_bound`` is proven for these pieces: with other joints a plan could be cheaper still. A plan made ``before``
    for the same pieces stays where its bars are on offer still and none cheaper is found; what is found without the
    off-cuts that purchasing told is never beaten by a dearer plan with them.
    Refuses (Refused) where the bars on hand do not suffice.
    """
    pieces = _pieces(group)
    counts = Counter(piece.length for piece in pieces)
    demands = tuple(Demand(length, count) for length, count in sorted(counts.items(), reverse=True))
    splices = sum(member.plan.splices for member in group.members) * group.splice_price

    def solve(offer: tuple[Stock, ...], limit: Effort) -> Attempt:
        cut = solve_cutting(CuttingProblem(offer, demands, group.saw), limit)
        return Attempt(cut.patterns, splices, cut.lower_bound + splices, cut.work)

    need = LeastNeeded(sum(piece.length + group.saw.kerf for piece in pieces), splices)
    bought = buy_at_breaks(group.offer, group.saw, need, solve, effort or Effort())
    if group.heaps:
        bought = _cheaper(bought, _without_heaps(group, need, solve, effort or Effort()))
    for patterns in _made_before(before, counts, group.offer):
        known = charged(Attempt(patterns, splices, 0, 0), group.offer, group.saw)
        if known.cost <= bought.cost:
            bought = replace(known, bound=min(bought.bound, known.cost), work=bought.work)
    bars = fill_bars(bought.patterns, bought.offer, group.saw, pieces)
    plan = replace(_plan(group, bars, pieces), cost=bought.cost, lower_bound=bought.bound, work=bought.work)
    return with_expansions(plan, group.expansion_price)


def _without_heaps(group: CutGroup, need: LeastNeeded, solve: Callable[..., Attempt], effort: Effort) -> Bought | None:
    """The plan from the bars that are there without what purchasing told; None where they do not suffice."""
    offer = tuple(stock for stock in group.offer if stock.part not in group.heaps)
    try:
        return buy_at_breaks(offer, group.saw, need, solve, effort)
    except Refused:
        return None


def _cheaper(bought: Bought, without: Bought | None) -> Bought:
    """The cheaper one; the bound is that of all bars on offer."""
    if without is None or bought.cost <= without.cost:
        return bought
    return replace(without, bound=min(bought.bound, without.cost), work=bought.work + without.work)


def _made_before(
    plans: Sequence[CutPlan], counts: Counter[int], offer: Sequence[Stock]
) -> Iterator[tuple[Pattern, ...]]:
    """What of earlier plans makes just these pieces, from no more bars than are on offer now."""
    kinds = {(stock.part, stock.length, stock.is_offcut): at for at, stock in enumerate(offer)}
    for plan in plans:
        bars = [bar for bar in plan.bars if bar.pieces]
        known = [kinds.get((bar.part, bar.stock_length, bar.from_yard), -1) for bar in bars]
        made: Counter[int] = Counter()
        taken: Counter[int] = Counter()
        for at, bar in zip(known, bars, strict=True):
            made.update({length: bar.pieces.count(length) * bar.count for length in set(bar.pieces)})
            taken[at] += bar.count
        enough = all(stock.available is None or taken[at] <= stock.available for at, stock in enumerate(offer))
        if made == counts and -1 not in known and enough:
            yield tuple(Pattern(at, bar.count, bar.pieces) for at, bar in zip(known, bars, strict=True))


def _pieces(group: CutGroup) -> list[PiecePlace]:
    """All pieces in the order of the runs, the runs numbered through."""
    pieces, offset = [], 0
    for member in group.members:
        places = (place for bar in member.plan.bars for places in bar.labels for place in places)
        pieces += [replace(place, run=place.run + offset) for place in places]
        offset += len(member.plan.run_places)
    return sorted(pieces, key=lambda piece: (piece.run, piece.start))


def _joints(group: CutGroup) -> tuple[Joint, ...]:
    joints, offset = [], 0
    for member in group.members:
        joints += [replace(joint, run=joint.run + offset) for joint in member.plan.joints]
        offset += len(member.plan.run_places)
    return tuple(joints)


def _runs(group: CutGroup) -> list[CutRun]:
    return [
        CutRun(replace(run.place, quote=member.quote.number), run.length_mm, tuple(run.attachments_mm), run.joined)
        for member in group.members
        for run in member.quote.estimate.setting_out.runs
    ]


def _plan(group: CutGroup, bars: tuple[BarPattern, ...], pieces: list[PiecePlace]) -> CutPlan:
    """Everything but the cost and its bound."""
    runs, saw, splices = _runs(group), group.saw, sum(member.plan.splices for member in group.members)
    found = sort_runs(runs, group.rules, longest_bar(group.offer, saw))
    return CutPlan(
        **bar_figures(bars, saw),
        joints=_joints(group),
        cost=0,
        lower_bound=0,
        pieces=len(pieces),
        splices=splices,
        expansion_splices=sum(member.plan.expansion_splices for member in group.members),
        run_places=tuple(run.place for run in runs),
        splice_cost=splices * group.splice_price,
        against_rounded_up=rounded_up(group.offer, saw, found, group.splice_price),
        against_full_bars=full_bars(group.offer, saw, found, group.splice_price),
        findings=whole_bar_notes(bars),
    )
