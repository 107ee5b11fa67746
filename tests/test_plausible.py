"""Values that are unlikely are named with the unit in which they would make sense; usual ones are left alone."""

from dataclasses import replace

import pytest

from estimator.plausible import implausible
from tests.builders import a_job, a_module, a_roof, a_sheet, changed_loads, some_loads, some_ribs
from tests.loads.cases import EU, US


def told(job):
    return {(finding.place.aspect, str(finding.message)) for finding in implausible(job)}


def with_loads(loads):
    job = a_job()
    return replace(job, site=replace(job.site, loads=loads))


def test_a_bare_30_of_ground_snow_is_hardly_30_pascal():
    """30 Pa are 0.627 psf; 30 psf are 1436 Pa. Source: NIST SP 811, 1 psf = 47.88026 Pa."""
    ((aspect, message),) = told(with_loads(changed_loads(US, ground_snow_pa=30.0)))
    assert aspect == "ground_snow"
    assert "ground snow is 30 Pa" in message
    assert "0.627 psf" in message and "30 psf would be 1436 Pa" in message


@pytest.mark.parametrize("pa", [0.0, 650.0, 1436.41, 12_000.0])
def test_usual_snow_and_none_are_left_alone(pa):
    assert not told(with_loads(changed_loads(EU, ground_snow_pa=pa)))


@pytest.mark.parametrize(
    ("module", "aspect", "words"),
    [
        # 63 lb are 28.58 kg, 78 in are 1981 mm. Source: NIST SP 811
        ({"mass_kg": 63.0, "length_mm": 2278.0, "width_mm": 1134.0}, "module_mass", "63 lb would be 28.58 kg"),
        ({"length_mm": 78.0, "width_mm": 41.0}, "module_length", "78 in would be 1981 mm"),
        ({"mass_kg": 9.0, "length_mm": 2278.0, "width_mm": 1134.0}, "module_mass_of_area", "3.5 kg/m2"),
    ],
)
def test_a_module_in_other_units_is_told(module, aspect, words):
    found = dict(told(a_job(module=a_module(**module))))
    assert words in found[aspect]


def test_mass_is_looked_at_against_the_area():
    """28.6 kg on 2278 x 1134 mm are 11.1 kg/m2: usual; 40 kg on 1000 x 1000 mm is not."""
    assert not told(a_job(module=a_module(mass_kg=28.6, length_mm=2278.0, width_mm=1134.0)))
    heavy = dict(told(a_job(module=a_module(mass_kg=40.0, length_mm=1000.0, width_mm=1000.0))))
    assert "40.0 kg/m2" in heavy["module_mass_of_area"]


def test_a_roof_in_other_units_is_told():
    roof = a_roof(
        slope_deg=60.0, ribs=some_ribs(spacing_mm=12.0, height_mm=1.5), sheet=a_sheet(ultimate_strength_mpa=65.0)
    )
    found = dict(told(a_job(roof)))
    assert "12 in would be 304.8 mm" in found["rib_spacing"]
    assert "1.5 in would be 38.1 mm" in found["rib_height"]
    assert "65 ksi would be 448.2 MPa" in found["ultimate_strength"]
    assert "60 deg" in found["slope"]


@pytest.mark.parametrize(
    ("loads", "aspect", "words"),
    [
        # 105 mph are 46.94 m/s, bare 105 are m/s; 90 km/h are 25 m/s. Source: NIST SP 811
        (changed_loads(US, wind_speed_m_s=105.0), "wind_speed", "105 mph would be 46.94 m/s"),
        (changed_loads(EU, wind_speed_m_s=55.0), "wind_speed", "55 mph would be 24.59 m/s"),
        (some_loads(pressures=()), None, ""),
    ],
)
def test_a_wind_speed_in_another_unit_is_told(loads, aspect, words):
    found = dict(told(with_loads(loads)))
    assert words in found.get(aspect, "")
    assert bool(found) == bool(aspect)


def test_a_value_that_makes_sense_in_no_unit_says_what_is_usual():
    found = dict(told(a_job(a_roof(slope_length_mm=412_345.0))))
    assert "1000 mm to 200000 mm" in found["slope_length"]
