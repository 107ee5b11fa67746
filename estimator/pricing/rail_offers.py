"""What the cut plan may buy: bars and off-cuts at their prices, and what a splice costs with its parts and labour.

Money is in whole numbers of the smallest kept unit: the book's unit price places, or the minor unit if finer.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Collection
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from itertools import count as count_from

from estimator.buying import NO_SPARES, spare_rule, spares_for
from estimator.cutting.records import JointRules, PriceLevel, Saw, Stock
from estimator.errors import ChoiceRefused, Fault
from estimator.job import Choices
from estimator.money import minor_digits
from estimator.mounting.records import MountingChoice
from estimator.pricebook import BarStock, Basis, Book, Part, Rail, Supplier
from estimator.pricebook.conditions import applies
from estimator.pricing.unit_prices import YARD, unit_price_of
from estimator.sentences import figure, say

OWN_YARD = Supplier(YARD, say("Own yard"))


def kept_places(book: Book) -> int:
    """Decimals of the smallest kept unit of money."""
    return max(book.price_places, minor_digits(book.currency))


def in_kept_units(amount: Decimal, book: Book) -> int:
    """An amount in whole smallest kept units, rounded half up."""
    return int(amount.scaleb(kept_places(book)).to_integral_value(ROUND_HALF_UP))


def bar_offers(choice: MountingChoice, book: Book, choices: Choices) -> tuple[Stock, ...]:
    """The chosen rail's bars at the unit price of one and at the breaks of larger numbers, yard off-cuts too."""
    return tuple(_offer(stock, book.parts[stock.part], book, choices) for stock in choice.stocks)


def _offer(stock: BarStock, part: Part, book: Book, choices: Choices) -> Stock:
    return Stock(
        part=part.part,
        length=tenths(stock.length_mm),
        price=in_kept_units(unit_price_of(part, part.cost, book, choices)[0], book),
        available=stock.available,
        is_offcut=part.supplier == YARD,
        breaks=_price_levels(part, book, choices),
    )


def _price_levels(part: Part, book: Book, choices: Choices) -> tuple[PriceLevel, ...]:
    """The prices at the part's breaks, each from the number of bars whose order, spares and packs in it, reaches it.

    None where the price or the quantity is the estimator's own, or the book has a list price: no break moves those.
    """
    by_hand = any(each.part == part.part for each in choices.line_changes)
    if by_hand or part.list_price is not None:
        return ()
    return tuple(
        PriceLevel(
            bars_to_order(part, each.from_quantity, book),
            in_kept_units(unit_price_of(part, each.cost, book, choices)[0], book),
        )
        for each in sorted(part.breaks, key=lambda row: row.from_quantity)
    )


def bars_to_order(part: Part, quantity: int, book: Book) -> int:
    """The fewest bars in a plan whose order, with spares and whole packs, comes to at least this quantity.

    >>> from types import SimpleNamespace
    >>> bar = Part("R6", "rail", "", None, "C62", 4.9, Decimal("60"), "S-1", "", pack_size=10)
    >>> bars_to_order(bar, 100, SimpleNamespace(spares={}))
    91
    """
    rule = spare_rule(part, book)
    packs = -(-quantity // part.pack_size)
    required = (packs - 1) * part.pack_size + 1
    return bisect_left(range(1, required + 1), required, key=lambda bars: bars + spares_for(bars, rule)) + 1


def tenths(length_mm: float) -> int:
    """A length in whole tenths of a millimetre."""
    return round(length_mm * 10)


def joint_rules(rail: Rail) -> JointRules:
    """Where the rail may be joined."""
    return JointRules(
        splice_clear_of_attachment_mm=rail.splice_clear_of_attachment_mm,
        min_piece_length_mm=rail.min_piece_length_mm,
        min_attachments_per_piece=rail.min_attachments_per_piece,
        max_continuous_length_mm=rail.max_continuous_length_mm,
    )


def saw_for(rail: Rail, book: Book) -> Saw:
    """How the rail's bars are cut, and what an off-cut is worth."""
    keeps = rail.reusable_offcut_length_mm
    value = rail.offcut_value_per_m or Decimal(0)
    return Saw(
        kerf=tenths(rail.kerf_mm),
        end_trim=tenths(rail.end_trim_mm),
        reusable_length=None if keeps is None else tenths(keeps),
        offcut_value_per_m=in_kept_units(value, book),
    )


def splice_cost(choice: MountingChoice, book: Book, choices: Choices) -> int:
    """One rigid splice with the parts the rules add to it, and its labour where the quote has labour."""
    return _cost_of_one("splices", choice, book, choices)


def expansion_cost(choice: MountingChoice, book: Book, choices: Choices) -> int:
    """One expansion splice, what bridges its gap, and its labour where the quote has labour.

    The rule of equal parts fixes how many there are, so their cost is the same in every plan of a job.
    """
    return _cost_of_one("expansion_splices", choice, book, choices)


def _cost_of_one(basis: Basis, choice: MountingChoice, book: Book, choices: Choices) -> int:
    """The parts and the labour that the book gives each of a count, at unit prices of one."""
    rail = choice.rail.rail if choice.rail else None
    mounting = (choice.arrangement, choice.material, choice.rail_direction, choice.bracket.part, rail)
    cost = Decimal(0)
    for rule in book.rules:
        if rule.for_each == basis and applies(rule.when, *mounting):
            part = _splice_part(rule.part, rule.role, choice, book)
            each = Decimal(rule.count.numerator) / rule.count.denominator / rule.per
            cost += each * unit_price_of(part, part.cost, book, choices)[0] if part else 0
    if choices.labour:
        for activity in book.labour:
            if activity.for_each == basis and applies(activity.when, *mounting):
                cost += activity.minutes / activity.per / 60 * book.labour_rate
    return in_kept_units(cost, book)


def _splice_part(part: str, role: str, choice: MountingChoice, book: Book) -> Part | None:
    if part:
        return book.parts[part]
    if role in ("splice", "expansion_splice") and choice.rail:
        named = [each.part for each in book.splices if each.rail == choice.rail.rail and each.kind == role]
        return book.parts[named[0]] if named else None
    fitting = [each for each in book.parts.values() if each.role == role and each.material in (None, choice.material)]
    return fitting[0] if fitting else None


def with_offcuts(book: Book, choices: Choices) -> Book:
    """The book with the off-cuts on hand as bars of their rails, each at its own price and as many as there are.

    Off-cuts alike in rail, length and price are one part; those of another price are a part of their own.
    Refuses (ChoiceRefused) off-cuts of a rail the book does not have.
    """
    if not choices.offcuts:
        return book
    unknown = [
        Fault(
            f"/offcuts/{at}/rail",
            say("rail {rail} is not in pricebook {book}", rail=repr(each.rail), book=book.id),
            ", ".join(book.rails),
        )
        for at, each in enumerate(choices.offcuts)
        if each.rail not in book.rails
    ]
    if unknown:
        raise ChoiceRefused(say("an off-cut of a rail that the pricebook does not have"), unknown)
    rails, parts = dict(book.rails), dict(book.parts)
    heaps: Counter[tuple[str, float, Decimal]] = Counter()
    for each in choices.offcuts:
        heaps[each.rail, each.length_mm, each.price] += each.count
    for (name, length_mm, price), count in heaps.items():
        rail = rails[name]
        part = _unused(offcut_name(name, length_mm), parts)
        parts[part] = offcut_part(part, rail, length_mm, price)
        rails[name] = replace(rail, stocks=(*rail.stocks, BarStock(part, length_mm, count)))
    suppliers = {**book.suppliers, YARD: OWN_YARD}
    return replace(book, rails=rails, parts=parts, suppliers=suppliers)


def without_offcuts(book: Book) -> Book:
    """The book as its edition has it: without the off-cuts that a quote laid into it."""
    if YARD not in book.suppliers or not any(part.supplier == YARD for part in book.parts.values()):
        return book
    parts = {name: part for name, part in book.parts.items() if part.supplier != YARD}
    rails = {
        name: replace(rail, stocks=tuple(stock for stock in rail.stocks if stock.part in parts))
        for name, rail in book.rails.items()
    }
    suppliers = {name: supplier for name, supplier in book.suppliers.items() if name != YARD}
    return replace(book, parts=parts, rails=rails, suppliers=suppliers)


def _unused(name: str, parts: Collection[str]) -> str:
    """The name, with a number behind it where the book or another off-cut has it."""
    numbered = (name if at == 1 else f"{name}-{at}" for at in count_from(1))
    return next(each for each in numbered if each not in parts)


def offcut_name(rail: str, length_mm: float) -> str:
    """What an off-cut of a rail is called among the parts."""
    return f"{rail}-offcut-{length_mm:g}"


def offcut_part(part: str, rail: Rail, length_mm: float, price: Decimal) -> Part:
    """An off-cut of a rail as a part: it comes from the yard at what it counts for, and has no spares."""
    return Part(
        part=part,
        role="rail",
        description=say(
            "{rail}, off-cut of {length} from the yard", rail=rail.name, length=figure(length_mm, "g", " mm", "length")
        ),
        material=rail.material,
        unit="C62",
        unit_mass_kg=round(rail.mass_kg_per_m * length_mm / 1000, 4),
        cost=price,
        supplier=YARD,
        supplier_part=part,
        list_price=price,
        group="rails",
        spare=NO_SPARES,
    )
