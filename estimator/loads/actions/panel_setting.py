"""How the panels of a job lie over the roof, as far as loads ask for it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PanelSetting:
    """How the panels lie on the roof.

    ``height_mm`` (h2) is measured from the roof to the top of the panel, None where it is not known yet;
    ``hardware_kg_m2`` is the mass of rails, brackets and clamps over the array's area.
    """

    height_mm: float | None = None
    tilt_to_roof_deg: float = 0.0
    hardware_kg_m2: float = 0.0
