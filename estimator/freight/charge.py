"""The shipped mass and its charge by the book's table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

from estimator.buying.records import BuyLine
from estimator.errors import ChoiceRefused, Fault, Finding
from estimator.freight.records import FreightCharge
from estimator.money import Money, zero
from estimator.places import Place
from estimator.pricebook import Book, FreightRate
from estimator.sentences import amount, figure, say

_GRAM = Decimal("0.001")


def charge_freight(lines: Sequence[BuyLine], book: Book, zone: str) -> FreightCharge:
    """Freight of everything ordered in one shipment to a zone of the book ("" takes the book's default zone).

    Shipped mass = sum of ordered * unit mass, plus the book's packaging share, to the gram; charge = the greater of
    the minimum and base + mass * rate of the row with the greatest ``from_kg`` not above the mass.
    Source: the book's freight table. Refuses (ChoiceRefused) a zone the table does not have.
    """
    return _charge(*_weighed(lines, Decimal(0), book), _rows(book, zone), book)


def least_freight(lines: Sequence[BuyLine], more_kg: Decimal, book: Book, zone: str) -> Money:
    """What a shipment of these lines and at least so much more costs at least: tables may fall at their steps.

    Refuses as ``charge_freight``.
    """
    rows, weighed = _rows(book, zone), _weighed(lines, more_kg, book)
    mass = sum(weighed, Decimal(0))
    steps = [each for row in rows if (each := Decimal(repr(row.from_kg))) > mass]
    heavier = [_charge(step, Decimal(0), rows, book).charge for step in steps]
    return min([_charge(*weighed, rows, book).charge, *heavier])


def _rows(book: Book, zone: str) -> Sequence[FreightRate]:
    """A zone's rows, the lightest first."""
    zone = zone or book.defaults.freight_zone
    rows = sorted((row for row in book.freight if row.zone == zone), key=lambda row: row.from_kg)
    if not rows:
        zones = ", ".join(sorted({row.zone for row in book.freight}))
        fault = Fault(
            "/site/freight_zone",
            say("freight zone {zone} is not in pricebook {book}", zone=repr(zone), book=book.id),
            zones,
        )
        raise ChoiceRefused(say("unknown freight zone {zone}", zone=repr(zone)), [fault])
    return rows


def _weighed(lines: Sequence[BuyLine], more_kg: Decimal, book: Book) -> tuple[Decimal, Decimal]:
    """The mass of all parts, and that of the packaging."""
    parts = sum((Decimal(repr(line.unit_mass_kg)) * line.ordered for line in lines), more_kg)
    packaging = (parts * Decimal(repr(book.packaging_share))).quantize(_GRAM, ROUND_HALF_UP)
    return parts.quantize(_GRAM, ROUND_HALF_UP), packaging


def _charge(parts: Decimal, packaging: Decimal, rows: Sequence[FreightRate], book: Book) -> FreightCharge:
    mass = parts + packaging
    row = [each for each in rows if Decimal(repr(each.from_kg)) <= mass][-1:] or [rows[0]]
    rate = row[0]
    amount = max(rate.minimum, rate.base + rate.per_kg * mass)
    charge = Money(amount, book.currency).rounded(book.rounding) if mass else zero(book.currency)
    weighed = say(
        "{parts} of parts + {packaging} of packaging = {mass}",
        parts=figure(parts, "", " kg", "mass"),
        packaging=figure(packaging, "", " kg", "mass"),
        mass=figure(mass, "", " kg", "mass"),
    )
    by_table = say(
        "zone {zone} from {least} kg: {base} + {rate} × {mass} kg, at least {minimum}",
        zone=rate.zone,
        least=figure(rate.from_kg, "g"),
        base=figure(rate.base),
        rate=figure(rate.per_kg),
        mass=figure(mass),
        minimum=figure(rate.minimum),
    )
    return FreightCharge(
        zone=rate.zone,
        parts_mass_kg=float(parts),
        packaging_mass_kg=float(packaging),
        mass_kg=float(mass),
        base=rate.base,
        per_kg=rate.per_kg,
        minimum=rate.minimum,
        charge=charge,
        why=(weighed, by_table),
    )


def falling_step(charge: FreightCharge, book: Book) -> tuple[Finding, ...]:
    """A note where the table falls: a heavier shipment, at the next step, would cost less than this one."""
    dearer = [
        (rate.from_kg, max(rate.minimum, rate.base + rate.per_kg * Decimal(repr(rate.from_kg))))
        for rate in book.freight
        if rate.zone == charge.zone and rate.from_kg > charge.mass_kg
    ]
    from_kg, amount_there = min(dearer, key=lambda step: step[1], default=(0.0, charge.charge.amount))
    there = Money(amount_there, book.currency).rounded(book.rounding)
    if not there < charge.charge:
        return ()
    message = say(
        "freight: {mass} cost {charge}, {heavier} would cost {less}: the table falls at its step",
        mass=figure(charge.mass_kg, "g", " kg", "mass"),
        charge=amount(charge.charge.amount, book.currency),
        heavier=figure(from_kg, "g", " kg", "mass"),
        less=amount(there.amount, book.currency),
    )
    return (
        Finding("freight_falls_at_step", "note", message, Place(subject="delivery"), charge.mass_kg, from_kg, "kg"),
    )


def no_freight(charge: FreightCharge) -> FreightCharge:
    """The same masses with nothing charged, for a quote without freight."""
    return replace(
        charge, charge=zero(charge.charge.currency), why=(*charge.why, say("freight is not part of this quote"))
    )
