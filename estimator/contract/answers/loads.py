"""The loads of a job as JSON: every pressure with its factors and clauses, every span with what governs it.

Signs: uplift negative, downward positive, down the slope positive. ``own`` is in the standard's own unit.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from estimator.attachment.load_report import LoadReport, RoofLoads
from estimator.attachment.under_load.records import LineCheck, ZoneSpan, ZoneUse
from estimator.errors import Finding
from estimator.estimate import Estimate
from estimator.loads.actions.steps import Step
from estimator.loads.sheet import ZoneSheet

Entry = dict[str, Any]


def loads_entry(estimate: Estimate) -> Entry:
    """The loads of an estimate."""
    return report_entry(estimate.loads)


def report_entry(report: LoadReport) -> Entry:
    """The whole report: each roof's calculation, and the distinct lines that were checked.

    What holds for the first roof stands at the top as well: a job of one roof is read without looking further.
    """
    roofs = [_roof(each) for each in report.roofs]
    return {
        **(roofs[0] if roofs else {}),
        "roofs": roofs,
        "lines_checked": [_line(each) for each in report.checks],
        "line_of_run": [place + 1 for place in report.check_of],
    }


def _roof(roof: RoofLoads) -> Entry:
    sheet = roof.sheet
    uses = {use.zone: use for use in roof.zones}
    return {
        "roof": roof.name,
        "standard": sheet.standard,
        "method": sheet.method,
        "computed": sheet.computed,
        "velocity_pressure": sheet.velocity_pressure.pa,
        "factors": {str(step.symbol): step.value for step in sheet.wind_steps},
        "snow": {
            "flat": sheet.snow_flat.pa,
            "sloped": sheet.snow_sloped.pa,
            "design": sheet.snow_design.pa,
            "ridge": sheet.snow_ridge.pa,
            "factors": {str(step.symbol): step.value for step in sheet.snow_steps},
            "own": {
                "flat": sheet.snow_flat.own,
                "sloped": sheet.snow_sloped.own,
                "design": sheet.snow_design.own,
                "ridge": sheet.snow_ridge.own,
            },
        },
        "dead": sheet.dead.pa,
        "own_unit": sheet.own_unit,
        "own": {"velocity_pressure": sheet.velocity_pressure.own, "dead": sheet.dead.own},
        "steps": [_step(each) for each in (*sheet.wind_steps, *sheet.snow_steps, *sheet.dead_steps)],
        "zones": [
            _zone(each, sheet.coefficient)
            | _spans([span for span in roof.spans if span.zone == each.zone])
            | _use(uses.get(each.zone))
            for each in sheet.zones
        ],
        "strength": _strengths(roof),
        "checks": [_finding(each) for each in sheet.findings],
    }


def _zone(zone: ZoneSheet, coefficient: str) -> Entry:
    loads = {
        "wind_uplift": zone.wind_uplift,
        "wind_downward": zone.wind_downward,
        "snow": zone.snow_plan,
        "uplift": zone.uplift,
        "downward": zone.downward,
        "along_slope": zone.along_slope,
    }
    return {
        "zone": zone.zone,
        "effective_area": zone.area_m2,
        "coefficient": coefficient,
        coefficient: {"uplift": zone.c_uplift, "downward": zone.c_downward},
        "coefficient_source": zone.c_uplift_source,
        "coefficient_mark": zone.c_uplift_mark,
        "factors": {"edge": zone.gamma_e, "pressure_equalisation": zone.gamma_a},
        **{name: load.pa for name, load in loads.items()},
        "own": {"effective_area": zone.area_own} | {name: load.own for name, load in loads.items()},
        "governing": {
            "uplift": zone.governing_uplift,
            "downward": zone.governing_downward,
            "along_slope": zone.governing_along,
        },
        "steps": [_step(each) for each in zone.steps],
        "polygons": [[list(point) for point in polygon] for polygon in zone.polygons],
    }


def _spans(spans: Sequence[ZoneSpan]) -> Entry:
    """Every span of the zone, and the shortest of them, which is the one to keep to."""
    shortest = min(spans, key=lambda span: span.span_mm, default=None)
    return {
        "allowed_span": _finite(shortest.span_mm) if shortest else None,
        "governs": shortest.governs if shortest else "",
        "spans": [_span(each) for each in spans],
    }


def _span(span: ZoneSpan) -> Entry:
    return {
        "tributary_width": span.tributary_mm,
        "span": _finite(span.span_mm),
        "ribs": span.ribs,
        "span_without_ribs": _finite(span.free_mm),
        "governs": span.governs,
        "cantilever": _finite(span.cantilever_mm),
        "cantilever_governs": span.cantilever_governs,
        "effective_area": span.area_m2,
        "uplift": span.uplift_pa,
        "downward": span.downward_pa,
        "along_slope": span.along_pa,
        "uplift_combination": span.uplift_combination,
        "downward_combination": span.downward_combination,
    }


def _use(use: ZoneUse | None) -> Entry:
    if use is None:
        return {"attachments": 0, "utilisation": None, "worst_at": ""}
    return {"attachments": use.attachments, "utilisation": use.utilisation, "worst_at": use.where}


def _line(check: LineCheck) -> Entry:
    return {
        "length": check.line.length_mm,
        "tributary_width": check.line.tributary_mm,
        "zones": list(check.line.zones),
        "borders": list(check.line.borders_mm),
        "attachments": [
            {
                "at": at,
                "utilisation": each.utilisation,
                "zone": each.zone,
                "effective_area": each.area_m2,
                "combination": each.combination,
                "normal_force": each.normal_n,
                "along_slope_force": each.along_n,
            }
            for at, each in zip(check.line.attachments_mm, check.attachments, strict=False)
        ],
        "fields": [
            {
                "from": each.start_mm,
                "to": each.end_mm,
                "cantilever": each.cantilever,
                "bending": each.bending,
                "deflection": each.deflection,
                "moment": each.moment_n_mm,
                "deflection_length": each.deflection_mm,
            }
            for each in check.fields
        ],
    }


def _strengths(roof: RoofLoads) -> Entry | None:
    strength = roof.strength
    if strength is None:
        return None
    return {
        "method": strength.capacity.method,
        "rail_moment": _finite(strength.moment_n_mm),
        "bending_governs": strength.bending_governs,
        "deflection_ratio": strength.deflection_ratio,
    }


def _step(step: Step) -> Entry:
    return {
        "symbol": step.symbol,
        "value": step.value,
        "unit": step.unit,
        "formula": step.formula,
        "clause": step.clause,
        "mark": step.mark,
        "note": step.note,
    }


def _finding(found: Finding) -> Entry:
    return {"code": found.code, "severity": found.severity, "message": found.message, "where": found.where}


def _finite(number: float) -> float | None:
    return number if math.isfinite(number) else None
