"""The snow of one plane by ASCE 7, from what the job says and what it leaves open."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.errors import Finding
from estimator.loads.actions.assumptions import NOT_GIVEN, SITE_LOADS, assumed, no_snow_given, snow_not_covered
from estimator.loads.actions.records import Snow
from estimator.loads.actions.steps import Mark, Sourced, Step
from estimator.loads.asce7.edition import FT_MM, Edition
from estimator.loads.asce7.snow.drift import SEVEREST_WINTER_WIND, has_unbalanced_snow, unbalanced_snow
from estimator.loads.asce7.snow.factors import Ct_heated_7_22, exposure_factor, roof_exposure
from estimator.loads.asce7.snow.roof_snow import BalancedSnow, SnowSite, balanced_snow, snow_steps
from estimator.loads.zoning.plane import Plane
from estimator.sentences import figure, noted, say
from estimator.site_loads import AsceLoads
from estimator.units import PSF_PA

UNHEATED_CT = 1.2
PARTIALLY_EXPOSED = "partially"
WARM_SLIPPERY_R = 30.0
WARM_SLIPPERY_R_VENTILATED = 20.0


@dataclass(frozen=True, slots=True)
class SettledSnow:
    """The site's snow with every factor settled, and the findings about those the job left open."""

    site: SnowSite
    notes: tuple[Finding, ...]


def plane_snow(
    loads: AsceLoads, plane: Plane, edition: Edition, factors: dict[str, float]
) -> tuple[Snow, tuple[Step, ...], list[Finding]]:
    """Snow on one plane: the even load, and the ridge surcharge where the clause asks for it.

    Returns the snow, the lines of its calculation sheet, and findings.
    """
    if loads.ground_snow_pa is None:
        return Snow(), (), [no_snow_given()]
    settled = _settle(loads, plane, edition, factors)
    balanced = balanced_snow(settled.site)
    even = Snow(balanced.pf_psf * PSF_PA, balanced.ps_psf * PSF_PA, balanced.balanced_psf * PSF_PA)
    notes = list(settled.notes)
    if loads.ground_snow_pa > 0:
        notes.append(snow_not_covered())
    if not _drifts(loads, plane, factors):
        return even, snow_steps(balanced), notes
    if edition == "7-22" and "W2" not in factors:
        notes.append(
            assumed(
                "winter_wind_assumed",
                say("winter wind parameter W2"),
                say("{number}, the most severe,", number=figure(SEVEREST_WINTER_WIND)),
            )
        )
    return _with_drift(even, balanced, plane, factors, notes)


def _drifts(loads: AsceLoads, plane: Plane, factors: dict[str, float]) -> bool:
    wanted = factors.get("ridge_drift", 1.0) > 0
    return wanted and (loads.ground_snow_pa or 0.0) > 0 and has_unbalanced_snow(plane.form, plane.slope_deg)


def _with_drift(
    even: Snow, balanced: BalancedSnow, plane: Plane, factors: dict[str, float], notes: list[Finding]
) -> tuple[Snow, tuple[Step, ...], list[Finding]]:
    """The even load, and from the foot of the drift up the greater of both."""
    drift = unbalanced_snow(balanced, factors.get("W2", SEVEREST_WINTER_WIND))
    lines = (*snow_steps(balanced), *drift.steps())
    load_pa = drift.leeward_psf * PSF_PA
    if load_pa <= even.design_plan_pa:
        return even, lines, notes
    foot_mm = max(0.0, plane.slope_mm - drift.reach_ft * FT_MM / plane.cosine)
    parted = Snow(even.flat_plan_pa, even.sloped_plan_pa, even.design_plan_pa, load_pa, foot_mm)
    return parted, lines, notes


def _settle(loads: AsceLoads, plane: Plane, edition: Edition, factors: dict[str, float]) -> SettledSnow:
    notes: list[Finding] = []
    pg = round((loads.ground_snow_pa or 0.0) / PSF_PA, 9)
    risk, risk_mark = loads.risk_category or "II", _given(loads.risk_category is not None)
    if loads.risk_category is None:
        notes.append(assumed("risk_category_assumed", say("risk category"), "II"))
    Ce = _exposure(loads, factors, notes)
    Ct = _thermal(loads, pg, edition, factors, notes)
    slippery = _counts_as_slippery(loads, Ct.value, edition, factors, notes)
    site = SnowSite(
        edition, pg, Ce.value, Ct.value, risk, plane.slope_deg, slippery, plane.run_mm / FT_MM,
        Ce.mark, Ct.mark, risk_mark,
    )  # fmt: skip
    return SettledSnow(site, tuple(notes))


def _given(there: bool) -> Mark:
    return "given" if there else "assumed"


def _exposure(loads: AsceLoads, factors: dict[str, float], notes: list[Finding]) -> Sourced:
    if "Ce" in factors:
        return Sourced(factors["Ce"], "given", "job")
    if loads.snow_exposure is None:
        what, taken = say("exposure of the roof to wind (snow)"), say("partially exposed")
        notes.append(assumed("snow_exposure_assumed", what, taken))
    value = exposure_factor(loads.exposure or "C", roof_exposure(loads.snow_exposure or PARTIALLY_EXPOSED))
    return Sourced(value, "found" if loads.snow_exposure else "assumed", "Table 7.3-1")


def _thermal(loads: AsceLoads, pg: float, edition: Edition, factors: dict[str, float], notes: list[Finding]) -> Sourced:
    """Ct as given; by 7-22 from the roof's insulation where that is given; else an unheated building, the safe side."""
    if loads.thermal_factor is not None:
        return Sourced(loads.thermal_factor, "given", "job")
    if edition == "7-22" and "R" in factors:
        return Sourced(Ct_heated_7_22(pg, factors["R"]), "found", "Table 7.3-3")
    unheated = noted(figure(UNHEATED_CT), say("unheated"))
    notes.append(assumed("thermal_factor_assumed", say("thermal factor Ct"), unheated))
    return Sourced(UNHEATED_CT, "assumed", "Table 7.3-2")


def _counts_as_slippery(
    loads: AsceLoads, Ct: float, edition: Edition, factors: dict[str, float], notes: list[Finding]
) -> bool:
    """Slippery only where the job says so; an array holds the snow back, so other surfaces are the default.

    A warm roof of 7-16 (Ct up to 1.0) counts as slippery only with R 30, or R 20 where it is ventilated.
    """
    if not loads.slippery:
        return False
    if edition == "7-22" or Ct > 1.0:
        return True
    needed = WARM_SLIPPERY_R_VENTILATED if factors.get("ventilated", 0.0) >= 1 else WARM_SLIPPERY_R
    if factors.get("R", 0.0) >= needed:
        return True
    text = say(
        "warm roof (Ct {Ct}) counts as slippery only from R {least}; other surfaces are taken for Cs",
        Ct=figure(Ct, "g"),
        least=figure(needed, "g"),
    )
    found = factors.get("R", NOT_GIVEN)
    notes.append(Finding("warm_roof_not_slippery", "note", text, SITE_LOADS, found, needed, "ft2 h F/BTU"))
    return False
