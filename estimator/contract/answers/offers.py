"""An offer as JSON: the estimate, its comparison, and where every number comes from."""

from __future__ import annotations

from typing import Any

from estimator.comparison.records import Comparison, Offer, Side
from estimator.contract.answers.bill import freight_entry, labour_entry, line_entry, money, totals_entry
from estimator.contract.answers.cutting import cut_plan_entry
from estimator.contract.answers.loads import loads_entry
from estimator.contract.answers.runs import counts_entry, roofs_entry
from estimator.errors import Finding
from estimator.estimate import Choice, Estimate
from estimator.units import DisplayUnits, as_text, systems_of

Entry = dict[str, Any]


def offer_entry(offer: Offer, *, costs: bool) -> Entry:
    """The whole answer of an estimate. Without ``costs`` nothing in it tells what the house pays or earns."""
    estimate = offer.estimate
    units = estimate.job.display_units
    return {
        "reference": estimate.job.reference,
        "title": estimate.job.title,
        "display_units": units if len(systems_of(units)) == 1 else "both",
        "counts": counts_entry(estimate.counts.counts, units),
        "roofs": roofs_entry(estimate),
        "loads": loads_entry(estimate),
        "mounting": _mounting(estimate),
        "choices": [_choice(each) for each in estimate.choices],
        "lines": [line_entry(each, units, costs=costs) for each in estimate.bill.lines],
        "cut_plan": cut_plan_entry(estimate, costs=costs),
        "clearance": _clearance(estimate),
        "checks": [check_entry(each, estimate) for each in estimate.checks],
        "can_be_issued": not estimate.errors,
        "freight": freight_entry(estimate.freight, units),
        "labour": labour_entry(estimate.labour, costs=costs),
        "totals": totals_entry(estimate, costs=costs),
        "comparison": comparison_entry(offer.comparison, units),
        "cautions": list(estimate.cautions),
        "provenance": provenance_entry(estimate),
    }


def provenance_entry(estimate: Estimate) -> Entry:
    """What the numbers stand on."""
    stands = estimate.provenance
    return {
        "pricebook": stands.pricebook,
        "edition": stands.edition,
        "sha256": stands.sha256,
        "engine": stands.engine,
        "input_sha256": stands.input_sha256,
        "priced_on": stands.priced_on.isoformat(),
        "valid_until": stands.valid_until.isoformat(),
        "invented_prices": estimate.invented,
    }


def check_entry(check: Finding, estimate: Estimate) -> Entry:
    """One check, and whether somebody let it stand."""
    entry: Entry = {
        "code": check.code,
        "severity": check.severity,
        "message": check.message,
        "where": check.where,
        "found": check.found,
        "allowed": check.allowed,
        "unit": check.unit,
    }
    for each in estimate.overridden:
        if (each.code, each.where) == (check.code, check.where):
            entry["overridden"] = {"by": each.by, "reason": each.reason}
    return entry


def comparison_entry(comparison: Comparison, units: DisplayUnits) -> Entry:
    """The materials side by side, what the lighter saves, and the other ways that were asked for."""
    saving: Entry = {}
    if comparison.saving_mass_kg is not None:
        saving = {
            "mass": comparison.saving_mass_kg,
            "mass_share": comparison.saving_mass_share,
            "freight": money(comparison.saving_freight),
            "total": money(comparison.saving_total),
            "display": {"mass": as_text(comparison.saving_mass_kg, "mass", units)},
        }
    return {
        "aluminium": _side(comparison.aluminium, units),
        "steel": _side(comparison.steel, units),
        "saving": saving,
        "why_not": list(comparison.why_not),
        "others": [_side(each, units) for each in comparison.others],
    }


def _side(side: Side | None, units: DisplayUnits) -> Entry | None:
    if side is None:
        return None
    return {
        "subject": side.subject,
        "option": side.option,
        "bracket": side.bracket,
        "rail": side.rail or None,
        "attachments": side.attachments,
        "mass": side.mass_kg,
        "shipped_mass": side.shipped_mass_kg,
        "parts": money(side.parts),
        "freight": money(side.freight),
        "labour": money(side.labour),
        "total": money(side.total),
        "currency": side.total.currency,
        "errors": list(side.errors),
        "display": {
            "mass": as_text(side.mass_kg, "mass", units),
            "shipped_mass": as_text(side.shipped_mass_kg, "mass", units),
        },
    }


def _choice(choice: Choice) -> Entry:
    return {
        "subject": choice.subject,
        "chosen": choice.chosen,
        "given": choice.given,
        "why": choice.why,
        "alternatives": [
            {"option": each.option, "total": money(each.total), "errors": list(each.errors)}
            for each in choice.alternatives
        ],
    }


def _mounting(estimate: Estimate) -> Entry:
    choice, limits = estimate.mounting, estimate.setting_out.limits
    units = estimate.job.display_units
    return {
        "arrangement": choice.arrangement,
        "rail_direction": choice.rail_direction,
        "material": choice.material,
        "bracket": choice.bracket.part,
        "rail": choice.rail.rail if choice.rail else None,
        "stock_lengths": sorted({each.length_mm for each in choice.stocks}),
        "mid_clamp": choice.mid_clamp.part,
        "end_clamp": choice.end_clamp.part,
        "rails_per_row": choice.rails_per_row,
        "clamping_position": choice.clamping_position,
        "rail_overhang": choice.rail_overhang_mm,
        "stagger": choice.stagger,
        "max_span": limits.max_span_mm,
        "max_span_source": limits.span_source,
        "max_cantilever": limits.max_cantilever_mm,
        "max_cantilever_source": limits.cantilever_source,
        "display": {
            "max_span": as_text(limits.max_span_mm, "length", units),
            "max_cantilever": as_text(limits.max_cantilever_mm, "length", units),
        },
    }


def _clearance(estimate: Estimate) -> Entry:
    units = estimate.job.display_units
    roofs = [
        {
            "roof": each.roof,
            "rib_height": each.rib_height_mm,
            "bracket_height": each.bracket_height_mm,
            "rail_height": each.rail_height_mm,
            "under_module": each.under_module_mm,
            "window": list(each.window_mm),
            "display": {
                "under_module": as_text(each.under_module_mm, "length", units),
                "window": [as_text(edge, "length", units) for edge in each.window_mm],
            },
        }
        for each in estimate.clearances
    ]
    if not roofs:
        return {"under_module": None, "window": None, "roofs": []}
    lowest = min(roofs, key=lambda each: float(str(each["under_module"])))
    return {**{name: lowest[name] for name in ("under_module", "window", "display")}, "roofs": roofs}
