"""Clamps on rails under uplift: each holds its share of the modules on either side of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from estimator.attachment.capacity.rail import Method
from estimator.attachment.capacity.series import safety_factor
from estimator.attachment.records import Run
from estimator.attachment.under_load.records import ZoneSpan
from estimator.errors import Finding
from estimator.job import Job
from estimator.layout import Layout
from estimator.loads import Pressures, effective_area_m2, zone_pressures
from estimator.mounting.records import MountingChoice
from estimator.places import Place
from estimator.pricebook import Clamp
from estimator.sentences import say
from estimator.units import as_text


def clamp_strength_n(clamp: Clamp, method: Method) -> float | None:
    """Allowable force of a clamp, or its design strength: 1.6 times the allowable [AISI S100, from memory]."""
    if clamp.allowable_n is None:
        return None
    return clamp.allowable_n if method == "asd" else clamp.allowable_n * safety_factor(1.0)


def clamp_findings(
    job: Job,
    choice: MountingChoice,
    layout: Layout,
    pressures: Sequence[Pressures],
    spans: Iterable[ZoneSpan],
    runs: Sequence[Run],
) -> list[Finding]:
    """Zones in which a clamp on a rail would be pulled harder than it may; clamps without a strength are not checked.

    A mid clamp holds the rail's tributary width over one module, an end clamp over half of one. Where modules lift off
    a rail under load from above, its clamps hold that. Source: common practice, no source.
    """
    found = []
    lifted = {roof: max((run.reversed_mm for run in runs if run.roof == roof), default=0.0) for roof in _roofs(layout)}
    for roof in layout.roofs:
        along_x = choice.rail_direction == "across_ribs"
        modules = {array.module_x_mm if along_x else array.module_y_mm for array in roof.arrays}
        for zone in spans:
            if zone.roof != roof.roof or not modules:
                continue
            for clamp, share in ((choice.mid_clamp, 1.0), (choice.end_clamp, 0.5)):
                finding = _pulled(job, pressures[roof.roof], zone, clamp, share * max(modules), lifted[roof.roof])
                found += [finding] if finding else []
    return found


def _roofs(layout: Layout) -> list[int]:
    return [roof.roof for roof in layout.roofs]


def _pulled(
    job: Job, pressures: Pressures, zone: ZoneSpan, clamp: Clamp, length_mm: float, lifted_mm: float
) -> Finding | None:
    allowed = clamp_strength_n(clamp, pressures.method)
    if allowed is None:
        return None
    area = effective_area_m2(pressures, [length_mm], zone.tributary_mm)
    found = zone_pressures(pressures, zone.zone, area)
    pulled_n_mm = max(-float(found.uplift_pa[0]) * zone.tributary_mm, float(found.downward_pa[0]) * lifted_mm)
    force = pulled_n_mm * length_mm * 1e-6
    if force <= allowed * (1 + 1e-9):
        return None
    where = Place(roof=job.roofs[zone.roof].name, zone=zone.zone, role="clamp", part=clamp.part)
    pulled, strength = (as_text(value, "force", job.display_units) for value in (force, allowed))
    text = say(
        "{where}: pulled with {force}, {allowed} allowed; a stronger clamp or more rails per row would help",
        where=where,
        force=pulled,
        allowed=strength,
    )
    return Finding("clamp_overloaded", "error", text, where, round(force, 3), round(allowed, 3), "N")
