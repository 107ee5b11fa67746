"""The freight sheet: mass from the quantities, the row of the zone's table, the charge."""

from __future__ import annotations

from decimal import Decimal

from estimator.documents.workbook.draft import Draft, number
from estimator.documents.workbook.looks import COUNT, LABEL, MASS, NOTE, PERCENT, STRONG, Look, as_total
from estimator.documents.workbook.page import Page, at
from estimator.documents.workbook.printing import print_wide
from estimator.documents.workbook.tables import Column, Heads, Row, write_table
from estimator.pricebook import FreightRate


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
    parts, packaging = number(freight.parts_mass_kg), number(freight.packaging_mass_kg)
    mass_of_lines = _exact_mass(takeoff, added)
    money = draft.money
    found = f"IFERROR(MATCH(ShippedMass,{heads.column('from')},1),1)"
    at_row = {key: f"INDEX({heads.column(key)},FreightRow)" for key in ("base", "per_kg", "minimum")}
    charge = draft.rounded(f"MAX({at_row['minimum']},{at_row['base']}+{at_row['per_kg']}*ShippedMass)")
    included = f'IF(OR(FreightIncluded<>"{t("yes")}",ShippedMass=0),0,{charge})'
    steps: list[tuple[str, str, str, Decimal | int, Look]] = [
        (t("Mass of parts (kg)"), "PartsMass", f"ROUND({mass_of_lines},3)", parts, MASS),
        (t("Packaging, share of that mass"), "PackagingShare", "", number(draft.book.packaging_share), PERCENT),
        (t("Packaging (kg)"), "PackagingMass", f"ROUND(ROUND(({mass_of_lines})*PackagingShare,9),3)", packaging, MASS),
        (t("Shipped mass (kg)"), "ShippedMass", "ROUND(PartsMass+PackagingMass,3)", number(freight.mass_kg), MASS),
        (t("Row of the table"), "FreightRow", found, _row_found(rates, number(freight.mass_kg)), COUNT),
        (t("Freight"), "FreightCharge", included, freight.charge.amount, as_total(money.amount)),
    ]
    for at_step, (label, name, formula, value, look) in enumerate(steps, start=row + 1):
        page.put(at_step, 1, label, as_total(STRONG) if name == "FreightCharge" else LABEL)
        if formula:
            page.formula(at_step, 2, formula, value, look)
        else:
            page.put(at_step, 2, value, look)
        draft.define(name, page, at(at_step, 2))
    _explain(draft, page, row + len(steps) + 2)
    print_wide(draft, page, upright=True)


def _exact_mass(takeoff: Heads, added: Heads) -> str:
    """The sum of the lines' masses, cleared of what binary figures leave behind the ninth place."""
    return f"ROUND(SUM({takeoff.column('mass')})+SUM({added.column('shipped_mass')}),9)"


def _write_rates(draft: Draft, page: Page, rates: list[FreightRate]) -> Heads:
    t, money = draft.t, draft.money
    columns = (
        Column("from", t("From mass (kg)"), 34, MASS),
        Column("base", t("Base charge"), 18, money.amount),
        Column("per_kg", t("Charge per kg"), 16, money.unit_price),
        Column("minimum", t("At least"), 16, money.amount),
    )
    rows: list[Row] = [
        {"from": number(each.from_kg), "base": each.base, "per_kg": each.per_kg, "minimum": each.minimum}
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
