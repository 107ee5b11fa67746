"""Velocity pressure of ASCE 7, clause 26.10, in the standard's US form (psf, mph, ft).

Symbols: V basic wind speed; z height above ground; Kz exposure, Kzt topography, Kd direction, Ke ground elevation.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from estimator.errors import LoadsRefused
from estimator.loads.actions.clauses import Clause
from estimator.loads.actions.steps import Mark, Step
from estimator.loads.asce7.edition import Edition
from estimator.sentences import Sentence, figure, say
from estimator.units import PSF_PA

KzSource = Literal["table", "formula"]

EXPOSURES = ("B", "C", "D")
_POWER_LAW: dict[Edition, dict[str, tuple[float, float]]] = {
    "7-16": {"B": (7.0, 1200.0), "C": (9.5, 900.0), "D": (11.5, 700.0)},
    "7-22": {"B": (7.5, 3280.0), "C": (9.8, 2460.0), "D": (11.5, 1935.0)},
}
_FACTOR: dict[Edition, float] = {"7-16": 2.01, "7-22": 2.41}
_TABLE_FT = (15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0)
_TABLE: dict[Edition, dict[str, tuple[float, ...]]] = {
    "7-16": {
        "B": (0.57, 0.62, 0.66, 0.70, 0.76, 0.81, 0.85),
        "C": (0.85, 0.90, 0.94, 0.98, 1.04, 1.09, 1.13),
        "D": (1.03, 1.08, 1.12, 1.16, 1.22, 1.27, 1.31),
    },
    "7-22": {
        "B": (0.57, 0.62, 0.66, 0.70, 0.74, 0.79, 0.83),
        "C": (0.85, 0.90, 0.94, 0.98, 1.04, 1.09, 1.13),
        "D": (1.03, 1.08, 1.12, 1.16, 1.22, 1.27, 1.31),
    },
}


@dataclass(frozen=True, slots=True)
class VelocityPressure:
    """qh at the mean roof height, psf, with its factors. In 7-22 ``Kd`` is not part of ``qh_psf``."""

    edition: Edition
    V_mph: float
    height_ft: float
    exposure: str
    Kz: float
    Kz_source: KzSource
    Kzt: float
    Kd: float
    Ke: float
    qh_psf: float

    @property
    def qh_pa(self) -> float:
        """Velocity pressure, Pa."""
        return self.qh_psf * PSF_PA

    @property
    def pressure_base_psf(self) -> float:
        """The product qh Kd, Kd once whichever edition: what a pressure coefficient is multiplied with, psf."""
        return self.qh_psf if self.edition == "7-16" else self.qh_psf * self.Kd


def Kz_formula(height_ft: float, exposure: str, edition: Edition) -> float:
    """Exposure coefficient by the power law; heights under 15 ft count as 15 ft.

    Source: ASCE 7 Table 26.10-1, notes [found].

    >>> round(Kz_formula(25.599, "B", "7-16"), 6)
    0.669544
    >>> round(Kz_formula(30, "C", "7-22"), 4)
    0.9805
    """
    alpha, zg = _POWER_LAW[edition][_known(exposure)]
    return _FACTOR[edition] * math.pow(min(max(height_ft, 15.0), zg) / zg, 2 / alpha)


def Kz_table(height_ft: float, exposure: str, edition: Edition) -> float:
    """Exposure coefficient by the printed table, straight between its rows; rows up to 60 ft are carried here.

    Source: ASCE 7 Table 26.10-1 [found for 7-22 and for column D of 7-16; 7-16 B and C from
    memory, within 0.007 of the edition's power law].
    Errors: LoadsRefused above 60 ft.

    >>> Kz_table(20, "C", "7-16"), Kz_table(35, "B", "7-22")
    (0.9, 0.72)
    """
    if height_ft > _TABLE_FT[-1]:
        raise LoadsRefused(
            say(
                "Kz by table: height {height_ft} ft; allowed: up to 60 ft, above it use the formula",
                height_ft=figure(height_ft, "g"),
            )
        )
    row = _TABLE[edition][_known(exposure)]
    for low, high, k_low, k_high in zip(_TABLE_FT, _TABLE_FT[1:], row, row[1:], strict=False):
        if height_ft <= high:
            share = max(0.0, (height_ft - low) / (high - low))
            return k_low if share == 0 else round(k_low + share * (k_high - k_low), 12)
    return row[-1]


def _known(exposure: str) -> str:
    if exposure not in EXPOSURES:
        raise LoadsRefused(
            say("exposure {exposure} is unknown; allowed: B, C or D (ASCE 7 clause 26.7)", exposure=repr(exposure))
        )
    return exposure


def Ke(ground_elevation_ft: float) -> float:
    """Ground elevation factor; 1.0 is always allowed instead.

    Source: ASCE 7 Table 26.9-1, note [found].

    >>> round(Ke(2000), 4), Ke(0)
    (0.9302, 1.0)
    """
    return math.exp(-0.0000362 * ground_elevation_ft)


def Kzt(K1: float, K2: float, K3: float) -> float:
    """Topographic factor of a hill, ridge or escarpment; flat ground has 1.0.

    Source: ASCE 7 Equation 26.8-1 [found].

    >>> round(Kzt(0.43, 0.5, 0.8), 4)
    1.3736
    """
    return (1 + K1 * K2 * K3) ** 2


@dataclass(frozen=True, slots=True)
class WindFactors:
    """What the site adds to the wind speed: Kzt >= 1 (flat ground 1), Kd, Ke, and where Kz comes from."""

    Kzt: float = 1.0
    Kd: float = 0.85
    Ke: float = 1.0
    Kz_source: KzSource = "table"


def velocity_pressure(
    V_mph: float, height_ft: float, exposure: str, edition: Edition, factors: WindFactors = WindFactors()
) -> VelocityPressure:
    """The velocity pressure at height h: 0.00256 Kz Kzt Kd Ke V2 (7-16), the same without Kd (7-22), psf.

    Source: ASCE 7-16 and 7-22 Equation 26.10-1 [found]. Errors: LoadsRefused for an unknown exposure.

    >>> round(velocity_pressure(110, 15, "B", "7-16").qh_psf, 4)
    15.0079
    >>> after = velocity_pressure(115, 25, "C", "7-22")
    >>> round(after.qh_psf, 2), round(after.pressure_base_psf, 2)
    (31.82, 27.05)
    """
    Kz = (Kz_table if factors.Kz_source == "table" else Kz_formula)(height_ft, exposure, edition)
    qh = 0.00256 * Kz * factors.Kzt * factors.Ke * V_mph**2 * (factors.Kd if edition == "7-16" else 1.0)
    return VelocityPressure(
        edition, V_mph, height_ft, exposure, Kz, factors.Kz_source, factors.Kzt, factors.Kd, factors.Ke, qh
    )


def _kz_words(v: VelocityPressure) -> Sentence:
    by_table = v.Kz_source == "table"
    return say("exposure {category}, by table" if by_table else "exposure {category}, by formula", category=v.exposure)


def velocity_steps(v: VelocityPressure, Kzt_mark: Mark, Ke_mark: Mark, Kd_mark: Mark) -> tuple[Step, ...]:
    """The lines of the calculation sheet that end in qh."""
    standard = f"ASCE {v.edition}"
    inside = v.edition == "7-16"
    formula = "0.00256 Kz Kzt Kd Ke V^2" if inside else "0.00256 Kz Kzt Ke V^2"
    lines = (
        Step("V", v.V_mph, "mph", say("basic wind speed"), Clause(standard, "26.5"), "given"),
        Step(
            "h",
            v.height_ft,
            "ft",
            say("mean roof height (eave height up to 10 deg)"),
            Clause(standard, "26.2"),
            "given",
        ),
        Step("Kz", v.Kz, "", _kz_words(v), Clause(standard, "26.10-1", "table"), "found"),
        Step("Kzt", v.Kzt, "", say("topography"), Clause(standard, "26.8"), Kzt_mark),
        Step(
            "Kd", v.Kd, "", say("wind direction, cladding of buildings"), Clause(standard, "26.6-1", "table"), Kd_mark
        ),
        Step("Ke", v.Ke, "", say("ground elevation"), Clause(standard, "26.9-1", "table"), Ke_mark),
        Step("qh", v.qh_psf, "psf", formula, Clause(standard, "26.10-1", "equation"), "computed"),
    )
    if inside:
        return lines
    return (*lines, Step("Kd qh", v.pressure_base_psf, "psf", "Kd qh", Clause(standard, "29.4.4"), "computed"))
