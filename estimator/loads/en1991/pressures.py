"""The loads of one roof plane by EN 1990, EN 1991-1-3 and EN 1991-1-4."""

from __future__ import annotations

import math
from dataclasses import dataclass

from estimator.errors import Fault, Finding, LoadsRefused
from estimator.job import Module, Roof
from estimator.loads.actions.assumptions import assumed, memory_note, no_snow_given, snow_not_covered, unconfirmed
from estimator.loads.actions.clauses import Clause
from estimator.loads.actions.dead import dead_steps, module_dead_load_pa
from estimator.loads.actions.named_factors import named_factors
from estimator.loads.actions.panel_setting import PanelSetting
from estimator.loads.actions.records import Pressures, Snow, Wind, Zone
from estimator.loads.actions.steps import Mark, Step
from estimator.loads.en1991.annexes import ANNEXES, NationalNumbers
from estimator.loads.en1991.combinations import en_exceptional, en_service, en_ultimate
from estimator.loads.en1991.site_faults import EN_FACTORS, en_faults
from estimator.loads.en1991.snow import EnSnowFactors, en_snow_steps, roof_snow
from estimator.loads.en1991.wind.peak_pressure import (
    PeakPressure,
    peak_pressure_steps,
    peak_velocity_pressure,
)
from estimator.loads.en1991.zones import EnZones, lay_zones_en, strip_width
from estimator.loads.zoning.footprint import Footprint, footprint
from estimator.loads.zoning.plane import Plane
from estimator.places import Place
from estimator.sentences import Sentence, figure, placed, say
from estimator.site_loads import EnLoads

FLAT_UNDER_DEG = 5.0
ZONE_NAMES = say(
    "a zone is named by its letter for wind on this eave (0), on the other or high eave (180) and on a gable "
    "(90); the most severe of them governs"
)


@dataclass(frozen=True, slots=True)
class EnSite:
    """One plane on its site, everything checked. ``ridge_mm`` is the height of the ridge above ground."""

    loads: EnLoads
    roof: Roof
    plane: Plane
    building: Footprint
    ridge_mm: float
    factors: dict[str, float]

    @property
    def numbers(self) -> NationalNumbers:
        """Those of the annex that the job names."""
        return ANNEXES[self.loads.annex]

    @property
    def given_symbols(self) -> frozenset[str]:
        """The numbers that the job sets itself; orography goes by two symbols."""
        return frozenset("co" if symbol == "c0" else symbol for symbol in self.factors)


def en_pressures(loads: EnLoads, roof: Roof, module: Module, setting: PanelSetting) -> Pressures:
    """Wind, snow and dead load of one plane with their combinations.

    Errors: LoadsRefused with every fault of the site.
    """
    site = _site(loads, roof)
    peak = _peak(site)
    laid = _lay(site)
    snow, snow_lines, notes = _snow(site)
    partial, f = site.numbers.partial_with(site.factors, site.loads.altitude_mm or 0.0), site.factors
    dead = module_dead_load_pa(module, setting.hardware_kg_m2)
    zones = tuple(
        Zone(name, tuple(z.suction for z in members), tuple(z.pressure for z in members), snow.design_plan_pa)
        for name, members in laid.members
    )
    notes += _wind_notes(site, laid)
    return Pressures(
        standard=loads.standard,
        method="en",
        own_unit="Pa",
        slope_deg=roof.slope_deg,
        wind=Wind(peak.qp, peak.qp),
        snow=snow,
        dead_pa=dead,
        zones=zones,
        zone_map=laid.zone_map,
        combinations=(*en_ultimate(partial), *([en_exceptional(f["Cesl"])] if "Cesl" in f else [])),
        service=en_service(partial),
        fixed_area_m2=module.length_mm * module.width_mm / 1e6 if loads.effective_area == "module" else None,
        wind_steps=(*peak_pressure_steps(peak, site.given_symbols, site.numbers.title), *_strip_steps(site)),
        snow_steps=snow_lines,
        dead_steps=dead_steps(module, setting.hardware_kg_m2, dead),
        findings=tuple(notes),
        coefficient_symbol="cpe",
    )


def _site(loads: EnLoads, roof: Roof) -> EnSite:
    plane = Plane(roof.eave_length_mm, roof.slope_length_mm, roof.slope_deg, loads.building.roof_form or "gable")
    factors, faults = named_factors(loads.factors, EN_FACTORS)
    faults = en_faults(loads) + faults
    building: Footprint | Fault = Footprint(1.0, 1.0)
    if loads.building.length_mm and loads.building.width_mm:
        building = footprint(loads.building, roof, plane.run_mm)
    if isinstance(building, Fault):
        faults.append(building)
    if faults or isinstance(building, Fault):
        raise LoadsRefused(say("{name} roof: no loads by EN 1991 from what the site gives", name=roof.name), faults)
    return EnSite(loads, roof, plane, building, _ridge_mm(loads, plane, factors), factors)


def _ridge_mm(loads: EnLoads, plane: Plane, factors: dict[str, float]) -> float:
    """Height of the ridge, which the standard measures to: given as ze, or from the plane's rise.

    The rise stands on the eave where its height is given; else half of it on the mean roof height.
    """
    if "ze" in factors:
        return factors["ze"] * 1000
    rise = plane.run_mm * math.tan(math.radians(plane.slope_deg))
    from_mean = (loads.building.mean_roof_height_mm or 0.0) + rise / 2
    return from_mean if loads.building.eave_height_mm is None else max(loads.building.eave_height_mm + rise, from_mean)


def _peak(site: EnSite) -> PeakPressure:
    parameters = site.numbers.wind_with(site.factors)
    terrain = site.loads.terrain or ""
    return peak_velocity_pressure(site.loads.wind_speed_m_s or 0.0, site.ridge_mm / 1000, terrain, parameters)


def _lay(site: EnSite) -> EnZones:
    if site.plane.form == "flat" and site.plane.slope_deg >= FLAT_UNDER_DEG:
        found = say(
            "roof form flat at {slope_deg}: no coefficients by EN 1991-1-4",
            slope_deg=figure(site.plane.slope_deg, "g", " deg", "angle"),
        )
        fault = Fault("/site/loads/roof_form", found, say("flat under 5 deg; gable or monoslope from 5 deg"))
        raise LoadsRefused(
            say("{name} roof: {found}; allowed: {allowed}", name=site.roof.name, found=found, allowed=fault.allowed),
            [fault],
        )
    try:
        return lay_zones_en(site.plane, site.ridge_mm, site.building.along_mm, site.building.across_mm)
    except LoadsRefused as refusal:
        raise LoadsRefused(
            say("{name} roof: {refusal}", name=site.roof.name, refusal=refusal.told), refusal.faults
        ) from refusal


def _strip_steps(site: EnSite) -> tuple[Step, ...]:
    clause, formula = Clause("EN 1991-1-4", "7.2"), say("{formula}, on plan", formula="min(b, 2 h)")
    rows = (("0", site.building.along_mm), ("90", site.building.across_mm))
    return tuple(
        Step(f"e (theta {theta})", strip_width(b, site.ridge_mm) / 1000, "m", formula, clause, "computed")
        for theta, b in rows
    )


def _snow(site: EnSite) -> tuple[Snow, tuple[Step, ...], list[Finding]]:
    loads, f = site.loads, site.factors
    if loads.ground_snow_pa is None:
        return Snow(), (), [no_snow_given()]
    notes = []
    if loads.snow_exposure is None and "Ce" not in f:
        notes.append(assumed("snow_exposure_assumed", say("exposure of the roof to wind (snow)"), say("normal")))
    if loads.snow_retained is None:
        what, taken = say("whether the snow is held back"), say("held back by the array")
        notes.append(assumed("snow_retained_assumed", what, taken))
    if loads.ground_snow_pa > 0:
        notes.append(snow_not_covered())
    held = loads.snow_retained is not False
    Ce = f.get("Ce", site.numbers.exposure[loads.snow_exposure or "normal"])
    factors = EnSnowFactors(Ce, loads.thermal_factor or 1.0, held, f.get("Cesl"))
    snow = roof_snow(loads.ground_snow_pa, site.roof.slope_deg, factors)
    Ce_mark: Mark = "given" if "Ce" in f else "found" if loads.snow_exposure else "assumed"
    Ct_mark: Mark = "given" if loads.thermal_factor else "found"
    lines = en_snow_steps(snow, factors, Ce_mark, Ct_mark)
    return Snow(snow.flat, snow.balanced, snow.governing), lines, notes


def _wind_notes(site: EnSite, laid: EnZones) -> list[Finding]:
    where = Place(roof=site.roof.name)
    zones = [z for _, members in laid.members for z in members]
    coefficients = [z.suction for z in zones] + [z.pressure for z in zones if float(z.pressure.at(1.0)) > 0]
    text = say(
        "{where}: the Eurocode has no rule for panels on a roof; the roof's own coefficients cpe are taken on the "
        "attachment's area, with no pressure from below counted as relief. National documents may say more",
        where=where,
    )
    layout = say("the sizes of the zones F to J and the area rule of Figure 7.2")
    return [
        *unconfirmed(coefficients, where),
        memory_note("zone_layout_unconfirmed", layout, where),
        Finding("panel_rule_missing", "note", text, where),
        Finding("zone_names", "note", placed(where, ZONE_NAMES), where),
        Finding("reference_height", "note", placed(where, _height_words(site)), where),
    ]


def _height_words(site: EnSite) -> Sentence:
    ze = figure(site.ridge_mm / 1000, ".2f", " m")
    if "ze" in site.factors:
        return say("reference height ze = {height}, as given", height=ze)
    return say(
        "EN 1991-1-4 measures to the ridge: ze = {height} from the roof height given and this plane's rise", height=ze
    )
