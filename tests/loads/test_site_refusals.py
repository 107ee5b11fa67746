from dataclasses import replace

import pytest

from estimator.errors import JobRefused
from estimator.loads import (
    find_pressures,
)
from estimator.units import PSF_PA
from tests.builders import changed_loads, some_loads
from tests.loads.cases import EU, FT, MODULE, MPH, ROOF, US


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"wind_speed_m_s": 20 * MPH}, "/site/loads/wind_speed"),
        ({"wind_speed_m_s": 400 * MPH}, "/site/loads/wind_speed"),
        ({"wind_speed_m_s": None}, "/site/loads/wind_speed"),
        ({"ground_snow_pa": 900 * PSF_PA}, "/site/loads/ground_snow"),
        ({"ground_snow_pa": -1.0}, "/site/loads/ground_snow"),
        ({"exposure": None}, "/site/loads/exposure"),
        ({"exposure": "A"}, "/site/loads/exposure"),
        ({"mean_roof_height_mm": 70 * FT}, "/site/loads/mean_roof_height"),
        ({"roof_form": None}, "/site/loads/roof_form"),
        ({"risk_category": "V"}, "/site/loads/risk_category"),
        ({"building_length_mm": None}, "/site/loads/building/length"),
        ({"building_length_mm": 60 * FT, "building_width_mm": 30 * FT}, "/site/loads/building"),
        ({"topographic_factor": 0.5}, "/site/loads/topographic_factor"),
        ({"factors": (("Kx", 1.0),)}, "/site/loads/factors/Kx"),
        ({"factors": (("Kd", 3.0),)}, "/site/loads/factors/Kd"),
    ],
)
def test_a_site_outside_the_standard_is_refused_with_what_is_allowed(change, pointer):
    with pytest.raises(JobRefused) as refusal:
        find_pressures(changed_loads(US, **change), ROOF, MODULE)
    faults = {fault.pointer: fault for fault in refusal.value.faults}
    assert pointer in faults
    assert faults[pointer].allowed


def test_all_faults_are_told_at_once():
    with pytest.raises(JobRefused) as refusal:
        find_pressures(some_loads(standard="asce7-22"), ROOF, MODULE)
    assert len(refusal.value.faults) >= 6


@pytest.mark.parametrize(
    ("standard", "form", "slope"),
    [("asce7-16", "hip", 30.0), ("asce7-16", "flat", 12.0), ("en1991", "hip", 20.0), ("en1991", "flat", 12.0)],
)
def test_a_roof_form_without_coefficients_is_refused(standard, form, slope):
    loads = changed_loads(EU if standard == "en1991" else replace(US, standard=standard), roof_form=form)
    with pytest.raises(JobRefused) as refusal:
        find_pressures(loads, replace(ROOF, slope_deg=slope), MODULE)
    assert [fault.pointer for fault in refusal.value.faults] == ["/site/loads/roof_form"]
