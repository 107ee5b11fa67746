"""Lines, freight, labour and totals as JSON. Money is a decimal text; the currency stands in the totals."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from estimator.estimate import Estimate
from estimator.freight.records import FreightCharge
from estimator.labour.records import Labour
from estimator.money import Money, minor_digits
from estimator.pricing.records import PricedLine
from estimator.takeoff.records import RuleShare
from estimator.units import DisplayUnits, as_text

Entry = dict[str, Any]


def money(amount: Money | None) -> str | None:
    """An amount with its currency's decimals, if there is one."""
    if amount is None:
        return None
    digits = minor_digits(amount.currency)
    rounded = amount.rounded()
    return f"{rounded.amount if rounded.amount == amount.amount else amount.amount:.{digits}f}"


def plain(number: Decimal) -> str:
    """A decimal without an exponent."""
    return f"{number:f}"


def line_entry(priced: PricedLine, units: DisplayUnits, *, costs: bool) -> Entry:
    """One line with its derivation."""
    line = priced.line
    entry: Entry = {
        "part": line.part,
        "role": line.role,
        "group": priced.group,
        "description": line.description,
        "unit": line.unit,
        "net": line.net,
        "spare": line.spare,
        "required": line.required,
        "pack_size": line.pack_size,
        "packs": line.packs,
        "ordered": line.ordered,
        "unit_mass": line.unit_mass_kg,
        "mass": line.mass_kg,
        "why": list(line.why),
        "shares": [_share(each) for each in line.shares],
        "unit_price": plain(priced.unit_price),
        "discount": plain(priced.discount),
        "price": money(priced.price),
        "display": {
            "unit_mass": as_text(line.unit_mass_kg, "mass", units),
            "mass": as_text(line.mass_kg, "mass", units),
        },
    }
    if costs:
        entry |= {
            "supplier": line.supplier,
            "unit_cost": plain(priced.unit_cost),
            "cost": money(priced.cost),
            "break_from": priced.break_from,
            "price_rule": priced.price_rule,
        }
    return entry


def freight_entry(freight: FreightCharge, units: DisplayUnits) -> Entry:
    """The shipped mass and its charge."""
    return {
        "zone": freight.zone,
        "parts_mass": freight.parts_mass_kg,
        "packaging_mass": freight.packaging_mass_kg,
        "mass": freight.mass_kg,
        "base": plain(freight.base),
        "per_kg": plain(freight.per_kg),
        "minimum": plain(freight.minimum),
        "charge": money(freight.charge),
        "why": list(freight.why),
        "display": {"mass": as_text(freight.mass_kg, "mass", units)},
    }


def labour_entry(labour: Labour, *, costs: bool) -> Entry:
    """Hours by activity and their price."""
    lines = []
    for each in labour.lines:
        entry: Entry = {
            "activity": each.activity,
            "description": each.description,
            "basis": each.basis,
            "basis_count": plain(each.basis_count),
            "minutes_each": plain(each.minutes_each),
            "hours": plain(each.hours),
            "rate": plain(each.rate),
            "price": money(each.price),
            "why": each.why,
        }
        lines.append(entry | ({"cost": money(each.cost)} if costs else {}))
    entry = {"hours": plain(labour.hours), "price": money(labour.price), "lines": lines}
    return entry | ({"cost": money(labour.cost)} if costs else {})


def totals_entry(estimate: Estimate, *, costs: bool) -> Entry:
    """The totals in the order they are reached."""
    totals = estimate.bill.totals
    entry: Entry = {
        "parts": money(totals.parts),
        "discount_rate": plain(totals.discount_rate),
        "discount": money(totals.discount),
        "freight": money(totals.freight),
        "labour": money(totals.labour),
        "contingency_rate": plain(totals.contingency_rate),
        "contingency": money(totals.contingency),
        "before_tax": money(totals.before_tax),
        "tax_name": totals.tax_name,
        "tax_rate": plain(totals.tax_rate),
        "tax_per": totals.tax_per,
        "tax": money(totals.tax),
        "total": money(totals.total),
        "currency": totals.total.currency,
    }
    if costs:
        entry |= {
            "cost": money(totals.cost),
            "margin": money(totals.margin),
            "margin_rate": plain(totals.margin_rate),
            "pricing_method": estimate.bill.pricing_method,
            "pricing_rate": plain(estimate.bill.pricing_rate),
        }
    return entry


def _share(share: RuleShare) -> Entry:
    return {
        "rule": share.rule,
        "count": str(share.count),
        "for_each": share.for_each,
        "per": share.per,
        "basis": str(share.basis),
        "asked": str(share.asked),
        "note": share.note,
        "places": [{"place": place, "count": str(count)} for place, count in share.places],
    }
