"""What the loads of a site must say, and within which bounds: every fault at once, each with what is allowed."""

from __future__ import annotations

from dataclasses import dataclass, field

from estimator.errors import Fault
from estimator.job import Loads, Roof
from estimator.loads.snow_en import EXPOSURES as EN_SNOW_EXPOSURES
from estimator.loads.snow_factors_asce import RISK_CATEGORIES, ROOF_EXPOSURES, roof_exposure
from estimator.loads.velocity_asce import EXPOSURES, FT_MM, MPH_M_S
from estimator.loads.wind_en import TERRAIN
from estimator.units import PSF_PA

ROOF_FORMS = ("flat", "gable", "hip", "monoslope")
OVERHANG_MM = 610.0
"""How far a roof edge may stand out over the building's own outline, each side [common practice, no source]."""

ASCE_WIND_MPH = (85.0, 250.0)
ASCE_SNOW_PSF = (0.0, 500.0)
ASCE_HEIGHT_FT = (5.0, 60.0)
EN_WIND_M_S = (15.0, 60.0)
EN_SNOW_KPA = (0.0, 25.0)
EN_HEIGHT_M = (2.0, 200.0)


@dataclass(slots=True)
class Faults:
    """Gathers faults under one place of the job."""

    place: str
    found: list[Fault] = field(default_factory=list)

    def add(self, name: str, message: str, allowed: str) -> None:
        """Note one fault."""
        self.found.append(Fault(f"{self.place}/{name}", message, allowed))

    def within(self, name: str, value: float | None, bounds: tuple[float, float], unit: str, what: str) -> None:
        """A number that must be there and lie within bounds, all in the unit named."""
        allowed = f"{bounds[0]:g} to {bounds[1]:g} {unit}"
        if value is None:
            self.add(name, f"{what} is missing", allowed)
        elif not bounds[0] - 1e-9 <= value <= bounds[1] + 1e-9:
            self.add(name, f"{what} is {value:.4g} {unit}", allowed)

    def one_of(self, name: str, value: str | None, allowed: tuple[str, ...], what: str, needed: bool = True) -> None:
        """A word that must be one of those allowed."""
        if value is None and needed:
            self.add(name, f"{what} is missing", ", ".join(allowed))
        elif value is not None and value not in allowed:
            self.add(name, f"{what} {value!r} is unknown", ", ".join(allowed))


def over(value: float | None, unit: float) -> float | None:
    """A number in another unit, if it is there."""
    return None if value is None else value / unit


def asce_faults(loads: Loads) -> list[Fault]:
    """Faults of a site by ASCE 7.

    The wind and snow bounds enclose what the standard's maps show [from memory]; the height is that of its figures of
    coefficients, mean roof height up to 60 ft [found].
    """
    f = Faults("/site/loads")
    f.within("wind_speed", over(loads.wind_speed_m_s, MPH_M_S), ASCE_WIND_MPH, "mph", "basic wind speed")
    f.within("mean_roof_height", over(loads.mean_roof_height_mm, FT_MM), ASCE_HEIGHT_FT, "ft", "mean roof height")
    if loads.ground_snow_pa is not None:
        f.within("ground_snow", loads.ground_snow_pa / PSF_PA, ASCE_SNOW_PSF, "psf", "ground snow")
    if loads.eave_height_mm is not None and loads.mean_roof_height_mm is not None:
        f.within("eave_height", loads.eave_height_mm, (1.0, loads.mean_roof_height_mm), "mm", "eave height")
    f.one_of("exposure", loads.exposure, EXPOSURES, "exposure")
    f.one_of("risk_category", loads.risk_category, RISK_CATEGORIES, "risk category", needed=False)
    exposure = None if loads.snow_exposure is None else roof_exposure(loads.snow_exposure)
    f.one_of("snow_exposure", exposure, ROOF_EXPOSURES, "snow exposure", needed=False)
    f.one_of("roof_form", loads.roof_form, ROOF_FORMS, "roof form")
    _thermal(f, loads)
    _topography(f, loads)
    _building(f, loads)
    return f.found


def en_faults(loads: Loads) -> list[Fault]:
    """Faults of a site by the Eurocode. The wind and snow bounds enclose the national maps [from memory]."""
    f = Faults("/site/loads")
    f.within("wind_speed", loads.wind_speed_m_s, EN_WIND_M_S, "m/s", "fundamental wind velocity")
    f.within("mean_roof_height", over(loads.mean_roof_height_mm, 1000), EN_HEIGHT_M, "m", "mean roof height")
    if loads.ground_snow_pa is not None:
        f.within("ground_snow", loads.ground_snow_pa / 1000, EN_SNOW_KPA, "kN/m2", "ground snow")
    f.one_of("terrain", loads.terrain or loads.exposure, tuple(TERRAIN), "terrain category")
    f.one_of("snow_exposure", loads.snow_exposure, tuple(EN_SNOW_EXPOSURES), "snow exposure", needed=False)
    if loads.roof_form == "hip":
        f.add("roof_form", "roof form hip: no confirmed coefficients by EN 1991-1-4", "flat, gable, monoslope")
    else:
        f.one_of("roof_form", loads.roof_form, ROOF_FORMS, "roof form")
    _thermal(f, loads)
    _building(f, loads)
    return f.found


def _thermal(f: Faults, loads: Loads) -> None:
    if loads.thermal_factor is not None:
        f.within("thermal_factor", loads.thermal_factor, (0.5, 1.5), "", "thermal factor")


def _topography(f: Faults, loads: Loads) -> None:
    if loads.topographic_factor is not None:
        f.within("topographic_factor", loads.topographic_factor, (1.0, 5.0), "", "topographic factor")
    if loads.ground_elevation_mm is not None:
        f.within("ground_elevation", loads.ground_elevation_mm / FT_MM, (-300.0, 15000.0), "ft", "ground elevation")


def _building(f: Faults, loads: Loads) -> None:
    for name, value in (("length", loads.building_length_mm), ("width", loads.building_width_mm)):
        f.within(f"building/{name}", over(value, 1000), (1.0, 2000.0), "m", f"building {name}")


@dataclass(frozen=True, slots=True)
class Footprint:
    """The building seen from a plane: its dimension along the plane's eave, and the other one, mm."""

    along_mm: float
    across_mm: float

    @property
    def least_mm(self) -> float:
        """The least horizontal dimension."""
        return min(self.along_mm, self.across_mm)


def footprint(loads: Loads, roof: Roof, run_mm: float) -> Footprint | Fault:
    """Which way the building lies under a plane; the fault where the plane does not fit on it either way.

    The eave is taken to run along the building's length unless only the other way fits. A roof edge may stand out over
    the building by the overhang each side.
    """
    length, width = loads.building_length_mm or 0.0, loads.building_width_mm or 0.0
    for along, across in ((length, width), (width, length)):
        if roof.eave_length_mm <= along + 2 * OVERHANG_MM and run_mm <= across + 2 * OVERHANG_MM:
            return Footprint(along, across)
    return Fault(
        "/site/loads/building",
        f"building {length:.0f} x {width:.0f} mm is smaller than roof {roof.name}: "
        f"{roof.eave_length_mm:.0f} mm along the eave, {run_mm:.0f} mm on plan up the slope",
        f"at least the roof's own size, less an overhang of {OVERHANG_MM:.0f} mm each side",
    )
