"""Clamps on rails under uplift: each holds its share of the modules on either side of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from statistics import fmean

from estimator.attachment.capacity.annex_d import FEWEST_RESULTS
from estimator.attachment.capacity.partial_factors import of_part
from estimator.attachment.capacity.rail import Method
from estimator.attachment.capacity.safety_format import Rated, Tested, rated
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
from estimator.sentences import figure, say
from estimator.units import as_text


def clamp_strength_n(clamp: Clamp, method: Method) -> float | None:
    """Allowable force of a clamp, or its design strength."""
    found = rated_clamp(clamp, method)
    return None if found is None else found.value


def rated_clamp(clamp: Clamp, method: Method) -> Rated | None:
    """The strength of a clamp: the allowable force, 1.6 times that for LRFD [AISI S100, from memory], EN 1990 for EN.

    Without a characteristic value EN takes 1.6 times the allowable, and ``clamp_format_findings`` says so.
    """
    if method == "en" and (clamp.characteristic_n is not None or clamp.results_n):
        mean = clamp.characteristic_n or fmean(clamp.results_n)
        return rated(Tested(mean, clamp.results_n, clamp.characteristic_n), method, of_part(clamp.material))
    if clamp.allowable_n is None:
        return None
    if method == "asd":
        return Rated(clamp.allowable_n, 1.0, True, say("allowable force of the book"))
    how = say("allowable force of the book x {factor} [AISI S100]", factor=figure(safety_factor(1.0)))
    return Rated(clamp.allowable_n, safety_factor(1.0), False, how, by_other_format=method == "en")


def clamp_format_findings(choice: MountingChoice, methods: Iterable[Method]) -> list[Finding]:
    """Clamps whose strength is not in the format of EN 1990, where that is asked for: an error each."""
    if "en" not in set(methods):
        return []
    found = []
    for clamp in dict.fromkeys((choice.mid_clamp, choice.end_clamp)):
        strength = rated_clamp(clamp, "en")
        if strength is None or not strength.by_other_format:
            continue
        where = Place(role="clamp", part=clamp.part)
        text = say(
            "{where}: the pricebook gives neither a characteristic value nor at least {count} single results, which "
            "EN 1990 Annex D asks for; {factor} times the allowable force is used instead",
            where=where,
            count=FEWEST_RESULTS,
            factor=figure(safety_factor(1.0)),
        )
        found.append(Finding("no_characteristic_strength", "error", text, where, 0, FEWEST_RESULTS))
    return found


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
