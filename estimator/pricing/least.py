"""What a quote costs at least while it is not known how its rails are cut: a bound on its total, never its price.

Every amount is the least it can be by itself, and the totals grow with each of them, so none of the totals that a plan
may lead to is lower. Where a larger order costs less in all (quantity breaks, freight tables that fall), the least over
all larger orders counts. Each rounding that may fall the other way is taken off.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from estimator.buying.records import BuyLine
from estimator.job import Choices
from estimator.labour.records import Labour
from estimator.money import Money, minor_digits
from estimator.pricebook import Book, Part
from estimator.pricebook.records import Basis
from estimator.pricing.price import discount_rate
from estimator.pricing.unit_prices import unit_cost, unit_price_of

FROM_PLAN: frozenset[Basis] = frozenset({"pieces", "cuts", "splices", "bars"})
"""What only a cut plan counts; before it there is a least count of each."""
FROM_LOADS: frozenset[Basis] = frozenset({"attachments", "mid_clamps", "end_clamps"})
"""What loads may ask more of than the book's limits alone."""


@dataclass(frozen=True, slots=True)
class LeastRails:
    """What the bars of any plan cost at least, and of how many parts they may be."""

    cost: Decimal = Decimal(0)
    parts: int = 0


@dataclass(frozen=True, slots=True)
class LeastPrice:
    """What the parts of a quote cost at least, and how many of its lines may round the other way."""

    parts: Money
    lines: int


def least_price(
    lines: Sequence[BuyLine], rails: LeastRails, book: Book, choices: Choices, open_counts: Set[Basis]
) -> LeastPrice:
    """A bound on the parts of a quote without changes or discounts of single lines.

    Args:
        lines: what is ordered beside bars; of what stands in ``open_counts``, the least.
        rails: its bars.
        book: its prices and rules.
        choices: its margin.
        open_counts: what more may be asked of than is known.

    """
    minor = Decimal(1).scaleb(-minor_digits(book.currency))
    paid = sum((_least_of_line(line, book, choices, open_counts) for line in lines), Decimal(0))
    paid += max(Decimal(0), rails.cost - rails.parts * minor / 2)
    parts = Money((paid / minor).to_integral_value(ROUND_CEILING) * minor, book.currency)
    more = sum(rule.for_each in open_counts for rule in book.rules)
    return LeastPrice(parts, len(lines) + rails.parts + more)


def least_total(paid: LeastPrice, freight: Money, labour: Labour, book: Book, choices: Choices, tier: str) -> Money:
    """A bound on the total of a quote.

    Args:
        paid: what its parts cost at least.
        freight: the least that its freight may be.
        labour: its labour at the least counts.
        book: its prices and rules.
        choices: its discount and contingency.
        tier: the customer's.

    """
    discounted = paid.parts - (paid.parts * discount_rate(book, choices, tier)).rounded(book.rounding)
    base = discounted + freight + labour.price
    rate = book.defaults.contingency if choices.contingency is None else choices.contingency
    contingency = (base * rate).rounded(book.rounding)
    amounts = {"parts": discounted, "freight": freight, "labour": labour.price, "contingency": contingency}
    tax = sum((amounts[name].amount for name in book.tax.taxed), Decimal(0)) * book.tax.rate
    if book.tax.per == "line":
        minor = Decimal(1).scaleb(-minor_digits(book.currency))
        tax -= (paid.lines + len(amounts)) * minor / 2
    return (base + contingency + Money(max(Decimal(0), tax), book.currency)).rounded(book.rounding)


def _least_of_line(line: BuyLine, book: Book, choices: Choices, open_counts: Set[Basis]) -> Decimal:
    """The price of a line; where more of it may be asked for, the least price of so many or more.

    A part that may be among the plan's own bars is ordered with them: no spares or packs of its own, at any break.
    """
    part, orders = book.parts[line.part], [line.ordered]
    if line.role == "rail":
        costs = (unit_cost(part, each)[0] for each in (1, *_orders_at_breaks(part)))
        return line.net * min(unit_price_of(part, cost, book, choices)[0] for cost in costs)
    if any(share.for_each in open_counts for share in line.shares):
        orders += [each for each in _orders_at_breaks(part) if each > line.ordered]
    prices = (each * unit_price_of(part, unit_cost(part, each)[0], book, choices)[0] for each in orders)
    return Money(min(prices), book.currency).rounded(book.rounding).amount


def _orders_at_breaks(part: Part) -> list[int]:
    """The least order in whole packs that reaches each break."""
    return [-(-each.from_quantity // part.pack_size) * part.pack_size for each in part.breaks]
