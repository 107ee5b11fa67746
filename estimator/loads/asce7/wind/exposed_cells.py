"""Which cells of a plane's arrays are exposed, so that runs inside an array may take the smaller edge factor."""

from __future__ import annotations

from collections.abc import Hashable, MutableMapping, Sequence
from typing import Any, cast

import numpy as np

from estimator.errors import Finding
from estimator.job import Array, Module, Roof
from estimator.loads.actions.assumptions import memory_note
from estimator.loads.actions.panel_setting import PanelSetting
from estimator.loads.asce7.wind.exposure import exposed_modules, exposure_rule
from estimator.loads.zoning.inner_cells import Cells, InnerCells
from estimator.loads.zoning.module_corners import array_cells, module_corners
from estimator.loads.zoning.plane import Plane
from estimator.places import Place
from estimator.sentences import say
from estimator.site_loads import AsceLoads, Loads


def exposed_cells(loads: Loads, roof: Roof, module: Module, setting: PanelSetting) -> tuple[Cells, ...]:
    """The exposed (row, column) cells of each array of a plane, in the order of its arrays.

    Every cell is exposed where the standard is not ASCE 7, or where the panels' height above the roof or the building's
    height is not known.
    """
    cells = [array_cells(array) for array in roof.arrays]
    if not isinstance(loads, AsceLoads) or not _known(loads, setting):
        return tuple(frozenset(each) for each in cells)
    eave, mean = loads.building.eave_height_mm, loads.building.mean_roof_height_mm or 0.0
    height = eave if eave is not None and roof.slope_deg <= 10 else mean
    plane = Plane(roof.eave_length_mm, roof.slope_length_mm, roof.slope_deg, loads.building.roof_form or "gable")
    chord = max(module.length_mm, module.width_mm)
    rule = exposure_rule(
        "7-16" if loads.standard == "asce7-16" else "7-22", height, setting.height_mm or 0.0, chord
    )  # fmt: skip
    flags = exposed_modules(np.concatenate([_rectangles(a, module) for a in roof.arrays]), plane, rule)
    return _parted(cells, flags.tolist())


def _known(loads: AsceLoads, setting: PanelSetting) -> bool:
    return setting.height_mm is not None and loads.building.mean_roof_height_mm is not None


def _rectangles(array: Array, module: Module) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    corners = module_corners(array, module).reshape(-1, 4, 2)
    return np.concatenate((corners[:, 0], corners[:, 2]), axis=1)


def _parted(cells: list[list[tuple[int, int]]], flags: list[bool]) -> tuple[Cells, ...]:
    found, start = [], 0
    for each in cells:
        here = flags[start : start + len(each)]
        found.append(frozenset(cell for cell, exposed in zip(each, here, strict=True) if exposed))
        start += len(each)
    return tuple(found)


def inner_cells(
    loads: AsceLoads, roof: Roof, module: Module, setting: PanelSetting, known: MutableMapping[Hashable, Any]
) -> tuple[InnerCells, ...]:
    """The cells of each array that are not exposed; empty where every cell of the plane is.

    ``known`` keeps them for the next mounting of the same height.
    """
    asked = ("inner cells", loads, roof, module, setting.height_mm)
    if asked not in known:
        known[asked] = _inner_cells(loads, roof, module, setting)
    return cast(tuple[InnerCells, ...], known[asked])


def _inner_cells(loads: AsceLoads, roof: Roof, module: Module, setting: PanelSetting) -> tuple[InnerCells, ...]:
    exposed = exposed_cells(loads, roof, module, PanelSetting(setting.height_mm))
    found = tuple(InnerCells.of(array, module, cells) for array, cells in zip(roof.arrays, exposed, strict=True))
    return found if any(each.cells for each in found) else ()


def exposure_finding(loads: AsceLoads, roof: Roof, inner: Sequence[InnerCells]) -> Finding:
    """How many modules take the smaller edge factor, and that the clause's distances could not all be confirmed."""
    where, edition = Place(roof=roof.name), loads.standard.removeprefix("asce")
    count = sum(len(each.cells) for each in inner)
    what = say(
        "gammaE 1.0 for uplift on {count} of {all} modules, away from exposed array edges by the distances of ASCE "
        "{edition} 29.4.4",
        count=count,
        all=sum(len(array_cells(array)) for array in roof.arrays),
        edition=edition,
    )
    return memory_note("edge_factor_distances", what, where)
