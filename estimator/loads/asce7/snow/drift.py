"""Unbalanced snow of gable and hip roofs, ASCE 7 clause 7.6.1: blown over the ridge onto the other slope."""

from __future__ import annotations

import math
from dataclasses import dataclass

from estimator.loads.actions.clauses import Clause
from estimator.loads.actions.steps import Step
from estimator.loads.asce7.snow.roof_snow import BalancedSnow
from estimator.sentences import say

FLATTEST_DEG = 2.38
STEEPEST_DEG = 30.2
LEAST_FETCH_FT = 20.0
SEVEREST_WINTER_WIND = 0.65
"""Upper end of the winter wind parameter W2 [from memory]."""


@dataclass(frozen=True, slots=True)
class UnbalancedSnow:
    """The surcharge near the ridge of the sheltered slope, psf on plan, and how far it reaches down, ft on plan."""

    gamma_pcf: float
    hd_ft: float
    surcharge_psf: float
    reach_ft: float
    leeward_psf: float
    windward_psf: float
    formula: str
    standard: str

    def steps(self) -> tuple[Step, ...]:
        """The lines of the calculation sheet."""
        return (
            Step(
                "gamma",
                self.gamma_pcf,
                "pcf",
                "min(0.13 pg + 14, 30)",
                Clause(self.standard, "7.7-1", "equation"),
                "found",
            ),
            Step("hd", self.hd_ft, "ft", self.formula, Clause(self.standard, "7.6.1"), "found"),
            Step(
                "hd gamma / sqrt(S)",
                self.surcharge_psf,
                "psf",
                say("on top of ps"),
                Clause(self.standard, "7.6.1"),
                "computed",
            ),
            Step(
                "8 hd sqrt(S) / 3",
                self.reach_ft,
                "ft",
                say("from the ridge, on plan"),
                Clause(self.standard, "7.6.1"),
                "computed",
            ),
            Step(
                say("p leeward"),
                self.leeward_psf,
                "psf",
                "ps + hd gamma / sqrt(S)",
                Clause(self.standard, "7.6.1"),
                "computed",
            ),
        )


def snow_density(pg_psf: float) -> float:
    """Weight density of snow, lb/ft3. Source: ASCE 7 Equation 7.7-1 [found].

    >>> snow_density(30), snow_density(200)
    (17.9, 30.0)
    """
    return min(0.13 * pg_psf + 14.0, 30.0)


def drift_height_7_16(pg_psf: float, fetch_ft: float, Is: float) -> float:
    """Drift height hd, ft; the fetch counts as 20 ft at least. Source: ASCE 7-16 Figure 7.6-1 [found].

    >>> round(drift_height_7_16(30, 100, 1.0), 3)
    3.519
    """
    fetch = max(fetch_ft, LEAST_FETCH_FT)
    return max(0.0, math.sqrt(Is) * (0.43 * math.cbrt(fetch) * math.pow(pg_psf + 10, 0.25) - 1.5))


def drift_height_7_22(pg_psf: float, fetch_ft: float, W2: float) -> float:
    """Drift height hd, ft, with the winter wind parameter W2. Source: ASCE 7-22 Equation 7.6-1 [found].

    >>> round(drift_height_7_22(50, 100, 0.5), 3)
    3.917
    """
    fetch = max(fetch_ft, LEAST_FETCH_FT)
    return 1.5 * math.sqrt(pg_psf**0.74 * fetch**0.70 * W2**1.7 / snow_density(pg_psf))


def has_unbalanced_snow(form: str, slope_deg: float) -> bool:
    """Whether the clause asks for the case: gable and hip roofs from 1/2 on 12 to 7 on 12.

    Source: ASCE 7 clause 7.6.1 [found].

    >>> has_unbalanced_snow("gable", 14.0), has_unbalanced_snow("monoslope", 14.0)
    (True, False)
    """
    return form in ("gable", "hip") and FLATTEST_DEG < slope_deg <= STEEPEST_DEG


def unbalanced_snow(balanced: BalancedSnow, W2: float = SEVEREST_WINTER_WIND) -> UnbalancedSnow:
    """The unbalanced case of one plane; the other slope's run, from which the snow comes, is taken as this one's.

    The simpler rule for rafters up to 20 ft long is not used: roofs on purlins are not rafters.
    Source: ASCE 7-16 and 7-22 clause 7.6.1 [found].

    >>> from estimator.loads.asce7.snow.roof_snow import SnowSite, balanced_snow
    >>> case = unbalanced_snow(balanced_snow(SnowSite("7-16", 30, 1.0, 1.2, "II", 14.036, False, 40.0)))
    >>> round(case.hd_ft, 3), round(case.surcharge_psf, 2), round(case.reach_ft, 2)
    (2.198, 19.67, 11.72)
    """
    site = balanced.site
    if site.edition == "7-16":
        hd = drift_height_7_16(site.pg_psf, site.run_ft, balanced.Is)
        formula = "sqrt(Is) (0.43 lu^(1/3) (pg + 10)^(1/4) - 1.5)"
    else:
        hd = drift_height_7_22(site.pg_psf, site.run_ft, W2)
        formula = "1.5 sqrt(pg^0.74 lu^0.70 W2^1.7 / gamma)"
    gamma = snow_density(site.pg_psf)
    S = 1 / math.tan(math.radians(site.slope_deg))
    surcharge = hd * gamma / math.sqrt(S)
    return UnbalancedSnow(
        gamma, hd, surcharge, 8 / 3 * hd * math.sqrt(S), balanced.ps_psf + surcharge, 0.3 * balanced.ps_psf,
        formula, f"ASCE {site.edition}",
    )  # fmt: skip
