"""Where zones lie that an engineer named as a figure of ASCE 7 names them."""

from __future__ import annotations

from estimator.errors import Fault, LoadsRefused
from estimator.job import Roof
from estimator.loads.actions.citing import EVERYWHERE
from estimator.loads.actions.clauses import Clause
from estimator.loads.actions.records import LaidGiven
from estimator.loads.asce7.wind.gcp_7_16 import coefficients_7_16
from estimator.loads.asce7.wind.gcp_7_22 import coefficients_7_22
from estimator.loads.asce7.wind.gcp_figures import RoofCoefficients
from estimator.loads.asce7.wind.zone_layouts import lay_zones, zone_width
from estimator.loads.zoning.footprint import footprint
from estimator.loads.zoning.plane import Plane
from estimator.site_loads import GivenLoads


def lay_given(loads: GivenLoads, roof: Roof) -> LaidGiven | None:
    """The layout whose zones are those given; None where the site says too little or no figure has such zones.

    A zone that is not named takes the pressures given for "all".
    Source: ASCE 7-22 and 7-16 Figures 30.3-2 and 30.3-5.
    """
    height = loads.building.mean_roof_height_mm
    if not (height and loads.building.roof_form and loads.building.length_mm and loads.building.width_mm):
        return None
    plane = Plane(roof.eave_length_mm, roof.slope_length_mm, roof.slope_deg, loads.building.roof_form)
    building = footprint(loads.building, roof, plane.run_mm)
    if isinstance(building, Fault):
        return None
    given = {g.zone: g for g in loads.pressures}
    for edition in ("7-22", "7-16"):
        figure = _figure(edition, loads.building.roof_form, roof.slope_deg, height / building.least_mm)
        if figure is not None and _fits({c.label for c in figure.uplift}, set(given)):
            zone_map = lay_zones(plane, figure, zone_width(building.least_mm, height), height)
            by_zone = {zone: given.get(zone) or given[EVERYWHERE] for zone in zone_map.zones}
            return LaidGiven(zone_map, by_zone, Clause(f"ASCE {edition}", figure.figure, "figure"))
    return None


def _fits(zones: set[str], given: set[str]) -> bool:
    named = given - {EVERYWHERE}
    return bool(named) and named <= zones and (zones <= named or EVERYWHERE in given)


def _figure(edition: str, form: str, slope_deg: float, h_over_B: float) -> RoofCoefficients | None:
    try:
        if edition == "7-22":
            return coefficients_7_22(form, slope_deg)
        return coefficients_7_16(form, slope_deg, h_over_B)
    except LoadsRefused:
        return None
