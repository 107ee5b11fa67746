"""The one question this stage answers: what presses on a roof plane, zone by zone."""

from __future__ import annotations

from collections.abc import Hashable, MutableMapping
from dataclasses import replace
from typing import Any

from estimator.errors import Fault, LoadsRefused
from estimator.job import Module, Roof
from estimator.loads.actions.panel_setting import PanelSetting
from estimator.loads.actions.records import Pressures
from estimator.loads.array_checks import array_findings
from estimator.loads.asce7.given_zones import lay_given
from estimator.loads.asce7.pressures import asce_pressures
from estimator.loads.en1991.pressures import en_pressures
from estimator.loads.given.pressures import given_pressures
from estimator.sentences import figure, say
from estimator.site_loads import EnLoads, GivenLoads, Loads

STEEPEST_DEG = 75.0
FLUSH = PanelSetting()
"""Panels parallel to the roof, their height and hardware not known yet."""


def find_pressures(
    loads: Loads,
    roof: Roof,
    module: Module,
    setting: PanelSetting = FLUSH,
    known: MutableMapping[Hashable, Any] | None = None,
) -> Pressures:
    """Wind, snow and dead load of one roof plane by the standard the job names.

    Args:
        loads: the site's loads, as the job gives them.
        roof: the plane, with its arrays.
        module: the module, for dead load, gaps and area.
        setting: height of the panels above the roof, their tilt to it, mass of the hardware.
        known: keeps what mountings of one height have in common for the next of them.

    Errors: LoadsRefused with every fault at once: wind or snow out of range, exposure or roof form unknown, a roof form
    without confirmed coefficients, a building smaller than the roof.

    """
    if not 0.0 <= roof.slope_deg < STEEPEST_DEG:
        fault = Fault(
            "/roofs/slope",
            say(
                "{name} roof: slope {slope_deg}", name=roof.name, slope_deg=figure(roof.slope_deg, "g", " deg", "angle")
            ),
            say("0 to {steepest_deg}", steepest_deg=figure(STEEPEST_DEG, "g", " deg", "angle")),
        )
        raise LoadsRefused(
            say(
                "{name} roof: slope {slope_deg} is out of range",
                name=roof.name,
                slope_deg=figure(roof.slope_deg, "g", " deg", "angle"),
            ),
            [fault],
        )
    pressures = _by_standard(loads, roof, module, setting, {} if known is None else known)
    return replace(pressures, findings=(*pressures.findings, *array_findings(pressures, roof, module)))


def _by_standard(
    loads: Loads, roof: Roof, module: Module, setting: PanelSetting, known: MutableMapping[Hashable, Any]
) -> Pressures:
    if isinstance(loads, GivenLoads):
        return given_pressures(loads, roof, lay_given(loads, roof) if len(loads.pressures) > 1 else None)
    if isinstance(loads, EnLoads):
        return en_pressures(loads, roof, module, setting)
    return asce_pressures(loads, roof, module, setting, known)
