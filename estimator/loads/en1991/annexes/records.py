"""The numbers that the Eurocodes leave to each nation, as one record for each annex."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class WindParameters:
    """National parameters: directional, seasonal, orography and turbulence factor (kI), density of air in kg/m3."""

    cdir: float
    cseason: float
    co: float
    turbulence: float
    rho: float


@dataclass(frozen=True, slots=True)
class PartialFactors:
    """Partial and combination factors of EN 1990."""

    gamma_g_sup: float
    gamma_g_inf: float
    gamma_g_sup_equ: float
    gamma_g_inf_equ: float
    gamma_q: float
    psi_0_wind: float
    psi_0_snow: float


@dataclass(frozen=True, slots=True)
class NationalNumbers:
    """What one national annex sets, or what the standards recommend.

    Args:
        wind: of EN 1991-1-4, section 4.
        partial: of EN 1990, annex A1.
        high_altitude_mm: above it, snow combines by ``psi_0_snow_high``.
        psi_0_snow_high: the combination factor of snow there.
        exposure: exposure coefficient Ce of snow, by how the roof lies.
        title: how the printed annex is called; empty for the standards' own recommendations.

    """

    wind: WindParameters
    partial: PartialFactors
    high_altitude_mm: float
    psi_0_snow_high: float
    exposure: Mapping[str, float]
    title: str = ""

    def wind_with(self, factors: Mapping[str, float]) -> WindParameters:
        """The wind's parameters, those that a job gives by symbol in place of the annex's."""
        n = self.wind
        return WindParameters(
            cdir=factors.get("cdir", n.cdir),
            cseason=factors.get("cseason", n.cseason),
            co=factors.get("co", factors.get("c0", n.co)),
            turbulence=factors.get("kI", n.turbulence),
            rho=factors.get("rho", n.rho),
        )

    def partial_with(self, factors: Mapping[str, float], altitude_mm: float) -> PartialFactors:
        """Partial and combination factors at that altitude, those that a job gives in place of the annex's."""
        n = self.partial
        snow = self.psi_0_snow_high if altitude_mm > self.high_altitude_mm else n.psi_0_snow
        return replace(
            n,
            gamma_g_sup=factors.get("gamma_G_sup", n.gamma_g_sup),
            gamma_g_inf=factors.get("gamma_G_inf", n.gamma_g_inf),
            gamma_g_sup_equ=factors.get("gamma_G_sup_equ", n.gamma_g_sup_equ),
            gamma_g_inf_equ=factors.get("gamma_G_inf_equ", n.gamma_g_inf_equ),
            gamma_q=factors.get("gamma_Q", n.gamma_q),
            psi_0_wind=factors.get("psi_0_wind", n.psi_0_wind),
            psi_0_snow=factors.get("psi_0_snow", snow),
        )
