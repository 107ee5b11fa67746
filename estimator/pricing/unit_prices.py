"""From a part's cost to its unit price."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from estimator.errors import Fault, RateRefused
from estimator.job import Choices
from estimator.money import Rounding
from estimator.pricebook import Book, Part
from estimator.sentences import Sentence, figure, percent, placed, say

YARD = "own-yard"
"""The supplier of off-cuts on hand: they are not bought."""
OFFCUT_RULE = say("off-cut on hand: what it counts for is its cost and its price, without margin")
PricingMethod = Literal["margin", "markup"]
_ROUNDED = {"half_up": "ROUND_HALF_UP", "half_even": "ROUND_HALF_EVEN"}


def unit_cost(part: Part, ordered: int) -> tuple[Decimal, int]:
    """The unit cost for an ordered quantity, and the quantity its break begins at (0 without a break).

    Source: quantity breaks apply to the ordered quantity of the line (common practice, no source).
    """
    cost, begins = part.cost, 0
    for each in sorted(part.breaks, key=lambda row: row.from_quantity):
        if ordered >= each.from_quantity:
            cost, begins = each.cost, each.from_quantity
    return cost, begins


def price_from_cost(cost: Decimal, method: PricingMethod, rate: Decimal) -> Decimal:
    """Price from cost, unrounded: by margin cost / (1 - rate), by markup cost * (1 + rate). The two differ.

    Source: definitions of margin (share of the price) and markup (share of the cost).

    >>> price_from_cost(Decimal("72.35"), "margin", Decimal("0.20"))
    Decimal('90.4375')
    >>> price_from_cost(Decimal("72.35"), "markup", Decimal("0.20"))
    Decimal('86.8200')
    """
    if method == "markup":
        return cost * (1 + rate)
    if not 0 <= rate < 1:
        fault = Fault(
            "/margin", say("a margin is a share of the price; found {rate}", rate=figure(rate)), say("0 to below 1")
        )
        raise RateRefused(say("a margin of the whole price or more has no price"), [fault])
    return cost / (1 - rate)


def to_places(amount: Decimal, places: int, rounding: Rounding) -> Decimal:
    """An amount to a number of decimals."""
    return amount.quantize(Decimal(1).scaleb(-places), _ROUNDED[rounding])


def pricing_terms(book: Book, choices: Choices) -> tuple[PricingMethod, Decimal]:
    """The estimator's margin where one was given, else the book's own method and rate."""
    if choices.margin is not None:
        return "margin", choices.margin
    return book.pricing_method, book.pricing_rate


def unit_price_of(part: Part, cost: Decimal, book: Book, choices: Choices) -> tuple[Decimal, Sentence]:
    """The unit price of a part at that cost, to the book's places, and the rule and row it came from.

    A price the estimator gave wins, then the part's list price, then the price from cost.
    """
    place = say("{book} {edition}, parts row {row}", book=book.id, edition=book.edition, row=str(part.row))
    for change in reversed(choices.line_changes):
        if change.part == part.part and change.unit_price is not None:
            return change.unit_price, say("given by the estimator (book: {place})", place=place)
    if part.supplier == YARD:
        return to_places(part.cost, book.price_places, book.rounding), OFFCUT_RULE
    if part.list_price is not None:
        return to_places(part.list_price, book.price_places, book.rounding), placed(place, say("list price"))
    method, rate = pricing_terms(book, choices)
    unrounded = price_from_cost(cost, method, rate)
    rule = say("cost with {rate} margin" if method == "margin" else "cost with {rate} markup", rate=percent(rate))
    return to_places(unrounded, book.price_places, book.rounding), placed(place, rule)
