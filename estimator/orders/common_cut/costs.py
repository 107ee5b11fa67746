"""What a way of cutting takes in bars, length and money, as purchasing pays it: packs and breaks over all quotes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from decimal import Decimal

from estimator.buying import spare_rule, spares_for
from estimator.cutting.instance import offcut_value
from estimator.cutting.records import CutPlan
from estimator.money import Money, total
from estimator.orders.common_cut.groups import CutGroup
from estimator.orders.merge import required_of
from estimator.orders.merged_books import MergedBooks
from estimator.orders.records import Bars, CutCost
from estimator.pricing import unit_cost
from estimator.pricing.rail_offers import kept_places

TENTHS = 10


def bars_of(plan: CutPlan, books: MergedBooks) -> tuple[Bars, ...]:
    """The bars a common plan requires, with the spares that the book's rule adds to bars, if any."""
    counts: Counter[str] = Counter()
    for each in plan.bars_by_length:
        counts[each.part] += each.count
    return tuple(
        Bars(part, books.lengths[part], net + spares_for(net, spare_rule(books.parts[part], books.newest)))
        for part, net in sorted(counts.items())
    )


def cost_of_plan(plan: CutPlan, group: CutGroup, books: MergedBooks) -> CutCost:
    """The common plan."""
    return _cost({each.part: each.count for each in bars_of(plan, books)}, [plan], group, books)


def cost_of_plans(group: CutGroup, books: MergedBooks) -> CutCost:
    """The quotes' own plans, their bars still bought in one order."""
    required: Counter[str] = Counter()
    for member in group.members:
        estimate = member.quote.estimate
        bars = {stock.part for stock in estimate.mounting.stocks}
        required.update(
            {each.line.part: required_of(each.line) for each in estimate.bill.lines if each.line.part in bars}
        )
    return _cost(required, [member.plan for member in group.members], group, books)


def _cost(required: Mapping[str, int], plans: Iterable[CutPlan], group: CutGroup, books: MergedBooks) -> CutCost:
    plans = list(plans)
    prices = {stock.part: stock.price for stock in group.offer}
    worth = sum(
        offcut_value(group.saw, prices[bar.part], bar.offcut) * bar.count for plan in plans for bar in plan.bars
    )
    currency, rounding = books.newest.currency, books.newest.rounding
    value = Money(Decimal(worth).scaleb(-kept_places(books.newest)), currency).rounded(rounding)
    yard = {bar.part for plan in plans for bar in plan.bars if bar.from_yard}
    bought = {part: count for part, count in required.items() if part not in yard}
    return CutCost(
        bars=sum(bought.values()),
        length_mm=sum(books.lengths[part] * count for part, count in bought.items()),
        reusable_mm=sum(plan.reusable_length for plan in plans) / TENTHS,
        splices=sum(plan.splices for plan in plans),
        bars_cost=total((_bought(part, count, books) for part, count in required.items()), currency),
        offcut_value=value,
    )


def _bought(name: str, required: int, books: MergedBooks) -> Money:
    """Cost of that many bars: whole packs, at the break of the ordered quantity, rounded once."""
    part, book = books.parts[name], books.newest
    ordered = -(-required // part.pack_size) * part.pack_size
    return Money(ordered * unit_cost(part, ordered)[0], book.currency).rounded(book.rounding)
