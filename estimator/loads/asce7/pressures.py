"""The loads of one roof plane by ASCE 7-16 or 7-22."""

from __future__ import annotations

from collections.abc import Hashable, MutableMapping
from dataclasses import dataclass, replace
from typing import Any

from estimator.errors import Fault, Finding, LoadsRefused
from estimator.job import Module, Roof
from estimator.loads.actions.assumptions import assumed, memory_note, unconfirmed
from estimator.loads.actions.citing import INNER, RIDGE_SNOW
from estimator.loads.actions.clauses import Clause, as_formula
from estimator.loads.actions.dead import dead_steps, module_dead_load_pa
from estimator.loads.actions.named_factors import named_factors
from estimator.loads.actions.panel_setting import PanelSetting
from estimator.loads.actions.records import Pressures, Snow, Wind, Zone
from estimator.loads.actions.steps import Mark, Step
from estimator.loads.asce7.combinations import asce_asd, asce_lrfd, asce_service
from estimator.loads.asce7.edition import FT_MM, Edition
from estimator.loads.asce7.site_faults import ASCE_FACTORS, asce_faults
from estimator.loads.asce7.snow.plane_snow import plane_snow
from estimator.loads.asce7.wind.exposed_cells import exposure_finding, inner_cells
from estimator.loads.asce7.wind.gcp_7_16 import coefficients_7_16
from estimator.loads.asce7.wind.gcp_7_22 import coefficients_7_22
from estimator.loads.asce7.wind.gcp_figures import RoofCoefficients
from estimator.loads.asce7.wind.panel_limits import panel_findings, within_the_clause
from estimator.loads.asce7.wind.panels import GAMMA_A, GAMMA_E_EXPOSED, GAMMA_E_INNER, MINIMUM_PSF
from estimator.loads.asce7.wind.velocity import (
    Ke,
    VelocityPressure,
    WindFactors,
    velocity_pressure,
    velocity_steps,
)  # fmt: skip
from estimator.loads.asce7.wind.zone_layouts import lay_zones, zone_width
from estimator.loads.zoning.footprint import Footprint, footprint
from estimator.loads.zoning.plane import Plane
from estimator.loads.zoning.zone_map import ZoneMap, lowered_to_touch, part_up_slope
from estimator.places import Place
from estimator.sentences import figure, noted, say
from estimator.site_loads import AsceLoads
from estimator.units import PSF_PA

WIDEST_BAND_MM = 2500.0
"""Widest strip of roof that one rail carries, a module's length or so."""


@dataclass(frozen=True, slots=True)
class AsceSite:
    """One plane on its site, everything checked: the numbers that wind and snow start from."""

    loads: AsceLoads
    roof: Roof
    plane: Plane
    edition: Edition
    building: Footprint
    factors: dict[str, float]

    @property
    def height_mm(self) -> float:
        """Height h: mean roof height, or the eave height on roofs up to 10 deg where it is given."""
        mean, eave = self.loads.building.mean_roof_height_mm or 0.0, self.loads.building.eave_height_mm
        return eave if eave is not None and self.roof.slope_deg <= 10 else mean


def asce_pressures(
    loads: AsceLoads, roof: Roof, module: Module, setting: PanelSetting, known: MutableMapping[Hashable, Any]
) -> Pressures:
    """Wind, snow and dead load of one plane with their combinations; ``known`` keeps its inner cells.

    Errors: LoadsRefused with every fault of the site.
    """
    site = _site(loads, roof)
    velocity, wind_steps, wind_notes = _velocity(site)
    roof_gcp = _coefficients(site)
    a_mm = zone_width(site.building.least_mm, site.height_mm)
    zone_map = lay_zones(site.plane, roof_gcp, a_mm, site.height_mm)
    snow, snow_lines, snow_notes = plane_snow(loads, site.plane, site.edition, site.factors)
    zones, zone_map = _zones(roof_gcp, zone_map, snow)
    dead = module_dead_load_pa(module, setting.hardware_kg_m2)
    notes = [*wind_notes, *snow_notes, *unconfirmed((roof_gcp.downward, *roof_gcp.uplift), Place(roof=roof.name))]
    limits = panel_findings(loads, roof, module, setting)
    inner = inner_cells(loads, roof, module, setting, known) if within_the_clause(limits) else ()
    if inner:
        notes.append(exposure_finding(loads, roof, inner))
        zones = (*zones, *(replace(zone, name=zone.name + INNER, exposed=False) for zone in zones))
    notes += limits
    notes += _layout_notes(roof_gcp, roof)
    area_m2 = module.length_mm * module.width_mm / 1e6
    return Pressures(
        standard=loads.standard,
        method=loads.method,
        own_unit="psf",
        slope_deg=roof.slope_deg,
        wind=_wind(velocity, site.factors),
        snow=snow,
        dead_pa=dead,
        zones=zones,
        zone_map=zone_map,
        combinations=asce_asd(site.edition) if loads.method == "asd" else asce_lrfd(site.edition),
        service=asce_service(site.edition, site.factors.get("service_wind", 0.6)),
        fixed_area_m2=area_m2 if loads.effective_area == "module" else None,
        wind_steps=(*wind_steps, *_zone_width_steps(site, a_mm)),
        snow_steps=snow_lines,
        dead_steps=dead_steps(module, setting.hardware_kg_m2, dead),
        findings=tuple(notes),
        inner=inner,
    )


def _site(loads: AsceLoads, roof: Roof) -> AsceSite:
    edition: Edition = "7-16" if loads.standard == "asce7-16" else "7-22"
    plane = Plane(roof.eave_length_mm, roof.slope_length_mm, roof.slope_deg, loads.building.roof_form or "gable")
    factors, faults = named_factors(loads.factors, ASCE_FACTORS)
    faults = asce_faults(loads) + faults
    building: Footprint | Fault = Footprint(1.0, 1.0)
    if loads.building.length_mm and loads.building.width_mm:
        building = footprint(loads.building, roof, plane.run_mm)
    if isinstance(building, Fault):
        faults.append(building)
    if faults or isinstance(building, Fault):
        raise LoadsRefused(
            say("{name} roof: no loads by ASCE {edition} from what the site gives", name=roof.name, edition=edition),
            faults,
        )
    return AsceSite(loads, roof, plane, edition, building, factors)


def _velocity(site: AsceSite) -> tuple[VelocityPressure, tuple[Step, ...], list[Finding]]:
    loads, notes = site.loads, []
    Kzt_mark, Ke_mark, Kd_mark = _marks(site)
    if Kzt_mark == "assumed":
        notes.append(
            assumed("topography_assumed", say("topographic factor Kzt"), noted(figure(1.0), say("flat ground")))
        )
    if loads.building.eave_height_mm is None and site.roof.slope_deg <= 10:
        notes.append(assumed("eave_height_assumed", say("eave height"), say("the mean roof height, on the safe side,")))
    elevation_ft = (loads.ground_elevation_mm or 0.0) / FT_MM
    factors = WindFactors(
        loads.topographic_factor or 1.0,
        site.factors.get("Kd", 0.85),
        site.factors.get("Ke", Ke(elevation_ft) if elevation_ft else 1.0),
        loads.velocity_factor or "table",
    )
    speed, height = loads.wind_speed_mph or 0.0, round(site.height_mm / FT_MM, 9)
    velocity = velocity_pressure(speed, height, loads.exposure or "", site.edition, factors)
    return velocity, velocity_steps(velocity, Kzt_mark, Ke_mark, Kd_mark), notes


def _marks(site: AsceSite) -> tuple[Mark, Mark, Mark]:
    Kzt: Mark = "given" if site.loads.topographic_factor is not None else "assumed"
    Ke_mark: Mark = "computed" if site.loads.ground_elevation_mm else "found"
    Ke_mark = "given" if "Ke" in site.factors else Ke_mark
    return Kzt, Ke_mark, "given" if "Kd" in site.factors else "found"


def _coefficients(site: AsceSite) -> RoofCoefficients:
    form, slope = site.plane.form, site.roof.slope_deg
    try:
        if site.edition == "7-22":
            return coefficients_7_22(form, slope)
        return coefficients_7_16(form, slope, site.height_mm / site.building.least_mm)
    except LoadsRefused as refusal:
        raise LoadsRefused(
            say("{name} roof: {refusal}", name=site.roof.name, refusal=refusal.told), refusal.faults
        ) from refusal


def _wind(velocity: VelocityPressure, factors: dict[str, float]) -> Wind:
    return Wind(
        velocity.qh_pa,
        velocity.pressure_base_psf * PSF_PA,
        factors.get("gamma_E", GAMMA_E_EXPOSED),
        GAMMA_E_INNER,
        equalisation=GAMMA_A,
        least_pa=factors.get("least_net_pressure_psf", MINIMUM_PSF) * PSF_PA,
    )


def _zones(gcp: RoofCoefficients, zone_map: ZoneMap, snow: Snow) -> tuple[tuple[Zone, ...], ZoneMap]:
    """Wind zones with the snow on them; where snow drifts over the ridge, each zone split at the drift's foot."""
    uplift = {c.label: c for c in gcp.uplift}
    if snow.drift_from_y_mm is None:
        upper: frozenset[str] = frozenset()
    else:
        foot_mm = lowered_to_touch(zone_map, snow.drift_from_y_mm, WIDEST_BAND_MM)
        parted = part_up_slope(zone_map, foot_mm, RIDGE_SNOW)
        zone_map, upper = parted.zone_map, parted.upper
    zones = (
        Zone(
            name,
            (uplift[name.removesuffix(RIDGE_SNOW)],),
            (gcp.downward,),
            snow.drift_plan_pa if name in upper else snow.design_plan_pa,
        )
        for name in zone_map.zones
    )
    return tuple(zones), zone_map


def _zone_width_steps(site: AsceSite, a_mm: float) -> tuple[Step, ...]:
    clause = Clause(f"ASCE {site.edition}", "30.3", "figures")
    formula = say("{formula}, on plan", formula=as_formula("max(min(0.1 L, 0.4 h), 0.04 L, 3 ft)"))
    return (
        Step("L", site.building.least_mm / FT_MM, "ft", say("least horizontal dimension"), clause, "given"),
        Step("a", a_mm / FT_MM, "ft", formula, clause, "computed"),
    )


def _layout_notes(gcp: RoofCoefficients, roof: Roof) -> list[Finding]:
    """Zone layouts that could not be confirmed."""
    doubtful = ("gable by eave and ridge", "hip by corners", "monoslope low", "monoslope steep")
    if gcp.layout not in doubtful:
        return []
    what = say("where the zones of Figure {figure} lie", figure=gcp.figure)
    return [memory_note("zone_layout_unconfirmed", what, Place(roof=roof.name))]
