"""A metal building on a site in the US and one in Europe, and the module on it: cases of the loads tests."""

from estimator.job import Module
from estimator.units import PSF_PA
from tests.builders import a_roof, some_loads

FT, MPH = 304.8, 0.44704
MODULE = Module("72-cell", 2278, 1134, 35, 28.6, 545)
ROOF = a_roof(eave_length_mm=160 * FT, slope_length_mm=41 * FT, slope_deg=14.036)
US = some_loads(
    standard="asce7-16",
    wind_speed_m_s=115 * MPH,
    exposure="C",
    mean_roof_height_mm=20 * FT,
    ground_snow_pa=30 * PSF_PA,
    roof_form="gable",
    building_length_mm=180 * FT,
    building_width_mm=80 * FT,
)
EU = some_loads(
    standard="en1991",
    wind_speed_m_s=26,
    terrain="II",
    mean_roof_height_mm=6000,
    ground_snow_pa=650,
    roof_form="gable",
    building_length_mm=180 * FT,
    building_width_mm=80 * FT,
)


def codes(found):
    """The findings' codes."""
    return {finding.code for finding in found.findings}
