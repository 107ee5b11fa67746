"""Snow on a roof plane by ASCE 7 chapter 7: flat, sloped, least, rain on snow. psf on the horizontal projection."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.loads.actions.clauses import Clause
from estimator.loads.actions.steps import Mark, Step
from estimator.loads.asce7.edition import Edition
from estimator.loads.asce7.snow.factors import importance, slope_factor
from estimator.sentences import Sentence, figure, say

_LEAST_MOST_7_22 = {"I": 25.0, "II": 30.0, "III": 35.0, "IV": 40.0}
LOW_SLOPE_DEG = 15.0


@dataclass(frozen=True, slots=True)
class SnowSite:
    """What the snow on one plane depends on.

    ``pg_psf`` ground snow (7-22: of the site's risk category, strength level); ``Ce``, ``Ct`` exposure and thermal
    factor; ``slippery`` only where nothing holds the snow and it has room to fall; ``run_ft`` the plane's length on
    plan from eave to ridge (W); marks say where the factors come from.
    """

    edition: Edition
    pg_psf: float
    Ce: float
    Ct: float
    risk_category: str
    slope_deg: float
    slippery: bool
    run_ft: float
    Ce_mark: Mark = "given"
    Ct_mark: Mark = "given"
    risk_mark: Mark = "given"


@dataclass(frozen=True, slots=True)
class BalancedSnow:
    """Snow lying evenly, psf on the horizontal projection. ``balanced_psf`` is the one that governs."""

    site: SnowSite
    Is: float
    pf_psf: float
    Cs: float
    ps_psf: float
    least_psf: float
    rain_psf: float

    @property
    def balanced_psf(self) -> float:
        """The greater of sloped snow with its rain, and the least load of low roofs."""
        return max(self.ps_psf + self.rain_psf, self.least_psf)

    @property
    def governing(self) -> Sentence:
        """Which of the two governs, in words."""
        if self.least_psf > self.ps_psf + self.rain_psf:
            return say("least load of low roofs")
        return say("sloped snow with rain") if self.rain_psf else say("sloped snow")


def flat_roof_snow(pg_psf: float, Ce: float, Ct: float, Is: float, edition: Edition) -> float:
    """Flat roof snow pf: 0.7 Ce Ct Is pg (7-16), the same without Is (7-22), psf.

    Source: ASCE 7-16 and 7-22 Equation 7.3-1 [found].

    >>> round(flat_roof_snow(30, 1.0, 1.0, 1.0, "7-16"), 9)
    21.0
    """
    return 0.7 * Ce * Ct * pg_psf * (Is if edition == "7-16" else 1.0)


def least_snow(pg_psf: float, risk_category: str, slope_deg: float, edition: Edition) -> float:
    """Least snow load pm of roofs under 15 deg, a load case of its own, psf; 0 on steeper roofs.

    Source: ASCE 7-16 and 7-22 clause 7.3.4 [found].

    >>> least_snow(30, "II", 3.0, "7-16"), least_snow(45, "II", 3.0, "7-22"), least_snow(30, "II", 20.0, "7-16")
    (20.0, 30.0, 0.0)
    """
    if slope_deg >= LOW_SLOPE_DEG:
        return 0.0
    if edition == "7-16":
        return min(pg_psf, 20.0) * importance(risk_category)
    return min(pg_psf, _LEAST_MOST_7_22[risk_category])


def rain_on_snow(pg_psf: float, risk_category: str, slope_deg: float, run_ft: float, edition: Edition) -> float:
    """Rain on snow: 5 psf (7-16) or 8 psf (7-22) where little snow lies on a roof flatter than W/50 deg, W in ft.

    Source: ASCE 7-16 and 7-22 clause 7.10 [found].

    >>> rain_on_snow(20, "II", 1.19, 60, "7-16"), rain_on_snow(30, "II", 1.19, 60, "7-16")
    (5.0, 0.0)
    >>> rain_on_snow(30, "II", 1.19, 60, "7-22")
    8.0
    """
    if pg_psf <= 0 or slope_deg >= run_ft / 50:
        return 0.0
    if edition == "7-16":
        return 5.0 if pg_psf <= 20 else 0.0
    return 8.0 if pg_psf <= _LEAST_MOST_7_22[risk_category] else 0.0


def balanced_snow(site: SnowSite) -> BalancedSnow:
    """Every evenly lying snow load of one plane.

    >>> snow = balanced_snow(SnowSite("7-16", 30, 0.9, 1.2, "II", 18.435, True, 20.0))
    >>> round(snow.pf_psf, 3), round(snow.Cs, 5), round(snow.ps_psf, 3)
    (22.68, 0.93755, 21.264)
    """
    Is = importance(site.risk_category) if site.edition == "7-16" else 1.0
    pf = flat_roof_snow(site.pg_psf, site.Ce, site.Ct, Is, site.edition)
    Cs = slope_factor(site.slope_deg, site.Ct, site.slippery, site.edition)
    return BalancedSnow(
        site, Is, pf, Cs, Cs * pf,
        least_snow(site.pg_psf, site.risk_category, site.slope_deg, site.edition),
        rain_on_snow(site.pg_psf, site.risk_category, site.slope_deg, site.run_ft, site.edition),
    )  # fmt: skip


def snow_steps(snow: BalancedSnow) -> tuple[Step, ...]:
    """The lines of the calculation sheet for the evenly lying snow."""
    site, standard = snow.site, f"ASCE {snow.site.edition}"
    old = site.edition == "7-16"
    surface = say(
        "{angle}, slippery surface" if site.slippery else "{angle}, other surfaces",
        angle=figure(site.slope_deg, "g", " deg", "angle"),
    )
    lines = [
        Step("pg", site.pg_psf, "psf", say("ground snow"), Clause(standard, "7.2"), "given"),
        Step("Ce", site.Ce, "", say("exposure"), Clause(standard, "7.3-1", "table"), site.Ce_mark),
        Step("Ct", site.Ct, "", say("thermal"), Clause(standard, "7.3.2"), site.Ct_mark),
    ]
    if old:
        lines.append(
            Step(
                "Is",
                snow.Is,
                "",
                say("risk category {category}", category=site.risk_category),
                Clause(standard, "1.5-2", "table"),
                "found",
            )
        )
    return (
        *lines,
        Step(
            "pf",
            snow.pf_psf,
            "psf",
            "0.7 Ce Ct Is pg" if old else "0.7 Ce Ct pg",
            Clause(standard, "7.3-1", "equation"),
            "computed",
        ),
        Step("Cs", snow.Cs, "", surface, Clause(standard, "7.4-1", "figure"), "found"),
        Step("ps", snow.ps_psf, "psf", "Cs pf", Clause(standard, "7.4-1", "equation"), "computed"),
        Step("pm", snow.least_psf, "psf", say("least load of roofs under 15 deg"), Clause(standard, "7.3.4"), "found"),
        Step(say("rain"), snow.rain_psf, "psf", say("rain on snow"), Clause(standard, "7.10"), "found"),
        Step(say("p snow"), snow.balanced_psf, "psf", snow.governing, Clause(standard, "7", "chapter"), "computed"),
    )
