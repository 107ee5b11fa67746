"""An order to write in every form: two quotes, ids that spreadsheets mangle, texts that would run."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from estimator.documents.header import OrderHeader
from estimator.money import Money, total
from estimator.orders import OrderList, make_order_lists
from tests.orders.order_builders import TODAY, a_quote

HEADER = OrderHeader("O-7", date(2026, 11, 25))
PAYLOADS = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "<b>bold", "Ł & ü <x/>", "a\x0bb", "＝1", "#N/A", "</para>"]


def an_order(**changes: object) -> OrderList:
    """Screws of two quotes from one supplier."""
    return replace(make_order_lists([a_quote("Q-1", 130), a_quote("Q-2", 300)], {}, TODAY).lists[0], **changes)


def with_lines(**changes: object) -> OrderList:
    """The order with every line changed."""
    order = an_order()
    return replace(order, lines=tuple(replace(line, **changes) for line in order.lines))


def priced(order: OrderList, costs: list[str]) -> OrderList:
    """One line for each unit cost: 7 pieces each, rounded as the order's book rounds."""
    line = order.lines[0]
    lines = []
    for number, text in enumerate(costs):
        cost = Money(7 * Decimal(text), order.currency).rounded(order.rounding)
        changed = {"part": f"P-{number}", "packs": 7, "pack_size": 1, "ordered": 7, "required": 7}
        lines.append(replace(line, unit_cost=Decimal(text), cost=cost, **changed))
    return replace(order, lines=tuple(lines), total=total((each.cost for each in lines), order.currency))
