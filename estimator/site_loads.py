"""The loads a site asks for: one record for each standard, each with what that standard reads and nothing else.

Lengths in mm, pressures in Pa, angles in degrees. A wind speed stands in the unit its standard is written in: miles an
hour for ASCE 7, metres a second for the Eurocode. ``None`` means: the standard's own default is used, and it is said.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

LoadStandard = Literal["asce7-16", "asce7-22", "en1991", "given"]
RoofForm = Literal["flat", "gable", "hip", "monoslope"]
DesignMethod = Literal["asd", "lrfd"]
AreaRule = Literal["module", "attachment"]
Factors = tuple[tuple[str, float], ...]
TemperatureRange = tuple[float, float]
"""Coldest and warmest a rail gets, against the day it is mounted, K."""


@dataclass(frozen=True, slots=True)
class Building:
    """The building under the roof, as every standard asks for it."""

    mean_roof_height_mm: float | None = None
    eave_height_mm: float | None = None
    roof_form: RoofForm | None = None
    length_mm: float | None = None
    width_mm: float | None = None


@dataclass(frozen=True, slots=True)
class AsceLoads:
    """Loads by ASCE 7. ``factors`` holds further named factors by the symbol the standard uses."""

    standard: Literal["asce7-16", "asce7-22"]
    method: DesignMethod = "asd"
    building: Building = Building()
    wind_speed_mph: float | None = None
    exposure: str | None = None
    ground_elevation_mm: float | None = None
    topographic_factor: float | None = None
    risk_category: str | None = None
    enclosure: str | None = None
    velocity_factor: Literal["table", "formula"] | None = None
    ground_snow_pa: float | None = None
    snow_exposure: str | None = None
    thermal_factor: float | None = None
    slippery: bool | None = None
    effective_area: AreaRule | None = None
    temperature_range_k: TemperatureRange | None = None
    factors: Factors = ()


@dataclass(frozen=True, slots=True)
class EnLoads:
    """Loads by EN 1990 and EN 1991.

    ``annex`` names whose numbers count where the standards leave the choice to each nation; ``factors`` holds single
    ones by the symbol the standard uses, and wins.
    """

    building: Building = Building()
    wind_speed_m_s: float | None = None
    terrain: str | None = None
    altitude_mm: float | None = None
    ground_snow_pa: float | None = None
    snow_exposure: str | None = None
    thermal_factor: float | None = None
    snow_retained: bool | None = None
    effective_area: AreaRule | None = None
    temperature_range_k: TemperatureRange | None = None
    factors: Factors = ()
    annex: str = "recommended"

    @property
    def standard(self) -> Literal["en1991"]:
        """The standard's name."""
        return "en1991"


@dataclass(frozen=True, slots=True)
class GivenPressure:
    """Design pressures from an engineer for one zone ("all" for everywhere), normal to the roof, Pa, positive.

    Along the slope None stands for not given, which is nothing on a slope of 0 and a fault on any other.
    """

    zone: str
    uplift_pa: float
    downward_pa: float
    along_slope_pa: float | None = 0.0


@dataclass(frozen=True, slots=True)
class GivenLoads:
    """Design pressures from an engineer, or none at all; ``building`` tells where zones named by a figure lie."""

    pressures: tuple[GivenPressure, ...] = ()
    method: DesignMethod = "asd"
    building: Building = Building()
    temperature_range_k: TemperatureRange | None = None

    @property
    def standard(self) -> Literal["given"]:
        """What stands in the place of a standard's name."""
        return "given"


Loads = AsceLoads | EnLoads | GivenLoads

NO_LOADS = GivenLoads()
"""A site that says nothing of its loads."""
