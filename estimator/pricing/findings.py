"""What a bookkeeper would object to in a priced bill: prices below cost, discounts of nothing, costly small orders."""

from __future__ import annotations

from collections.abc import Iterator

from estimator.errors import Finding
from estimator.job import Choices
from estimator.money import Money, share
from estimator.places import Place
from estimator.pricebook import Book
from estimator.pricing.records import PricedBill, PricedLine
from estimator.pricing.unit_prices import YARD, unit_cost
from estimator.sentences import amount, figure, say


def money_findings(bill: PricedBill, book: Book, choices: Choices) -> tuple[Finding, ...]:
    """The objections to a bill.

    A line below its cost (its share of the quote's discount taken off) and a whole quote below its cost (contingency
    not counted as earned) are errors; a discount of a part without a line is a warning; a next break that would cost
    less in all is a note. Source: common practice, no source.
    """
    lines = {priced.line.part for priced in bill.lines}
    missing = [part for part, rate in choices.line_discounts if rate and part not in lines]
    return (
        *_whole_below_cost(bill),
        *_lines_below_cost(bill, book),
        *(_discount_of_nothing(part) for part in missing),
        *(note for priced in bill.lines for note in _dearer_than_the_break(priced, book)),
    )


def net_prices(bill: PricedBill) -> tuple[Money, ...]:
    """The price of every line less its share of the quote's discount; the shares add up to it."""
    if not bill.totals.discount.amount:
        return tuple(priced.price for priced in bill.lines)
    shares = share(bill.totals.discount, [priced.price.amount for priced in bill.lines])
    return tuple(priced.price - off for priced, off in zip(bill.lines, shares, strict=True))


def _whole_below_cost(bill: PricedBill) -> Iterator[Finding]:
    totals = bill.totals
    earned = totals.before_tax - totals.contingency
    if earned < totals.cost:
        message = say(
            "the quote is below its cost: {price} before contingency and tax, {cost} of cost",
            price=amount(earned.amount, bill.currency),
            cost=amount(totals.cost.amount, bill.currency),
        )
        place = Place(subject="price")
        yield Finding("quote_below_cost", "error", message, place, *_amounts(earned, totals.cost))


def _lines_below_cost(bill: PricedBill, book: Book) -> Iterator[Finding]:
    """Off-cuts of the yard are left out: they are priced at their cost, so any discount takes them below it."""
    for priced, net in zip(bill.lines, net_prices(bill), strict=True):
        if net < priced.cost and book.parts[priced.line.part].supplier != YARD:
            place = Place(part=priced.line.part)
            message = say(
                "{part}: sold below cost, {price} after discounts, {cost} of cost",
                part=place,
                price=amount(net.amount, bill.currency),
                cost=amount(priced.cost.amount, bill.currency),
            )
            yield Finding("line_below_cost", "error", message, place, *_amounts(net, priced.cost))


def _amounts(found: Money, allowed: Money) -> tuple[float, float, str]:
    return float(found.amount), float(allowed.amount), found.currency


def _discount_of_nothing(part: str) -> Finding:
    place = Place(part=part)
    return Finding(
        "discount_without_line",
        "warning",
        say("{part}: discounted, but this quote has no line of it", part=place),
        place,
    )


def _dearer_than_the_break(priced: PricedLine, book: Book) -> Iterator[Finding]:
    """The cheapest of the breaks above the ordered quantity, where it costs less in all than what is ordered."""
    part, ordered = book.parts[priced.line.part], priced.line.ordered
    offers = []
    for each in part.breaks:
        quantity = -(-each.from_quantity // part.pack_size) * part.pack_size
        if quantity > ordered:
            offers.append((quantity * unit_cost(part, quantity)[0], quantity))
    cost, quantity = min(offers, default=(priced.cost.amount, 0))
    if not quantity or cost >= ordered * priced.unit_cost:
        return
    place = Place(part=part.part)
    saved = Money(ordered * priced.unit_cost - cost, book.currency).rounded(book.rounding)
    message = say(
        "{part}: {quantity} cost {saved} less in all than {ordered}, by the price break",
        part=place,
        quantity=figure(quantity, ".0f"),
        saved=amount(saved.amount, book.currency),
        ordered=figure(ordered, ".0f"),
    )
    yield Finding("next_break_costs_less", "note", message, place, float(ordered), float(quantity))
