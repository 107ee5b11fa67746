"""What purchasing must know about an order: dates missed, minimum orders, several sites, off-cuts promised twice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from estimator.errors import Finding
from estimator.orders.delivery import address_lines, sites_of
from estimator.orders.records import CommonCut, OrderedQuote, OrderLine, OrderList


def findings_of(
    lists: Sequence[OrderList],
    yard: Sequence[OrderLine],
    quotes: Sequence[OrderedQuote],
    together: Sequence[CommonCut],
    on: date,
) -> tuple[Finding, ...]:
    """Every note, in the order of the lists, then about the quotes, then about cutting."""
    notes = [note for each in lists for note in (*_late(each, on), *_below_minimum(each))]
    lines = (*yard, *(line for each in lists for line in each.lines))
    return (*notes, *_several_sites(quotes), *_promised_twice(lines, quotes), *_moved(together))


def _late(each: OrderList, on: date) -> Iterator[Finding]:
    if each.order_by and each.order_by < on:
        text = f"{each.supplier.name}: to meet the site date the order was due on {each.order_by}; today is {on}"
        yield Finding("order_late", "warning", text, each.supplier.name, str(each.order_by), str(on))


def _below_minimum(each: OrderList) -> Iterator[Finding]:
    least = each.supplier.minimum_order
    if least is not None and each.lines and each.total.amount < least:
        amount = each.total.amount
        text = f"{each.supplier.name}: order of {amount} is below the supplier's minimum of {least}"
        yield Finding("order_below_minimum", "warning", text, each.supplier.name, str(amount), str(least))


def _several_sites(quotes: Sequence[OrderedQuote]) -> Iterator[Finding]:
    sites = sites_of(quotes)
    if len(sites) > 1:
        named = "; ".join(", ".join(address_lines(site)) or "no address" for site in sites)
        text = f"the quotes are for {len(sites)} sites ({named}): delivery is to the buyer's own address"
        yield Finding("order_several_sites", "warning", text, "delivery", float(len(sites)), 1.0)


def _promised_twice(lines: Sequence[OrderLine], quotes: Sequence[OrderedQuote]) -> Iterator[Finding]:
    """Each quote may have counted on the same limited bars; together they take no more than there are."""
    on_hand: dict[str, int] = {}
    for quote in quotes:
        for rail in quote.estimate.book.rails.values():
            for stock in rail.stocks:
                if stock.available is not None:
                    on_hand[stock.part] = max(on_hand.get(stock.part, 0), stock.available)
    for line in lines:
        have = on_hand.get(line.part, line.required)
        if line.required > have:
            text = f"{line.description}: the quotes count on {line.required} together, {have} are on hand"
            yield Finding("bars_promised_twice", "error", text, line.part, float(line.required), float(have))


def _moved(together: Sequence[CommonCut]) -> Iterator[Finding]:
    for common in together:
        if common.used and common.joints_moved:
            text = f"rail {common.rail}: joints stand elsewhere than on the setting-out sheets of the quotes"
            yield Finding("order_joints_moved", "warning", text, ", ".join(common.quotes))
