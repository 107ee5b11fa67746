"""What belongs to a priced line beyond its record: a unit price that was given, its margin, its cells."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from estimator.documents.language.texts import Reader
from estimator.documents.language.words import group_name, unit_name
from estimator.documents.xlsx.page import Content
from estimator.job import Choices
from estimator.money import Money
from estimator.pricing.records import PricedLine


def given_price(part: str, choices: Choices) -> Decimal | None:
    """The unit price that the estimator gave for a part; the last word counts."""
    given = [change.unit_price for change in choices.line_changes if change.part == part]
    return next((price for price in reversed(given) if price is not None), None)


def margin_of(line: PricedLine) -> Money:
    """Price less cost."""
    return line.price - line.cost


def margin_share(line: PricedLine) -> Decimal:
    """The margin's share of the price, to four places."""
    if not line.price.amount:
        return Decimal(0)
    return (margin_of(line).amount / line.price.amount).quantize(Decimal("0.0001"), ROUND_HALF_UP)


def line_cells(number: int, priced: PricedLine, reader: Reader) -> dict[str, Content | bool]:
    """What every list of priced lines says of one: its number, part, group, words, quantity and prices."""
    return {
        "line": number,
        "part": priced.line.part,
        "group": group_name(priced.group, reader),
        "description": reader.say(priced.line.description),
        "quantity": priced.line.ordered,
        "unit": unit_name(priced.line.unit, reader),
        "unit_price": priced.unit_price,
        "discount": priced.discount,
        "price": priced.price.amount,
    }
