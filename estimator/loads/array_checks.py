"""What the arrays of a plane meet in its zones: the modules' own rated loads, and edges the zones do not reach."""

from __future__ import annotations

from dataclasses import replace

from estimator.errors import Finding
from estimator.job import Array, Module, Roof
from estimator.loads.actions.citing import INNER
from estimator.loads.actions.evaluate import zone_pressures
from estimator.loads.actions.records import Pressures
from estimator.loads.asce7.combinations import asce_asd
from estimator.loads.zoning.module_corners import array_cells, module_corners
from estimator.loads.zoning.zone_map import OFF_THE_PLANE, Indices, zone_at
from estimator.places import Place
from estimator.sentences import figure, say


def array_findings(pressures: Pressures, roof: Roof, module: Module) -> list[Finding]:
    """Modules beyond a hip, and zones where the loads exceed what the module is rated for."""
    found: list[Finding] = []
    touched: set[str] = set()
    for number, array in enumerate(roof.arrays):
        corners = module_corners(array, module)
        zones = zone_at(pressures.zone_map, corners[:, 0], corners[:, 1])
        touched |= _touched(pressures, number, array, zones.reshape(-1, 4))
        outside = int((zones == OFF_THE_PLANE).reshape(-1, 4).any(axis=1).sum())
        if outside:
            found.append(_beyond(roof, array, outside))
    return found + _rated(pressures, roof, module, sorted(touched))


def _touched(pressures: Pressures, number: int, array: Array, zones: Indices) -> set[str]:
    """The zones that the modules of one array lie in; ``zones``: of the four corners of each."""
    names = pressures.zone_map.zones
    inner = pressures.inner[number].cells if pressures.inner else frozenset()
    found: set[str] = set()
    for cell, corners in zip(array_cells(array), zones.tolist(), strict=True):
        suffix = INNER if cell in inner else ""
        found |= {names[index] + suffix for index in corners if index != OFF_THE_PLANE}
    return found


def _beyond(roof: Roof, array: Array, modules: int) -> Finding:
    where = Place(roof=roof.name, array=array.name)
    text = say(
        "{where}: {count} modules reach over the edge of the plane (on a hip roof the hips are taken to rise at 45 deg"
        " on plan from the eave's ends); their zone is not known",
        where=where,
        count=modules,
    )
    return Finding("module_off_zones", "warning", text, where, modules, 0)


def _rated(pressures: Pressures, roof: Roof, module: Module, zones: list[str]) -> list[Finding]:
    """Zones whose loads on one module exceed its rated loads, at the level the ratings stand for.

    Ratings are test loads over 1.5: they are compared with allowable loads (ASCE 7, or given ones of allowable stress
    design) or characteristic ones (Eurocode). Source: common practice, no source.
    """
    if not pressures.computed:
        return []
    if pressures.standard == "given" and pressures.method != "asd":
        return _not_compared(roof, module)
    area_m2 = module.length_mm * module.width_mm / 1e6
    found = []
    for zone in zones:
        uplift, downward = _unfactored(pressures, zone, area_m2)
        for aspect, kind, load, rated in (
            ("uplift", say("uplift"), -uplift, module.rated_uplift_pa),
            ("downward", say("downward load"), downward, module.rated_downward_pa),
        ):
            if rated is not None and load > rated:
                place = Place(roof=roof.name, zone=zone, aspect=aspect)
                text = say(
                    "{where}: {kind} on one module is {load}, module {module} is rated for {rated}",
                    where=place,
                    kind=kind,
                    load=figure(load, ".0f", " Pa", "pressure"),
                    module=module.name,
                    rated=figure(rated, ".0f", " Pa", "pressure"),
                )
                found.append(Finding("module_rating", "error", text, place, round(load, 1), rated, "Pa"))
    return found


def _not_compared(roof: Roof, module: Module) -> list[Finding]:
    """Given pressures with load factors in them say nothing of what a module is rated for."""
    if module.rated_uplift_pa is None and module.rated_downward_pa is None:
        return []
    where = Place(roof=roof.name)
    text = say(
        "{where}: the given pressures are of strength design; what module {module} is rated for is not compared with "
        "them",
        where=where,
        module=module.name,
    )
    return [Finding("module_rating_not_compared", "warning", text, where)]


def _unfactored(pressures: Pressures, zone: str, area_m2: float) -> tuple[float, float]:
    if pressures.method == "en":
        p = zone_pressures(pressures, zone, area_m2)
        return float(p.service_uplift_pa[0]), float(p.service_downward_pa[0])
    if pressures.standard == "given":
        p = zone_pressures(pressures, zone, area_m2)
        return float(p.uplift_pa[0]), float(p.downward_pa[0])
    edition = asce_asd("7-16" if pressures.standard == "asce7-16" else "7-22")
    p = zone_pressures(replace(pressures, combinations=edition), zone, area_m2)
    return float(p.uplift_pa[0]), float(p.downward_pa[0])
