"""What a site by ASCE 7 must say, and within which bounds: every fault at once, each with what is allowed."""

from __future__ import annotations

from estimator.errors import Fault
from estimator.loads.actions.named_factors import Bounds
from estimator.loads.actions.site_faults import ROOF_FORMS, Faults, building_faults, over, thermal_faults
from estimator.loads.asce7.edition import FT_MM
from estimator.loads.asce7.snow.factors import RISK_CATEGORIES, ROOF_EXPOSURES, roof_exposure
from estimator.loads.asce7.wind.velocity import EXPOSURES
from estimator.sentences import say
from estimator.site_loads import AsceLoads
from estimator.units import PSF_PA

ASCE_WIND_MPH = (85.0, 250.0)
ASCE_SNOW_PSF = (0.0, 500.0)
ASCE_HEIGHT_FT = (5.0, 60.0)

ASCE_FACTORS: dict[str, Bounds] = {
    "Kd": (0.5, 1.0),
    "Ke": (0.5, 1.2),
    "gamma_E": (1.0, 3.0),
    "least_net_pressure_psf": (0.0, 100.0),
    "Ce": (0.5, 1.5),
    "R": (0.0, 200.0),
    "ventilated": (0.0, 1.0),
    "W2": (0.1, 1.0),
    "ridge_drift": (0.0, 1.0),
    "service_wind": (0.1, 1.0),
}
"""gamma_E: edge factor of exposed panels; R: insulation, ft2 h F / BTU; ridge_drift 0 leaves unbalanced snow out."""


def asce_faults(loads: AsceLoads) -> list[Fault]:
    """Faults of a site by ASCE 7.

    The wind and snow bounds enclose what the standard's maps show [from memory]; the height is that of its figures of
    coefficients, mean roof height up to 60 ft [found].
    """
    f, building = Faults("/site/loads"), loads.building
    f.within("wind_speed", loads.wind_speed_mph, ASCE_WIND_MPH, "mph", say("basic wind speed"))
    f.within(
        "mean_roof_height", over(building.mean_roof_height_mm, FT_MM), ASCE_HEIGHT_FT, "ft", say("mean roof height")
    )
    if loads.ground_snow_pa is not None:
        f.within("ground_snow", loads.ground_snow_pa / PSF_PA, ASCE_SNOW_PSF, "psf", say("ground snow"))
    if building.eave_height_mm is not None and building.mean_roof_height_mm is not None:
        f.within("eave_height", building.eave_height_mm, (1.0, building.mean_roof_height_mm), "mm", say("eave height"))
    f.one_of("exposure", loads.exposure, EXPOSURES, say("exposure"))
    f.one_of("risk_category", loads.risk_category, RISK_CATEGORIES, say("risk category"), needed=False)
    exposure = None if loads.snow_exposure is None else roof_exposure(loads.snow_exposure)
    f.one_of("snow_exposure", exposure, ROOF_EXPOSURES, say("snow exposure"), needed=False)
    f.one_of("roof_form", building.roof_form, ROOF_FORMS, say("roof form"))
    thermal_faults(f, loads.thermal_factor)
    _topography(f, loads)
    building_faults(f, building)
    return f.found


def _topography(f: Faults, loads: AsceLoads) -> None:
    if loads.topographic_factor is not None:
        f.within("topographic_factor", loads.topographic_factor, (1.0, 5.0), "", say("topographic factor"))
    if loads.ground_elevation_mm is not None:
        f.within(
            "ground_elevation", loads.ground_elevation_mm / FT_MM, (-300.0, 15000.0), "ft", say("ground elevation")
        )
