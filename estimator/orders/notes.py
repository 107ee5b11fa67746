"""What purchasing must know about an order: dates missed, minimum orders, several sites, off-cuts promised twice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from estimator.buying.findings import BELOW_REQUIRED, OUT_OF_PROPORTION
from estimator.errors import Finding
from estimator.orders.deliveries.sites import address_lines, sites_of
from estimator.orders.records import CommonCut, OffcutHeap, OrderedQuote, OrderLine, OrderList
from estimator.orders.yard import HeapKey, key_of, yard_parts
from estimator.places import Place
from estimator.sentences import Sentence, day, figure, joined, placed, say

QUANTITY_CODES = frozenset({BELOW_REQUIRED, OUT_OF_PROPORTION})


def findings_of(
    lists: Sequence[OrderList],
    yard: Sequence[OrderLine],
    sources: tuple[Sequence[OrderedQuote], Sequence[OffcutHeap]],
    together: Sequence[CommonCut],
    on: date,
) -> tuple[Finding, ...]:
    """Every note, in the order of the lists, then about the quotes, then about cutting.

    ``sources``: the quotes, and the off-cuts told besides.
    """
    quotes, heaps = sources
    notes = [note for each in lists for note in (*_late(each, on), *_below_minimum(each))]
    lines = (*yard, *(line for each in lists for line in each.lines))
    return (
        *notes,
        *_short_or_far_more(quotes),
        *_several_sites(quotes),
        *_promised_twice(lines, quotes, heaps),
        *_moved(together),
    )


def knowingly(quotes: Sequence[OrderedQuote], part: str) -> tuple[Sentence, ...]:
    """Who decided, and why, that a quote orders less of a part than its counts require, or far more."""
    return tuple(
        say(
            "{quote}: {ordered} ordered, {allowed} by the counts; overridden by {name}: {reason}",
            quote=quote.number,
            ordered=figure(float(check.found or 0), ".0f"),
            allowed=figure(float(check.allowed or 0), ".0f"),
            name=word.by,
            reason=word.reason,
        )
        for quote in quotes
        for word in quote.estimate.overridden
        if word.code in QUANTITY_CODES and word.place.part == part
        for check in quote.estimate.checks
        if (word.code, word.place) == (check.code, check.place)
    )


def _short_or_far_more(quotes: Sequence[OrderedQuote]) -> Iterator[Finding]:
    """Quantities that somebody approved although the counts say otherwise; removed parts among them."""
    for quote in quotes:
        for word in quote.estimate.overridden:
            for text in knowingly((quote,), word.place.part) if word.code in QUANTITY_CODES else ():
                place = Place(part=word.place.part, quote=quote.number)
                yield Finding(word.code, "warning", placed(place, text), place)


def _late(each: OrderList, on: date) -> Iterator[Finding]:
    if each.order_by and each.order_by < on:
        place = Place(supplier=each.supplier.name)
        text = say(
            "{supplier}: to meet the site date the order was due on {due}; today is {today}",
            supplier=place,
            due=day(each.order_by),
            today=day(on),
        )
        yield Finding("order_late", "warning", text, place, day(each.order_by), day(on))


def _below_minimum(each: OrderList) -> Iterator[Finding]:
    least = each.supplier.minimum_order
    if least is not None and each.lines and each.total.amount < least:
        found, minimum = figure(each.total.amount), figure(least)
        place = Place(supplier=each.supplier.name)
        text = say(
            "{supplier}: order of {amount} is below the supplier's minimum of {minimum}",
            supplier=place,
            amount=found,
            minimum=minimum,
        )
        yield Finding("order_below_minimum", "warning", text, place, found, minimum)


def _several_sites(quotes: Sequence[OrderedQuote]) -> Iterator[Finding]:
    sites = sites_of(quotes)
    if len(sites) > 1:
        named = joined("; ", (", ".join(address_lines(site)) or say("no address") for site in sites))
        text = say(
            "the quotes are for {count} sites ({sites}): delivery is to the buyer's own address",
            count=len(sites),
            sites=named,
        )
        yield Finding("order_several_sites", "warning", text, Place(subject="delivery"), float(len(sites)), 1.0)


def _promised_twice(
    lines: Sequence[OrderLine], quotes: Sequence[OrderedQuote], heaps: Sequence[OffcutHeap]
) -> Iterator[Finding]:
    """Each quote may have counted on the same limited bars; together they take no more than there are.

    Of a heap of off-cuts that purchasing told there are as many as it told, whatever the quotes counted on.
    """
    on_hand: dict[str, int] = {}
    for quote in quotes:
        for rail in quote.estimate.book.rails.values():
            for stock in rail.stocks:
                if stock.available is not None:
                    on_hand[stock.part] = max(on_hand.get(stock.part, 0), stock.available)
    names = {line.part: line.description for line in lines}
    told = {part for part, key in _in_yard(quotes).items() if key in {key_of(heap) for heap in heaps}}
    for line in lines:
        have = on_hand.get(line.part, line.required)
        if line.part not in told and line.required > have:
            yield _beyond(line.part, line.description, line.required, have)
    for heap in heaps:
        if heap.left < 0:
            part = next(part for part in (heap.part, *sorted(told)) if part in names)
            yield _beyond(part, names[part], heap.used, heap.count)


def _in_yard(quotes: Sequence[OrderedQuote]) -> dict[str, HeapKey]:
    return {part: key for quote in quotes for part, key in yard_parts(quote.estimate.book).items()}


def _beyond(part: str, description: str, used: int, have: int) -> Finding:
    text = say("{part}: the quotes use {count} together, {have} are on hand", part=description, count=used, have=have)
    return Finding("bars_promised_twice", "error", text, Place(part=part), float(used), float(have))


def _moved(together: Sequence[CommonCut]) -> Iterator[Finding]:
    for common in together:
        if common.used and common.joints_moved:
            text = say(
                "rail {rail}: joints stand elsewhere than on the setting-out sheets of the quotes", rail=common.rail
            )
            yield Finding("order_joints_moved", "warning", text, Place(role="rail", part=common.rail))
