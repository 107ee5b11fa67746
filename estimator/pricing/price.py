"""The priced bill: unit price, break, line discount, line total, then the totals."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from estimator.buying.alternates import alternates_beside
from estimator.buying.records import BuyLine
from estimator.errors import ChoiceRefused, Fault, RateRefused
from estimator.freight.records import FreightCharge
from estimator.job import Choices
from estimator.labour.records import Labour
from estimator.money import Money
from estimator.pricebook import Book
from estimator.pricing.records import PricedBill, PricedLine
from estimator.pricing.totals import Additions, add_up
from estimator.pricing.unit_prices import pricing_terms, to_places, unit_cost, unit_price_of
from estimator.sentences import figure, joined, say

_IN_BOOK = say("a part of the pricebook")


def price(
    lines: Sequence[BuyLine], freight: FreightCharge, labour: Labour, book: Book, choices: Choices, tier: str = ""
) -> PricedBill:
    """Price what is ordered. The estimator's margin and discounts win over the book's rate and the customer's tier.

    Refuses (ChoiceRefused) an unknown tier or a rate outside its range, all at once.
    """
    check_choices(book, choices, tier)
    method, rate = pricing_terms(book, choices)
    priced = tuple(_price_line(line, book, choices) for line in lines)
    additions = Additions(
        discount_rate=discount_rate(book, choices, tier),
        contingency_rate=book.defaults.contingency if choices.contingency is None else choices.contingency,
        freight=freight.charge,
        labour=labour.price,
        labour_cost=labour.cost,
    )
    beside = tuple(_price_line(line, book, choices) for line in alternates_beside(lines, book, choices))
    return PricedBill(book.currency, priced, add_up(priced, additions, book), method, rate, beside)


def _price_line(line: BuyLine, book: Book, choices: Choices) -> PricedLine:
    part = book.parts[line.part]
    cost, break_from = unit_cost(part, line.ordered)
    discount = dict(choices.line_discounts).get(line.part, Decimal(0))
    unit_price, rule = unit_price_of(part, cost, book, choices)
    if break_from and part.list_price is None:
        rule = joined("; ", (rule, say("break from {count}", count=break_from)))
    return PricedLine(
        line=line,
        group=part.group or part.role,
        unit_cost=cost,
        cost=Money(line.ordered * cost, book.currency).rounded(book.rounding),
        break_from=break_from,
        unit_price=unit_price,
        discount=discount,
        price=Money(line.ordered * unit_price * (1 - discount), book.currency).rounded(book.rounding),
        price_rule=rule,
    )


def discount_rate(book: Book, choices: Choices, tier: str) -> Decimal:
    """The estimator's discount where one was given, else the customer's tier."""
    if choices.discount is not None:
        return choices.discount
    return book.tiers.get(tier, Decimal(0))


def check_choices(book: Book, choices: Choices, tier: str) -> None:
    """Refuse (ChoiceRefused) rates outside their range, an unknown tier or part, a price of too many decimals.

    So is a part that is changed twice, since it is unclear which change holds. Every fault is reported at once.
    """
    faults = [*_faulty_changes(book, choices)]
    if tier and tier not in book.tiers:
        tiers = ", ".join(book.tiers) or "none"
        faults.append(
            Fault("/customer/tier", say("tier {tier} is not in pricebook {book}", tier=repr(tier), book=book.id), tiers)
        )
    rates = {"/margin": choices.margin, "/discount": choices.discount, "/contingency": choices.contingency}
    rates |= {f"/line_discounts/{part}": rate for part, rate in choices.line_discounts}
    for pointer, rate in rates.items():
        if rate is not None and not 0 <= rate <= 1:
            faults.append(
                Fault(pointer, say("a rate is a share of one; found {rate}", rate=figure(rate)), say("0 to 1"))
            )
    if choices.margin == 1:
        faults.append(Fault("/margin", say("a margin of the whole price has no price"), say("0 to below 1")))
    if faults:
        rates_only = {fault.pointer for fault in faults} <= set(rates)
        raise (RateRefused if rates_only else ChoiceRefused)(say("invalid rates or changes of lines"), faults)


def _faulty_changes(book: Book, choices: Choices) -> Iterator[Fault]:
    """Faults of changed lines and of discounts of lines, each where it stands."""
    first: dict[str, int] = {}
    for at, change in enumerate(choices.line_changes):
        place = f"/line_changes/{at}"
        if change.part not in book.parts:
            yield Fault(
                f"{place}/part",
                say("part {part} is not in pricebook {book}", part=repr(change.part), book=book.id),
                _IN_BOOK,
            )
        elif change.part in first:
            text = say(
                "part {part} is changed twice, first by change {first}",
                part=repr(change.part),
                first=first[change.part] + 1,
            )
            yield Fault(f"{place}/part", text, say("one change for each part"))
        first.setdefault(change.part, at)
        given = change.unit_price
        if given is not None and given != to_places(given, book.price_places, book.rounding):
            text = say(
                "a unit price of {given} has more decimals than pricebook {book} keeps",
                given=figure(given, "f"),
                book=book.id,
            )
            yield Fault(
                f"{place}/unit_price", text, say("at most {price_places} decimals", price_places=book.price_places)
            )
    for part, _ in choices.line_discounts:
        if part not in book.parts:
            yield Fault(
                f"/line_discounts/{part}",
                say("part {part} is not in pricebook {book}", part=repr(part), book=book.id),
                _IN_BOOK,
            )
