"""Loads on the roof.

Takes the job's site, one roof plane and the module; gives Pressures: zones on the plane and what presses on each, at
any effective area. May not know brackets, rails or prices, nor choose a spacing.
"""

from estimator.loads.actions.combinations import Combination
from estimator.loads.actions.evaluate import effective_area_m2, zone_pressures, zone_steps
from estimator.loads.actions.panel_setting import PanelSetting
from estimator.loads.actions.records import Pressures, Snow, Wind, Zone, ZonePressures
from estimator.loads.actions.steps import Step
from estimator.loads.asce7.wind.exposed_cells import exposed_cells
from estimator.loads.find import find_pressures
from estimator.loads.sheet import Load, LoadSheet, ZoneSheet, load_sheet
from estimator.loads.zoning.inner_cells import with_inner
from estimator.loads.zoning.zone_map import OFF_THE_PLANE, Piece, ZoneMap, ZoneStretch, zone_at, zones_along

__all__ = [
    "OFF_THE_PLANE",
    "Combination",
    "Load",
    "LoadSheet",
    "PanelSetting",
    "Piece",
    "Pressures",
    "Snow",
    "Step",
    "Wind",
    "Zone",
    "ZoneMap",
    "ZonePressures",
    "ZoneSheet",
    "ZoneStretch",
    "effective_area_m2",
    "exposed_cells",
    "find_pressures",
    "load_sheet",
    "with_inner",
    "zone_at",
    "zone_pressures",
    "zone_steps",
    "zones_along",
]
