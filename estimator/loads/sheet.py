"""The loads of a plane as numbers to show: for answers, workbooks and calculation pages.

Own unit: psf for ASCE 7 (areas ft2), N/m2 for the Eurocode (areas m2). Signs as everywhere in this stage.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from estimator.errors import Finding
from estimator.loads.actions.clauses import Formula
from estimator.loads.actions.curves import FT2_M2
from estimator.loads.actions.evaluate import governing_coefficient, zone_pressures, zone_steps
from estimator.loads.actions.records import OwnUnit, Pressures, ZonePressures
from estimator.loads.actions.steps import Mark, Step
from estimator.loads.zoning.polygons import Polygon
from estimator.units import PSF_PA


@dataclass(frozen=True, slots=True)
class Load:
    """One pressure in Pa and in the standard's own unit."""

    pa: float
    own: float


@dataclass(frozen=True, slots=True)
class ZoneSheet:
    """One zone at one effective area: coefficients, factors, wind, and what governs its design."""

    zone: str
    area_m2: float
    area_own: float
    c_uplift: float
    c_uplift_source: str
    c_uplift_mark: Mark
    c_downward: float
    gamma_e: float
    gamma_a: float
    wind_uplift: Load
    wind_downward: Load
    snow_plan: Load
    uplift: Load
    downward: Load
    along_slope: Load
    governing_uplift: Formula
    governing_downward: Formula
    governing_along: Formula
    polygons: tuple[Polygon, ...]
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class LoadSheet:
    """One plane's loads, every number with its lines. ``coefficient`` is the symbol: GCp or cpe."""

    standard: str
    method: str
    own_unit: OwnUnit
    coefficient: str
    computed: bool
    velocity_pressure: Load
    snow_flat: Load
    snow_sloped: Load
    snow_design: Load
    snow_ridge: Load
    dead: Load
    zones: tuple[ZoneSheet, ...]
    wind_steps: tuple[Step, ...]
    snow_steps: tuple[Step, ...]
    dead_steps: tuple[Step, ...]
    findings: tuple[Finding, ...]


def load_sheet(pressures: Pressures, areas_m2: Mapping[str, float] | float, exposed: bool = True) -> LoadSheet:
    """Everything one plane's calculation shows.

    Args:
        pressures: the plane's loads.
        areas_m2: effective wind area of each zone, or one for all of them, m2; zones left out are not shown.
        exposed: whether the edge factor of exposed modules is taken.

    """
    given = areas_m2 if isinstance(areas_m2, Mapping) else {zone.name: areas_m2 for zone in pressures.zones}
    zones = pressures.zones if pressures.computed else ()
    snow = pressures.snow
    return LoadSheet(
        pressures.standard,
        pressures.method,
        pressures.own_unit,
        pressures.coefficient_symbol,
        pressures.computed,
        _load(pressures, pressures.wind.velocity_pa),
        _load(pressures, snow.flat_plan_pa),
        _load(pressures, snow.sloped_plan_pa),
        _load(pressures, snow.design_plan_pa),
        _load(pressures, snow.drift_plan_pa),
        _load(pressures, pressures.dead_pa),
        tuple(_zone_sheet(pressures, z.name, given[z.name], exposed) for z in zones if z.name in given),
        pressures.wind_steps,
        pressures.snow_steps,
        pressures.dead_steps,
        pressures.findings,
    )


def _load(pressures: Pressures, value_pa: float) -> Load:
    return Load(value_pa, value_pa / PSF_PA if pressures.own_unit == "psf" else value_pa)


def _zone_sheet(pressures: Pressures, name: str, area_m2: float, exposed: bool) -> ZoneSheet:
    zone, found = pressures.zone(name), zone_pressures(pressures, name, area_m2, exposed)
    up = governing_coefficient(zone.uplift, area_m2, uplift=True)
    return ZoneSheet(
        zone=name,
        area_m2=area_m2,
        area_own=area_m2 / FT2_M2 if pressures.own_unit == "psf" else area_m2,
        c_uplift=float(found.c_uplift[0]),
        c_uplift_source=f"{up.source}, zone {up.label}",
        c_uplift_mark=up.mark,
        c_downward=float(found.c_downward[0]),
        gamma_e=found.gamma_e,
        gamma_a=float(found.gamma_a[0]),
        wind_uplift=_load(pressures, float(found.wind_uplift_pa[0])),
        wind_downward=_load(pressures, float(found.wind_downward_pa[0])),
        snow_plan=_load(pressures, zone.snow_plan_pa),
        uplift=_load(pressures, float(found.uplift_pa[0])),
        downward=_load(pressures, float(found.downward_pa[0])),
        along_slope=_load(pressures, float(found.along_pa[0])),
        governing_uplift=_case(pressures, found, "uplift"),
        governing_downward=_case(pressures, found, "downward"),
        governing_along=_case(pressures, found, "along"),
        polygons=tuple(piece.polygon for piece in pressures.zone_map.pieces if piece.zone == name),
        steps=zone_steps(pressures, name, area_m2, exposed),
    )


def _case(pressures: Pressures, found: ZonePressures, kind: str) -> Formula:
    which = {"uplift": found.governing_uplift, "downward": found.governing_downward, "along": found.governing_along}
    return pressures.combinations[which[kind][0]].case
