"""Peak velocity pressure of EN 1991-1-4, section 4: recommended values, every national parameter settable. SI units.

Symbols: vb,0 fundamental wind velocity; z0 roughness length; kr, cr, co terrain, roughness, orography; Iv turbulence.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from estimator.errors import LoadsRefused
from estimator.loads.actions.clauses import Clause
from estimator.loads.actions.steps import Mark, Step
from estimator.loads.en1991.annexes import RECOMMENDED, WindParameters
from estimator.sentences import figure, say

TERRAIN: dict[str, tuple[float, float]] = {
    "0": (0.003, 1.0),
    "I": (0.01, 1.0),
    "II": (0.05, 2.0),
    "III": (0.3, 5.0),
    "IV": (1.0, 10.0),
}
"""Roughness length z0 and least height zmin, m [found; EN 1991-1-4 Table 4.1]."""

Z_MAX_M = 200.0
STANDARD = "EN 1991-1-4"


@dataclass(frozen=True, slots=True)
class PeakPressure:
    """Peak velocity pressure qp at height z, N/m2, with all that leads to it (m, m/s)."""

    vb0: float
    vb: float
    terrain: str
    z_m: float
    z0_m: float
    zmin_m: float
    kr: float
    cr: float
    vm: float
    Iv: float
    qb: float
    ce: float
    qp: float
    parameters: WindParameters


def terrain_factor(z0_m: float) -> float:
    """Terrain factor kr. Source: EN 1991-1-4:2005 Equation 4.5 [found].

    >>> round(terrain_factor(0.3), 4)
    0.2154
    """
    return 0.19 * math.pow(z0_m / TERRAIN["II"][0], 0.07)


def peak_velocity_pressure(
    vb0: float, z_m: float, terrain: str, parameters: WindParameters = RECOMMENDED.wind
) -> PeakPressure:
    """Peak velocity pressure: qp = (1 + 7 Iv) 0.5 rho vm2; heights under zmin count as zmin.

    Args:
        vb0: fundamental value of the basic wind velocity, m/s.
        z_m: height above ground, up to 200 m.
        terrain: category 0, I, II, III or IV.
        parameters: national parameters.

    Source: EN 1991-1-4:2005 Equations 4.1 to 4.8 [found]. Errors: LoadsRefused for an unknown terrain or z over 200 m.

    >>> round(peak_velocity_pressure(26, 8, "III").qp, 1)
    661.8

    """
    if terrain not in TERRAIN:
        raise LoadsRefused(
            say(
                "terrain category {terrain} is unknown; allowed: {names} ({standard} Table 4.1)",
                terrain=repr(terrain),
                names=", ".join(TERRAIN),
                standard=STANDARD,
            )
        )
    if z_m > Z_MAX_M:
        raise LoadsRefused(
            say(
                "height {z_m} m: {standard} 4.3.2 reaches up to {z_max_m} m",
                z_m=figure(z_m, "g"),
                standard=STANDARD,
                z_max_m=figure(Z_MAX_M, "g"),
            )
        )
    z0, zmin = TERRAIN[terrain]
    vb = parameters.cdir * parameters.cseason * vb0
    kr = terrain_factor(z0)
    logarithm = math.log(max(z_m, zmin) / z0)
    cr = kr * logarithm
    vm = cr * parameters.co * vb
    Iv = parameters.turbulence / (parameters.co * logarithm)
    qb, qp = 0.5 * parameters.rho * vb**2, (1 + 7 * Iv) * 0.5 * parameters.rho * vm**2
    return PeakPressure(vb0, vb, terrain, z_m, z0, zmin, kr, cr, vm, Iv, qb, qp / qb, qp, parameters)


def peak_pressure_steps(p: PeakPressure, given: frozenset[str] = frozenset(), annex: str = "") -> tuple[Step, ...]:
    """The lines of the calculation sheet that end in qp.

    Args:
        p: what was found.
        given: the national parameters that the job gave, by symbol.
        annex: the title of the annex that sets the others; empty where they are as recommended.

    """
    national = say("set by {annex}", annex=annex) if annex else say("recommended value, a national choice")

    def factor(symbol: str, value: float, unit: str, words: str, clause: str) -> Step:
        mark: Mark = "given" if symbol in given else "found"
        note = "" if symbol in given else national
        return Step(symbol, value, unit, words, Clause(STANDARD, clause), mark, note)

    def result(symbol: str, value: float, unit: str, formula: str, equation: str) -> Step:
        return Step(symbol, value, unit, formula, Clause(STANDARD, equation, "equation"), "computed")

    n = p.parameters
    return (
        Step("vb,0", p.vb0, "m/s", say("fundamental wind velocity"), Clause(STANDARD, "4.2"), "given"),
        factor("cdir", n.cdir, "", say("direction"), "4.2(2)"),
        factor("cseason", n.cseason, "", say("season"), "4.2(2)"),
        result("vb", p.vb, "m/s", "cdir cseason vb,0", "4.1"),
        Step("ze", p.z_m, "m", say("reference height, the ridge"), Clause(STANDARD, "7.2"), "computed"),
        Step(
            "z0",
            p.z0_m,
            "m",
            say("terrain category {category}", category=p.terrain),
            Clause(STANDARD, "4.1", "table"),
            "found",
        ),
        result("kr", p.kr, "", "0.19 (z0 / 0.05)^0.07", "4.5"),
        result("cr", p.cr, "", "kr ln(max(z, zmin) / z0)", "4.4"),
        factor("co", n.co, "", say("orography"), "4.3.3"),
        result("vm", p.vm, "m/s", "cr co vb", "4.3"),
        factor("kI", n.turbulence, "", say("turbulence"), "4.4"),
        result("Iv", p.Iv, "", "kI / (co ln(z / z0))", "4.7"),
        factor("rho", n.rho, "kg/m3", say("density of air"), "4.5"),
        result("qb", p.qb, "N/m2", "0.5 rho vb^2", "4.10"),
        result("ce", p.ce, "", "qp / qb", "4.9"),
        result("qp", p.qp, "N/m2", "(1 + 7 Iv) 0.5 rho vm^2", "4.8"),
    )
