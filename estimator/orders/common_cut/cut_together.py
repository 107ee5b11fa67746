"""One cut plan over all quotes of an order that share a rail, and what it saves over a plan for each.

The pieces stay as the quotes' own plans cut them, so that every joint stands where the setting-out sheets say and
no splice is added; only the bar a piece comes from changes. Where purchasing lets the joints move, runs are composed
again; a plan that needs more splices than a quote has ordered is not taken. Own decision, no source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace

from estimator.cutting.plan.orders import plan_order
from estimator.cutting.records import CutPlan, Effort
from estimator.errors import Refused
from estimator.orders.common_cut.costs import bars_of, cost_of_plan, cost_of_plans
from estimator.orders.common_cut.groups import CutGroup, cut_groups
from estimator.orders.common_cut.pieces import plan_pieces
from estimator.orders.common_cut.sheets import cut_sheet
from estimator.orders.merged_books import MergedBooks, merge_books
from estimator.orders.records import CommonCut, OffcutsOnHand, OrderedQuote

MOVING = Effort(work_limit=4_000)
"""How far plans with other joints are searched, each of them."""


def cut_together(
    quotes: Sequence[OrderedQuote],
    move_joints: bool = False,
    effort: Effort | None = None,
    before: tuple[CutPlan, ...] = (),
    watch: Callable[[int, int], None] | None = None,
    offcuts: Sequence[OffcutsOnHand] = (),
) -> tuple[CommonCut, ...]:
    """A common cut plan for every rail that two or more quotes share, or of which off-cuts are on hand.

    Args:
        quotes: the accepted quotes of one order.
        move_joints: whether runs may be joined elsewhere than their setting-out sheets say.
        effort: how far to search, for each plan.
        before: the common plans of an order that is changed; those of the same pieces stay where nothing cheaper is
            found, and with joints moved none comes out dearer, as far as they still stand.
        watch: hears how many rails are done, and of how many, before the first and after each.
        offcuts: those on hand in the yard; each heap is cut by no more than there are.

    Give the result to ``make_order_lists``. Other parts are ordered as quoted. A plan that saves nothing, and one that
    the bars on hand do not suffice for, comes back with ``used`` False and the reason.
    Refuses (Refused) no quote at all and mixed currencies.
    """
    books = merge_books(quotes, offcuts)
    moving = replace(effort or MOVING, before=before) if move_joints else None
    groups = cut_groups(quotes, books)
    cuts: list[CommonCut] = []
    for group in groups:
        if watch is not None:
            watch(len(cuts), len(groups))
        cuts.append(_common(group, books, (moving, effort), before))
    if watch is not None and groups:
        watch(len(groups), len(groups))
    return tuple(cuts)


def _common(
    group: CutGroup, books: MergedBooks, efforts: tuple[Effort | None, Effort | None], before: Sequence[CutPlan]
) -> CommonCut:
    moving, effort = efforts
    why: list[str] = []
    plan, moved = None, False
    try:
        plan = plan_pieces(group, effort, before)
    except Refused as fault:
        why.append(f"the quotes' pieces cannot be cut together: {fault}")
    if moving is not None:
        plan, moved = _better(group, plan, moving, why)
    if plan is None:
        return _not_used(group, books, why)
    together, apart = cost_of_plan(plan, group, books), cost_of_plans(group, books)
    used = together.net < apart.net or _beyond_hand(group)
    why.append(_verdict(used, together.net < apart.net))
    return CommonCut(
        rail=group.rail,
        quotes=group.quotes,
        bars=bars_of(plan, books),
        plan=plan,
        run_offsets=_offsets(group),
        joints_moved=moved,
        together=together,
        apart=apart,
        used=used,
        why=tuple(why),
        sheet=cut_sheet(group, books),
    )


def _better(group: CutGroup, plan: CutPlan | None, effort: Effort, why: list[str]) -> tuple[CutPlan | None, bool]:
    """The plan with joints moved, where it is cheaper and no quote needs a splice more than it has ordered."""
    jobs = [(member.quote.number, member.quote.estimate.setting_out.runs) for member in group.members]
    try:
        prices = group.splice_price, effort, group.expansion_price
        free = plan_order(jobs, group.offer, group.rules, group.saw, *prices).together
    except Refused as fault:
        why.append(f"no plan with other joints: {fault}")
        return plan, False
    if free.refused:
        why.append("no plan with other joints: some runs cannot be made from these bars")
        return plan, False
    if plan is not None and free.cost >= plan.cost:
        why.append("moving the joints saves nothing more")
        return plan, False
    grown = _grown(group, free)
    if grown:
        why.append(f"moving the joints would need more splices than were ordered for {', '.join(grown)}")
        return plan, False
    return free, True


def _grown(group: CutGroup, plan: CutPlan) -> list[str]:
    """The quotes for which a plan needs more splices than their own."""
    offsets = (*_offsets(group), len(plan.run_places))
    joints = Counter(joint.run for joint in plan.joints if joint.kind == "splice")
    return [
        member.quote.number
        for at, member in enumerate(group.members)
        if sum(joints[run] for run in range(offsets[at], offsets[at + 1])) > member.plan.splices
    ]


def _offsets(group: CutGroup) -> tuple[int, ...]:
    """Where each quote's runs begin in the common plan."""
    starts = [0]
    for member in group.members[:-1]:
        starts.append(starts[-1] + len(member.plan.run_places))
    return tuple(starts)


def _beyond_hand(group: CutGroup) -> bool:
    """Whether the separate plans take more of a limited bar than there is, so that they cannot all be carried out."""
    taken: Counter[str | int] = Counter()
    for member in group.members:
        taken.update({each.part: each.count for each in member.plan.bars_by_length})
        yard = (bar for bar in member.plan.bars if bar.from_yard)
        for bar in yard:
            taken[bar.stock_length] += bar.count
    return any(
        stock.available is not None
        and taken[stock.length if stock.part in group.heaps else stock.part] > stock.available
        for stock in group.offer
    )


def _verdict(used: bool, cheaper: bool) -> str:
    if cheaper:
        return "cheaper than a plan for each"
    return "the separate plans take more than is on hand" if used else "cutting together saves nothing"


def _not_used(group: CutGroup, books: MergedBooks, why: Sequence[str]) -> CommonCut:
    """The separate plans stand; the first quote's own plan fills the place of a common one."""
    apart = cost_of_plans(group, books)
    first = replace(group.members[0].plan)
    return CommonCut(group.rail, group.quotes, (), first, _offsets(group), False, apart, apart, False, tuple(why))
