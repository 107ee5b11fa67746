"""The pressures of a zone at any number of effective areas at once, and the lines that explain one of them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from estimator.loads.actions.citing import MECHANICS, zone_words
from estimator.loads.actions.clauses import Clause
from estimator.loads.actions.combinations import Combination
from estimator.loads.actions.curves import FT2_M2, Coefficient, Floats
from estimator.loads.actions.records import Pressures, Zone, ZonePressures
from estimator.loads.actions.steps import Step
from estimator.sentences import figure, joined, say
from estimator.units import PSF_PA


@dataclass(frozen=True, slots=True)
class Actions:
    """Dead load and snow of a zone, and its wind at n areas: normal to the roof and down the slope, Pa."""

    D_normal: float
    D_along: float
    S_normal: float
    S_along: float
    W_up: Floats
    W_down: Floats
    along_given: float


def effective_area_m2(pressures: Pressures, span_mm: npt.ArrayLike, tributary_mm: npt.ArrayLike) -> Floats:
    """The area one attachment counts with: its tributary area, or one module's where the job says so."""
    area = attachment_area_m2(span_mm, tributary_mm)
    return area if pressures.fixed_area_m2 is None else np.full_like(area, pressures.fixed_area_m2)


def attachment_area_m2(span_mm: npt.ArrayLike, tributary_mm: npt.ArrayLike) -> Floats:
    """Effective wind area of one attachment: its tributary area, never widened to a third of the span.

    Source: ASCE 7 clause 26.2, individual fasteners [from memory]; never larger than the area of the member, so never
    on the unsafe side.

    >>> float(attachment_area_m2(1219.2, 1139).round(4))
    1.3887
    """
    return np.asarray(np.asarray(span_mm, dtype=np.float64) * np.asarray(tributary_mm, dtype=np.float64) / 1e6)


def zone_pressures(pressures: Pressures, zone: str, areas_m2: npt.ArrayLike, exposed: bool = True) -> ZonePressures:
    """Everything that presses on one zone, at each effective area.

    Args:
        pressures: the plane's loads.
        zone: name of the zone.
        areas_m2: effective wind areas, m2; any number of them.
        exposed: whether the modules are exposed to the wind at an array edge (gammaE); True leaves it to the zone.

    """
    found = pressures.zone(zone)
    areas = np.atleast_1d(np.asarray(areas_m2, dtype=np.float64))
    wind = pressures.wind
    c_up = np.min([c.at(areas) for c in found.uplift], axis=0)
    c_down = np.max([c.at(areas) for c in found.downward], axis=0)
    gamma_e = wind.gamma_e_exposed if exposed and found.exposed else wind.gamma_e_inner
    gamma_a = np.ones_like(areas) if wind.equalisation is None else wind.equalisation.at(areas / FT2_M2)
    up = np.minimum(wind.base_pa * c_up * gamma_e * gamma_a, -wind.least_pa)
    down = np.maximum(wind.base_pa * c_down * gamma_a, wind.least_pa)
    actions = _actions(pressures, found, up, down)
    normal, along = combined(pressures.combinations, actions)
    service, service_along = combined(pressures.service, actions)
    return ZonePressures(
        zone=zone,
        area_m2=areas,
        c_uplift=c_up,
        c_downward=c_down,
        gamma_e=gamma_e,
        gamma_a=gamma_a,
        wind_uplift_pa=up,
        wind_downward_pa=down,
        normal_pa=normal,
        along_pa_by_combination=along,
        service_normal_pa=service,
        service_along_pa=service_along,
        uplift_pa=np.minimum(normal.min(axis=0), 0.0),
        downward_pa=np.maximum(normal.max(axis=0), 0.0),
        along_pa=along.max(axis=0),
        governing_uplift=tuple(normal.argmin(axis=0).tolist()),
        governing_downward=tuple(normal.argmax(axis=0).tolist()),
        governing_along=tuple(along.argmax(axis=0).tolist()),
        service_uplift_pa=np.minimum(service.min(axis=0), 0.0),
        service_downward_pa=np.maximum(service.max(axis=0), 0.0),
    )


def _actions(pressures: Pressures, zone: Zone, up: Floats, down: Floats) -> Actions:
    """Snow acts on the horizontal projection, dead load on the surface; both are resolved on the slope (mechanics)."""
    sine, cosine = math.sin(math.radians(pressures.slope_deg)), math.cos(math.radians(pressures.slope_deg))
    snow, dead = zone.snow_plan_pa, pressures.dead_pa
    return Actions(
        dead * cosine, dead * sine, snow * cosine**2, snow * sine * cosine, up, down, zone.along_given_pa
    )  # fmt: skip


def combined(combinations: tuple[Combination, ...], a: Actions) -> tuple[Floats, Floats]:
    """Normal and down-slope pressure, each of shape (combinations, areas), in the unit of the actions."""
    winds = {"none": np.zeros_like(a.W_up), "up": a.W_up, "down": a.W_down}
    normal = [c.D * a.D_normal + c.S * a.S_normal + c.W * winds[c.wind] for c in combinations]
    along = [np.full_like(a.W_up, c.D * a.D_along + c.S * a.S_along + a.along_given) for c in combinations]
    return np.asarray(normal, dtype=np.float64), np.asarray(along, dtype=np.float64)


def governing_coefficient(coefficients: tuple[Coefficient, ...], area_m2: float, uplift: bool) -> Coefficient:
    """The coefficient that governs at one area: the lowest for uplift, the highest for downward pressure."""
    return (min if uplift else max)(coefficients, key=lambda c: float(c.at(area_m2)))


def zone_steps(pressures: Pressures, zone: str, area_m2: float, exposed: bool = True) -> tuple[Step, ...]:
    """The lines of the calculation sheet for one zone at one effective area, from the area to the design values.

    Pressures stand in the standard's own unit (psf for ASCE 7, N/m2 for the Eurocode).
    """
    if not pressures.computed:
        return ()
    p = zone_pressures(pressures, zone, area_m2, exposed)
    return (*_wind_steps(pressures, p), *_dead_and_snow(pressures, zone), *_combination_steps(pressures, p))


def _own(pressures: Pressures, value_pa: float) -> tuple[float, str]:
    return (value_pa / PSF_PA, "psf") if pressures.own_unit == "psf" else (value_pa, "N/m2")


def _wind_steps(pressures: Pressures, p: ZonePressures) -> list[Step]:
    zone, area = pressures.zone(p.zone), float(p.area_m2[0])
    if pressures.standard == "given":
        return []
    symbol, us = pressures.coefficient_symbol, pressures.own_unit == "psf"
    up = governing_coefficient(zone.uplift, area, uplift=True)
    down = governing_coefficient(zone.downward, area, uplift=False)
    shown, unit, clause = (
        (area / FT2_M2, "ft2", Clause("ASCE 7", "26.2")) if us else (area, "m2", Clause("EN 1991-1-4", "7.2.1"))
    )
    upward = say("uplift, zone {zone}", zone=zone_words(up.label))
    downward = say("downward, zone {zone}", zone=zone_words(down.label))
    lines = [
        Step("A", shown, unit, say("effective wind area"), clause, "computed"),
        Step(symbol, float(p.c_uplift[0]), "", upward, up.source, up.mark),
        Step(symbol, float(p.c_downward[0]), "", downward, down.source, down.mark),
    ]
    formula = say("base {symbol}", symbol=symbol)
    if pressures.wind.equalisation:
        standard = "ASCE " + pressures.standard.removeprefix("asce")
        edge = say("uplift, exposed edge" if p.gamma_e > 1 else "uplift, not at an exposed edge")
        lines += [
            Step("gammaE", p.gamma_e, "", edge, Clause(standard, "29.4.4"), "found"),
            Step("gammaE", 1.0, "", say("downward"), Clause(standard, "29.4.4"), "from memory"),
            Step("gammaa", float(p.gamma_a[0]), "", say("equalisation"), Clause(standard, "29.4-8", "figure"), "found"),
        ]
        formula = say("{formula}, Kd once", formula="Kd qh (GCp) gammaE gammaa")
    if pressures.wind.least_pa:
        least = figure(_own(pressures, pressures.wind.least_pa)[0], ".3g")
        formula = joined("; ", (formula, say("least {number}", number=least)))
    clause = Clause("", "29.4.4") if pressures.wind.equalisation else Clause("EN 1991-1-4", "5.1", "equation")
    for name, value in ((say("W up"), p.wind_uplift_pa), (say("W down"), p.wind_downward_pa)):
        number, unit = _own(pressures, float(value[0]))
        lines.append(Step(name, number, unit, formula, clause, "computed"))
    return lines


def _dead_and_snow(pressures: Pressures, zone: str) -> list[Step]:
    if pressures.standard == "given":
        return []
    nothing = np.zeros(1)
    a = _actions(pressures, pressures.zone(zone), nothing, nothing)
    rows = (
        (say("D normal"), a.D_normal, "D cos(theta)"),
        (say("D along"), a.D_along, "D sin(theta)"),
        (say("S normal"), a.S_normal, "p cos^2(theta)"),
        (say("S along"), a.S_along, "p sin(theta) cos(theta)"),
    )
    return [Step(name, *_own(pressures, value), formula, MECHANICS, "computed") for name, value, formula in rows]


def _combination_steps(pressures: Pressures, p: ZonePressures) -> list[Step]:
    lines = []
    for index, c in enumerate(pressures.combinations):
        number, unit = _own(pressures, float(p.normal_pa[index, 0]))
        lines.append(Step(say("normal"), number, unit, c.case, c.clause, c.mark))
    governed = (
        (say("uplift"), p.uplift_pa, p.governing_uplift),
        (say("downward"), p.downward_pa, p.governing_downward),
        (say("along slope"), p.along_pa, p.governing_along),
    )
    for name, values, which in governed:
        number, unit = _own(pressures, float(values[0]))
        c = pressures.combinations[which[0]]
        lines.append(
            Step(
                name,
                number,
                unit,
                say("governed by {combination}", combination=c.case),
                c.clause,
                "computed",
            )
        )
    return lines
