"""The freight sheet: mass from the quantities, the row of the zone's table, the charge."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import COUNT, LABEL, MASS, NOTE, PERCENT, STRONG, Look, as_total
from estimator.documents.xlsx.numbers.figures import number
from estimator.documents.xlsx.numbers.measures import (
    factor_of,
    in_unit,
    keys_of,
    measured,
    measured_columns,
    measured_heads,
    named_with,
)
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.tables import Column, Heads, Row, write_table
from estimator.pricebook import FreightRate
from estimator.units import System

_PER_LB = Look(number_format="0.00######", across="right", rule="below")
"""A charge per lb has more places than the pricebook's per kg, and shows them, so that it can be followed."""


def write_freight(draft: Draft, takeoff: Heads, added: Heads) -> None:
    """The zone's table above, the masses and the charge below it."""
    t = draft.t
    page = draft.page(t("Freight"))
    freight = draft.estimate.freight
    page.head(t("Freight"), t("Zone {zone}: the charge follows the shipped mass.", zone=freight.zone))
    rates = _rates(draft)
    heads = _write_rates(draft, page, rates)
    row = 6 + len(rates)
    page.heading(row, t("Shipment"))
    steps = [*_mass_steps(draft, takeoff, added), *_charge_steps(draft, heads, rates)]
    for at_step, step in enumerate(steps, start=row + 1):
        page.put(at_step, 1, step.label, as_total(STRONG) if step.name == "FreightCharge" else LABEL)
        if step.formula:
            page.formula(at_step, 2, step.formula, step.value, step.look)
        else:
            page.put(at_step, 2, step.value, step.look)
        if step.name:
            draft.define(step.name, page, at(at_step, 2))
    _explain(draft, page, row + len(steps) + 2)
    print_wide(draft, page, upright=True)


@dataclass(frozen=True, slots=True)
class _Step:
    """One line of the shipment: what it is, the name formulas use (none for a mass said again), formula and value."""

    label: str
    name: str
    formula: str
    value: Decimal | int
    look: Look


def _mass_steps(draft: Draft, takeoff: Heads, added: Heads) -> Iterator[_Step]:
    """Parts, packaging and shipped mass to the gram, as the engine rounds them, in the reader's units."""
    t, freight = draft.t, draft.estimate.freight
    exact = _exact_kg(draft, takeoff, added)
    parts, packaging = f"ROUND({exact},3)", f"ROUND(ROUND(({exact})*PackagingShare,9),3)"
    shipped = f"ROUND({_in_kg('(PartsMass+PackagingMass)', _system(draft))},3)"
    yield from _in_units(draft, (t("Mass of parts (kg)"), "PartsMass"), parts, freight.parts_mass_kg)
    share = number(draft.book.packaging_share)
    yield _Step(t("Packaging, share of that mass"), "PackagingShare", "", share, PERCENT)
    yield from _in_units(draft, (t("Packaging (kg)"), "PackagingMass"), packaging, freight.packaging_mass_kg)
    yield from _in_units(draft, (t("Shipped mass (kg)"), "ShippedMass"), shipped, freight.mass_kg)


def _charge_steps(draft: Draft, heads: Heads, rates: list[FreightRate]) -> Iterator[_Step]:
    """The row of the table and the charge. Pounds are cleared of what binary figures leave of the pricebook's kg."""
    t, freight = draft.t, draft.estimate.freight
    system = _system(draft)
    mass = "ShippedMass" if system == "metric" else "ShippedMass+0.0000001"
    found = f"IFERROR(MATCH({mass},{heads.column(_key(draft, 'from'))},1),1)"
    base, per, minimum = (f"INDEX({heads.column(key)},FreightRow)" for key in ("base", _key(draft, "per"), "minimum"))
    by_mass = f"{base}+{per}*ShippedMass"
    charge = draft.rounded(f"MAX({minimum},{by_mass if system == 'metric' else f'ROUND({by_mass},9)'})")
    included = f'IF(OR(FreightIncluded<>"{t("yes")}",ShippedMass=0),0,{charge})'
    yield _Step(t("Row of the table"), "FreightRow", found, _row_found(rates, number(freight.mass_kg)), COUNT)
    yield _Step(t("Freight"), "FreightCharge", included, freight.charge.amount, as_total(draft.money.amount))


def _system(draft: Draft) -> System:
    """The system the charge is calculated in: the pricebook's kilograms wherever they are shown."""
    return "metric" if "metric" in draft.formats.systems else "us"


def _key(draft: Draft, key: str) -> str:
    """The key of a quantity's column in the system the charge is calculated in."""
    return next(each for each, system in keys_of(key, draft.units) if system == _system(draft))


def _in_kg(mass: str, system: System) -> str:
    return mass if system == "metric" else f"{mass}*{factor_of('mass', system)}"


def _in_units(draft: Draft, named: tuple[str, str], formula_kg: str, kg: float) -> Iterator[_Step]:
    """A mass in each of the reader's units; the one that is calculated with carries the name."""
    label, name = named
    reckoned = _system(draft)
    for system in draft.formats.systems:
        shown = named_with(label, "mass", system)
        formula = name if system != reckoned else formula_kg
        if system != "metric":
            formula += f"/{factor_of('mass', system)}"
        yield _Step(shown, name if system == reckoned else "", formula, in_unit(kg, "mass", system), MASS)


def _exact_kg(draft: Draft, takeoff: Heads, added: Heads) -> str:
    """The sum of the lines' masses in kg, cleared of what binary figures leave behind the ninth place."""
    system = _system(draft)
    mass, shipped = takeoff.column(_key(draft, "mass")), added.column(_key(draft, "shipped_mass"))
    return f"ROUND({_in_kg(f'(SUM({mass})+SUM({shipped}))', system)},9)"


def _write_rates(draft: Draft, page: Page, rates: list[FreightRate]) -> Heads:
    t, money = draft.t, draft.money
    units = draft.units
    looks: dict[System, Look] = {"metric": money.unit_price, "us": _PER_LB}
    head = measured_heads("from", t("From mass (kg)"), "mass", units)
    head |= measured_heads("per", t("Charge per kg"), "mass", units)
    first, *others = measured_columns("from", head, units, 34, MASS)
    columns = (
        first,
        *(replace(each, width=16) for each in others),
        Column("base", t("Base charge"), 18, money.amount),
        *measured_columns("per", head, units, 16, looks),
        Column("minimum", t("At least"), 16, money.amount),
    )
    rows: list[Row] = [
        {
            **measured("from", each.from_kg, "mass", units),
            "base": each.base,
            **{key: each.per_kg * factor_of("mass", system) for key, system in keys_of("per", units)},
            "minimum": each.minimum,
        }
        for each in rates
    ]
    write_table(page, 4, "FreightRates", columns, rows)
    return Heads("FreightRates", {column.key: column.head for column in columns})


def _rates(draft: Draft) -> list[FreightRate]:
    """The zone's rows in ascending order, as the engine takes them."""
    zone = draft.estimate.freight.zone
    return sorted((each for each in draft.book.freight if each.zone == zone), key=lambda each: each.from_kg)


def _row_found(rates: list[FreightRate], mass: Decimal) -> int:
    return max(1, sum(1 for each in rates if number(each.from_kg) <= mass))


def _explain(draft: Draft, page: Page, row: int) -> None:
    for at_why, said in enumerate(draft.estimate.freight.why, start=row):
        why = draft.reader.say(said)
        page.put(at_why, 1, why, NOTE)
        page.merge(at_why, 1, 4)
        page.lines(at_why, why, 90)
