"""A change of an order: what was ordered is kept, the difference to what is wanted now is ordered, cancelled, returned.

The whole order is made again with the revised quote in it, as if nothing had been ordered yet; what that says of each
part, less what is on order already, is the change. Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import timedelta
from decimal import Decimal

from estimator.errors import Finding
from estimator.money import Money, Rounding, total, zero
from estimator.orders.deliveries.allotting import Groups, allotted, first_day, site_groups
from estimator.orders.records import OUR_STOCK, Changing, OrderLine, OrderList, OrderLists, QuoteShare
from estimator.orders.yard import as_stock
from estimator.places import Place
from estimator.pricebook import Part
from estimator.pricing import unit_cost
from estimator.sentences import Figure, Sentence, figure, joined, say


@dataclass(frozen=True, slots=True)
class EarlierOrder:
    """An order that was made before, or an earlier change of it."""

    number: str
    lists: OrderLists


def change_of(
    earlier: Sequence[EarlierOrder], whole: OrderLists, parts: Mapping[str, Part], delivered: Set[str]
) -> OrderLists:
    """The change of an order, per supplier.

    Args:
        earlier: the order and its changes so far, the first one first.
        whole: the order made again with all quotes as they stand now.
        parts: the parts of their pricebooks, for the price of pieces ordered besides what has been delivered.
        delivered: suppliers whose earlier deliveries are at the site; what is not needed is then returned.

    Every line's ``ordered`` is the difference: below nothing where less is wanted. Pieces more of an order that is not
    delivered yet count towards the price break of the whole quantity; what is taken back counts at its own price. A
    supplier of whom nothing is on order yet gets an order. What stock alone gives more, or gets back, is no line of a
    supplier and stands by itself.
    """
    before, told = _ordered_before(earlier), _told_last(earlier)
    wanted = {each.supplier.supplier: each for each in whole.lists}
    heads = {each.supplier.supplier: each for order in earlier for each in order.lists.lists} | wanted
    lists = []
    for supplier, head in heads.items():
        if supplier not in before:  # nothing of theirs is on order yet
            lists.append(replace(head, lines=tuple(_besides_stock(line, told.get(line.part)) for line in head.lines)))
            continue
        on_order, now = before[supplier], wanted.get(supplier)
        kept_back = [line for line in (whole.from_stock.lines if whole.from_stock else ()) if line.part in on_order]
        lines = _lines(on_order, (now, kept_back), parts, delivered=supplier in delivered)
        lines = tuple(_besides_stock(line, told.get(line.part)) for line in lines)
        if lines:
            lists.append(_changed(head, lines, earlier))
    kept = tuple(each for each in whole.findings if each.code != "order_below_minimum")
    alone = _from_stock_alone(told, whole, {line.part for each in lists for line in each.lines})
    known = (*whole.moving, *(each for order in earlier[::-1] for each in order.lists.moving))
    stock = _stock_list(known[0], alone, earlier) if alone else None
    return replace(whole, lists=tuple(lists), findings=(_said(earlier, lists, alone), *kept), from_stock=stock)


@dataclass(frozen=True, slots=True)
class _OnOrder:
    """What is on order of a part: pieces, money, and the line it was last ordered with."""

    pieces: int
    cost: Money
    line: OrderLine


def _ordered_before(earlier: Sequence[EarlierOrder]) -> dict[str, dict[str, _OnOrder]]:
    """What is on order, by supplier and part."""
    found: dict[str, dict[str, _OnOrder]] = {}
    for order in earlier:
        for each in order.lists.lists:
            parts = found.setdefault(each.supplier.supplier, {})
            for line in each.lines:
                so_far = parts.get(line.part)
                pieces = line.ordered + (so_far.pieces if so_far else 0)
                cost = line.cost + so_far.cost if so_far else line.cost
                parts[line.part] = _OnOrder(pieces, cost, line)
    return found


def _told_last(earlier: Sequence[EarlierOrder]) -> dict[str, OrderLine]:
    """The line that each part was last told with: of what is required for whom, and what stock gives of it."""
    told: dict[str, OrderLine] = {}
    for order in earlier:
        told |= {line.part: as_stock(line) for line in order.lists.from_yard}
        told |= {line.part: line for each in order.lists.moving for line in each.lines}
    return told


def _besides_stock(line: OrderLine, was: OrderLine | None) -> OrderLine:
    """A line with what the order took from stock before, and by how much each quote's requirement differs."""
    if was is None:
        return line
    return replace(line, stock_before=was.from_stock, share_changes=_share_changes(was.shares, line.shares))


def _from_stock_alone(told: Mapping[str, OrderLine], whole: OrderLists, ordered: Set[str]) -> tuple[OrderLine, ...]:
    """What differs of stock where nothing else differs, as lines that order nothing."""
    now = {line.part: line for each in whole.moving for line in each.lines}
    lines = []
    for part in sorted({*told, *now} - ordered):
        was, line = told.get(part), now.get(part)
        taken = was.from_stock if was else 0
        if (line.from_stock if line else 0) != taken:
            known = line or was
            assert known is not None
            shares = line.shares if line else ()
            lines.append(
                replace(
                    known,
                    shares=shares,
                    required=line.required if line else 0,
                    sawn=line.sawn if line else (),
                    from_stock=line.from_stock if line else 0,
                    stock_before=taken,
                    share_changes=_share_changes(was.shares if was else (), shares),
                    before=was.after if was else None,
                    packs=0,
                    ordered=0,
                    cost=zero(known.cost.currency),
                    mass_kg=0.0,
                    order_by=None,
                    change="",
                )
            )
    return tuple(lines)


def _stock_list(head: OrderList, lines: tuple[OrderLine, ...], earlier: Sequence[EarlierOrder]) -> OrderList:
    return replace(
        head,
        supplier=OUR_STOCK,
        lines=lines,
        total=zero(head.currency),
        mass_kg=0.0,
        order_by=None,
        changes=tuple(order.number for order in earlier),
    )


def _lines(
    before: Mapping[str, _OnOrder],
    whole: tuple[OrderList | None, Sequence[OrderLine]],
    parts: Mapping[str, Part],
    *,
    delivered: bool,
) -> tuple[OrderLine, ...]:
    """A supplier's lines that differ; ``whole``: its list now, and what of its parts stock gives alone now."""
    wanted, kept_back = whole
    now = {line.part: line for line in (*(wanted.lines if wanted else ()), *kept_back)}
    lines = []
    for part in sorted({*before, *now}):
        was = before[part].pieces if part in before else 0
        difference = (now[part].ordered if part in now else 0) - was
        if difference:
            rounding: Rounding = wanted.rounding if wanted else "half_up"
            line = _line(before.get(part), now.get(part), difference, delivered=delivered)
            if delivered and difference > 0 and part in parts:
                line = replace(line, unit_cost=unit_cost(parts[part], difference)[0])
            amount = Money(difference * line.unit_cost, line.cost.currency).rounded(rounding)
            lines.append(replace(line, cost=amount))
    return tuple(lines)


def _line(was: _OnOrder | None, now: OrderLine | None, difference: int, *, delivered: bool) -> OrderLine:
    line = now or (was.line if was else None)
    assert line is not None
    change: Changing = "more" if difference > 0 else "returned" if delivered else "less"
    taken_back = was is not None and difference < 0
    pieces = was.pieces if was else 0
    mass = Decimal(repr(line.unit_mass_kg)) * difference
    return replace(
        line,
        shares=now.shares if now else (),
        required=now.required if now else 0,
        from_stock=now.from_stock if now else 0,
        packs=_packs(difference, line.pack_size),
        ordered=difference,
        unit_cost=was.line.unit_cost if was and taken_back else line.unit_cost,
        mass_kg=float(mass),
        why=(_why(pieces, difference, change), *(now.why if now else ())),
        before=pieces,
        before_cost=was.cost if was else None,
        change=change,
    )


def _share_changes(before: Sequence[QuoteShare], now: Sequence[QuoteShare]) -> tuple[QuoteShare, ...]:
    """By how much each quote's requirement differs, those that differ."""
    found: dict[Sentence | str, int] = {}
    for shares, sign in ((now, 1), (before, -1)):
        for share in shares:
            found[share.quote] = found.get(share.quote, 0) + sign * share.required
    return tuple(QuoteShare(quote, count) for quote, count in found.items() if count)


def _packs(pieces: int, size: int) -> int:
    """Whole packs, below nothing where they are taken back."""
    return -(-pieces // size) if pieces > 0 else pieces // size


def _why(before: int, difference: int, change: Changing) -> Sentence:
    counts = {"before": _count(before), "count": _count(abs(difference)), "now": _count(before + difference)}
    if change == "more":
        return say("{before} ordered before, {count} more: {now}", **counts)
    if change == "returned":
        return say("{before} ordered before, {count} returned: {now}", **counts)
    return say("{before} ordered before, {count} less: {now}", **counts)


def _count(number: int) -> Figure:
    return figure(number, ".0f")


def _changed(head: OrderList, lines: tuple[OrderLine, ...], earlier: Sequence[EarlierOrder]) -> OrderList:
    groups = site_groups(head.sites)
    lines = tuple(_due(line, groups) for line in lines)
    dates = [line.order_by for line in lines if line.order_by and line.ordered > 0]
    return replace(
        head,
        lines=lines,
        total=total((line.cost for line in lines), head.currency),
        mass_kg=float(sum((Decimal(repr(line.mass_kg)) for line in lines), Decimal(0))),
        order_by=min(dates) if dates else None,
        changes=tuple(order.number for order in earlier),
    )


def _due(line: OrderLine, groups: Groups) -> OrderLine:
    """The line with the day by which what it brings must be ordered; nothing where it brings nothing."""
    if line.ordered <= 0 or not groups:
        return replace(line, order_by=None)
    day = first_day(allotted(line, groups), groups)
    return replace(line, order_by=day - timedelta(days=line.lead_time_days) if day else None)


def _said(earlier: Sequence[EarlierOrder], lists: Sequence[OrderList], alone: Sequence[OrderLine]) -> Finding:
    numbers = joined(", ", (order.number for order in earlier))
    if not lists and alone:
        message = say("nothing more is ordered than with {orders}; stock alone gives what differs", orders=numbers)
    elif not lists:
        message = say("nothing differs from what was ordered with {orders}", orders=numbers)
    else:
        message = say("changes what was ordered with {orders}: quantities are differences", orders=numbers)
    return Finding("order_changed", "note", message, Place(subject="delivery"))
