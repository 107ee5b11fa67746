"""A priced bill: every line's cost and price, and the totals in the order they are reached."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.buying.records import BuyLine
from estimator.money import Money
from estimator.sentences import Sentence


@dataclass(frozen=True, slots=True)
class PricedLine:
    """One line: unit cost (break in force), unit price at the book's places, line discount, rounded line price.

    ``price`` is ordered * unit_price * (1 - discount), rounded once; ``cost`` is ordered * unit_cost, rounded once.
    ``price_rule`` names the book row and rule the unit price came from.
    """

    line: BuyLine
    group: str
    unit_cost: Decimal
    cost: Money
    break_from: int
    unit_price: Decimal
    discount: Decimal
    price: Money
    price_rule: Sentence


@dataclass(frozen=True, slots=True)
class TaxShare:
    """One amount taxed and its tax before summing (rounded only where the book taxes per line)."""

    name: str
    amount: Money
    tax: Decimal


@dataclass(frozen=True, slots=True)
class Totals:
    """The totals, each rounded once: parts less quote discount, plus freight, labour, contingency, then tax.

    ``cost`` sums what the house pays (parts, freight as charged, labour cost); ``margin`` is the total before tax less
    ``cost``, and ``margin_rate`` its share of the total before tax.
    """

    parts: Money
    discount_rate: Decimal
    discount: Money
    freight: Money
    labour: Money
    contingency_rate: Decimal
    contingency: Money
    before_tax: Money
    tax_name: str
    tax_rate: Decimal
    tax_per: str
    tax: Money
    total: Money
    cost: Money
    margin: Money
    margin_rate: Decimal


@dataclass(frozen=True, slots=True)
class PricedBill:
    """All lines and the totals; ``alternates`` stand beside the total, for the customer to add."""

    currency: str
    lines: tuple[PricedLine, ...]
    totals: Totals
    pricing_method: str
    pricing_rate: Decimal
    alternates: tuple[PricedLine, ...] = ()
