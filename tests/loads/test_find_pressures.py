from dataclasses import replace

import numpy as np
import pytest

from estimator.errors import JobRefused
from estimator.job import GivenPressure, Loads, Module
from estimator.loads import (
    PanelSetting,
    effective_area_m2,
    find_pressures,
    load_sheet,
    zone_at,
    zone_pressures,
    zone_steps,
)
from estimator.loads.curves import FT2_M2
from estimator.units import PSF_PA
from tests.builders import a_roof, an_array

FT, MPH = 304.8, 0.44704
MODULE = Module("72-cell", 2278, 1134, 35, 28.6, 545)
ROOF = a_roof(eave_length_mm=160 * FT, slope_length_mm=41 * FT, slope_deg=14.036)
US = Loads(
    standard="asce7-16",
    wind_speed_m_s=115 * MPH,
    exposure="C",
    mean_roof_height_mm=20 * FT,
    ground_snow_pa=30 * PSF_PA,
    roof_form="gable",
    building_length_mm=180 * FT,
    building_width_mm=80 * FT,
)
EU = Loads(
    standard="en1991",
    wind_speed_m_s=26,
    terrain="II",
    mean_roof_height_mm=6000,
    ground_snow_pa=650,
    roof_form="gable",
    building_length_mm=180 * FT,
    building_width_mm=80 * FT,
)


def _codes(found):
    return {finding.code for finding in found.findings}


@pytest.mark.parametrize(
    ("area_ft2", "zone", "expected_psf"),
    [
        (27.81, "1", -40.926),
        (27.81, "2n", -57.166),
        (27.81, "3r", -67.706),
        (14.95, "1", -56.734),
        (14.95, "3r", -93.208),
    ],
)
def test_wind_uplift_of_a_metal_building(area_ft2, zone, expected_psf):
    # Source: computed from ASCE 7-16 29.4.4 and Figure 30.3-2B: V 115, exposure C, h 20 ft, gammaE 1.5
    found = zone_pressures(find_pressures(US, ROOF, MODULE), zone, area_ft2 * FT2_M2)
    assert float(found.wind_uplift_pa[0]) / PSF_PA == pytest.approx(expected_psf, rel=2e-4)


def test_modules_that_are_not_exposed_carry_a_third_less():
    # Source: ASCE 7-16 29.4.4: gammaE 1.5 and 1.0
    pressures = find_pressures(US, ROOF, MODULE)
    outer, inner = (zone_pressures(pressures, "3r", 1.5, exposed=e).wind_uplift_pa[0] for e in (True, False))
    assert outer / inner == pytest.approx(1.5)


def test_downward_wind_is_at_least_16_psf_unless_switched_off():
    # Source: ASCE 7-16 30.2.2; +6.945 psf by Figure 30.3-2B at 27.81 ft2
    area = 27.81 * FT2_M2
    least = zone_pressures(find_pressures(US, ROOF, MODULE), "1", area)
    assert float(least.wind_downward_pa[0]) / PSF_PA == pytest.approx(16.0)
    off = replace(US, factors=(("least_net_pressure_psf", 0.0),))
    plain = zone_pressures(find_pressures(off, ROOF, MODULE), "1", area)
    assert float(plain.wind_downward_pa[0]) / PSF_PA == pytest.approx(6.945, abs=2e-3)


def test_snow_of_a_metal_building():
    # Source: computed from ASCE 7-16 Eq. 7.3-1 and 7.4-1: pg 40, Ct 1.2, 3 on 12: 33.6 psf flat and sloped
    snow = find_pressures(replace(US, ground_snow_pa=40 * PSF_PA), ROOF, MODULE).snow
    assert (snow.flat_plan_pa / PSF_PA, snow.sloped_plan_pa / PSF_PA) == pytest.approx((33.6, 33.6))


def test_ground_snow_of_exactly_20_psf_takes_rain():
    # Source: ASCE 7-16 7.10; 20 psf of ground snow, roof flatter than W/50
    roof = a_roof(eave_length_mm=160 * FT, slope_length_mm=75 * FT, slope_deg=1.0)
    loads = replace(US, ground_snow_pa=20 * PSF_PA, roof_form="flat", thermal_factor=1.0)
    snow = find_pressures(loads, roof, MODULE).snow
    assert snow.design_plan_pa / PSF_PA == pytest.approx(max(14.0 + 5.0, 20.0))


def test_snow_blown_over_the_ridge_loads_the_upper_strip_more():
    pressures = find_pressures(US, ROOF, MODULE)
    lower, upper = (zone_pressures(pressures, name, 1.5).downward_pa[0] for name in ("1", "1 ridge snow"))
    assert upper > lower
    without = find_pressures(replace(US, factors=(("ridge_drift", 0.0),)), ROOF, MODULE)
    assert "1 ridge snow" not in without.zone_map.zones


def test_every_zone_of_the_plan_has_its_pressures():
    for loads in (US, replace(US, standard="asce7-22"), EU):
        pressures = find_pressures(loads, ROOF, MODULE)
        assert [zone.name for zone in pressures.zones] == list(pressures.zone_map.zones)
        assert int(zone_at(pressures.zone_map, 10.0, 10.0)) >= 0


def test_pressures_at_many_areas_are_those_at_each():
    pressures = find_pressures(US, ROOF, MODULE)
    areas = np.geomspace(0.1, 60, 40)
    together = zone_pressures(pressures, "2n", areas)
    one_by_one = [zone_pressures(pressures, "2n", a) for a in areas]
    assert together.uplift_pa.tolist() == [float(p.uplift_pa[0]) for p in one_by_one]
    assert together.normal_pa.shape == (len(pressures.combinations), 40)
    assert (np.diff(together.uplift_pa) >= 0).all()  # a larger area never lifts harder


def test_down_slope_shear_comes_from_dead_load_and_snow_alone():
    # Source: mechanics; ASCE 7-16 2.4.1, D + S
    pressures = find_pressures(replace(US, factors=(("ridge_drift", 0.0),)), ROOF, MODULE)
    found = zone_pressures(pressures, "1", 1.5)
    theta = np.radians(14.036)
    expected = pressures.dead_pa * np.sin(theta) + 25.2 * PSF_PA * np.sin(theta) * np.cos(theta)
    assert float(found.along_pa[0]) == pytest.approx(expected, rel=1e-9)


def test_dead_load_counts_module_and_hardware():
    light, heavy = (find_pressures(US, ROOF, MODULE, PanelSetting(hardware_kg_m2=m)).dead_pa for m in (0.0, 2.0))
    assert heavy - light == pytest.approx(2.0 * 9.80665)
    assert light == pytest.approx(28.6 * 9.80665 / (2.278 * 1.134))


def test_area_of_one_module_where_the_job_asks_for_it():
    attachment = find_pressures(US, ROOF, MODULE)
    module = find_pressures(replace(US, effective_area="module"), ROOF, MODULE)
    assert float(effective_area_m2(attachment, 1219.2, 1139)) == pytest.approx(1.3887, abs=1e-4)
    assert float(effective_area_m2(module, 1219.2, 1139)) == pytest.approx(2.278 * 1.134)


def test_strength_design_takes_the_whole_wind():
    # Source: ASCE 7-16 2.3.1: 0.9 D + 1.0 W
    pressures = find_pressures(replace(US, method="lrfd"), ROOF, MODULE)
    found = zone_pressures(pressures, "1", 1.5)
    assert pressures.combinations[found.governing_uplift[0]].name == "0.9D + 1.0W up"
    dead = pressures.dead_pa * np.cos(np.radians(14.036))
    assert float(found.uplift_pa[0]) == pytest.approx(0.9 * dead + float(found.wind_uplift_pa[0]))


def test_the_eave_height_counts_up_to_10_deg():
    # Source: ASCE 7 26.2 and 30.3: eave height for slopes up to 10 deg
    low = a_roof(eave_length_mm=160 * FT, slope_length_mm=40 * FT, slope_deg=8.0)
    tall = replace(US, mean_roof_height_mm=30 * FT, eave_height_mm=25 * FT)
    assert find_pressures(tall, low, MODULE).wind.velocity_pa == pytest.approx(
        find_pressures(replace(US, mean_roof_height_mm=25 * FT), low, MODULE).wind.velocity_pa
    )
    steep = a_roof(eave_length_mm=160 * FT, slope_length_mm=40 * FT, slope_deg=11.0)
    assert find_pressures(tall, steep, MODULE).wind.velocity_pa > find_pressures(tall, low, MODULE).wind.velocity_pa


def test_limits_of_the_panel_clause_are_each_checked():
    # Source: ASCE 7-16 29.4.4: tilt 2 deg, 10 in, gaps 0.25 in at most 6.7 ft apart, 2 h2 from the edges
    crowded = replace(ROOF, arrays=(an_array(x_mm=100.0, y_mm=100.0, gap_x_mm=5.0),))
    found = find_pressures(US, crowded, MODULE, PanelSetting(height_mm=300, tilt_to_roof_deg=5))
    assert {"panel_tilt", "panel_height", "panel_gap", "panel_chord", "panel_edge_distance"} <= _codes(found)
    calm = Module("short", 1700, 1000, 35, 20, 400)
    quiet = find_pressures(replace(US, enclosure="enclosed"), ROOF, calm, PanelSetting(height_mm=120))
    assert not {code for code in _codes(quiet) if code.startswith("panel_") or code == "building_enclosure"}


def test_coefficients_from_one_transcription_are_said_to_be():
    steeper = replace(ROOF, slope_deg=25.0)
    found = [f for f in find_pressures(US, steeper, MODULE).findings if f.code == "coefficient_unconfirmed"]
    assert [f.severity for f in found] == ["warning"]
    assert "30.3-2C" in found[0].message


def test_what_the_job_left_open_is_said():
    codes = _codes(find_pressures(US, ROOF, MODULE))
    assert {"topography_assumed", "risk_category_assumed", "snow_exposure_assumed", "thermal_factor_assumed"} <= codes
    assert "ground_snow_missing" in _codes(find_pressures(replace(US, ground_snow_pa=None), ROOF, MODULE))


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
        find_pressures(replace(US, **change), ROOF, MODULE)
    faults = {fault.pointer: fault for fault in refusal.value.faults}
    assert pointer in faults
    assert faults[pointer].allowed


def test_all_faults_are_told_at_once():
    with pytest.raises(JobRefused) as refusal:
        find_pressures(Loads(standard="asce7-22"), ROOF, MODULE)
    assert len(refusal.value.faults) >= 6


@pytest.mark.parametrize(
    ("standard", "form", "slope"),
    [("asce7-16", "hip", 30.0), ("asce7-16", "flat", 12.0), ("en1991", "hip", 20.0), ("en1991", "flat", 12.0)],
)
def test_a_roof_form_without_coefficients_is_refused(standard, form, slope):
    loads = replace(EU if standard == "en1991" else US, standard=standard, roof_form=form)
    with pytest.raises(JobRefused) as refusal:
        find_pressures(loads, replace(ROOF, slope_deg=slope), MODULE)
    assert [fault.pointer for fault in refusal.value.faults] == ["/site/loads/roof_form"]


def test_eurocode_uplift_takes_the_severest_direction():
    # Source: EN 1991-1-4 Tables 7.4a and 7.4b, 15 deg: corner F0 -2.0, F90 -2.0 at 1 m2; EN 1990 6.10: 0.9 G + 1.5 W
    pressures = find_pressures(EU, replace(ROOF, slope_deg=15.0), MODULE)
    found = zone_pressures(pressures, "F0-I180-F90", 1.0)
    assert float(found.c_uplift[0]) == pytest.approx(-2.0)
    assert float(found.wind_uplift_pa[0]) == pytest.approx(-2.0 * pressures.wind.velocity_pa)
    assert pressures.combinations[found.governing_uplift[0]].name == "EQU 0.9G + 1.5W up"


def test_eurocode_takes_national_parameters():
    plain = find_pressures(EU, ROOF, MODULE)
    chosen = replace(EU, factors=(("rho", 1.226), ("gamma_Q", 1.6)), altitude_mm=1.2e6)
    other = find_pressures(chosen, ROOF, MODULE)
    assert other.wind.velocity_pa / plain.wind.velocity_pa == pytest.approx(1.226 / 1.25)
    assert {c.W for c in other.combinations} >= {1.6}
    assert any(pytest.approx(1.6 * 0.7) == c.S for c in other.combinations)


def test_given_pressures_are_used_as_given():
    loads = Loads(given=(GivenPressure("all", 1500.0, 2400.0, 300.0),))
    pressures = find_pressures(loads, ROOF, MODULE)
    found = zone_pressures(pressures, "all", [0.5, 50.0])
    assert found.uplift_pa.tolist() == [-1500.0, -1500.0]
    assert found.downward_pa.tolist() == [2400.0, 2400.0]
    assert found.along_pa.tolist() == [300.0, 300.0]
    assert "loads_given" in _codes(pressures)


def test_pressures_given_for_several_zones_count_everywhere_at_their_severest():
    loads = Loads(given=(GivenPressure("1", 900.0, 2000.0), GivenPressure("3", 2100.0, 1800.0)))
    pressures = find_pressures(loads, ROOF, MODULE)
    found = zone_pressures(pressures, "all", 1.0)
    assert (float(found.uplift_pa[0]), float(found.downward_pa[0])) == (-2100.0, 2000.0)
    assert "given_zones_enveloped" in _codes(pressures)


def test_spans_given_without_loads_leave_nothing_computed():
    pressures = find_pressures(Loads(), ROOF, MODULE)
    assert not pressures.computed
    assert zone_steps(pressures, "all", 1.0) == ()


def test_given_pressures_of_the_wrong_sign_are_refused():
    with pytest.raises(JobRefused) as refusal:
        find_pressures(Loads(given=(GivenPressure("all", -1500.0, 2400.0),)), ROOF, MODULE)
    assert refusal.value.faults[0].pointer == "/site/loads/given/0/uplift"


@pytest.mark.parametrize("loads", [US, replace(US, standard="asce7-22", method="lrfd"), EU])
def test_every_line_of_the_calculation_names_its_clause(loads):
    pressures = find_pressures(loads, ROOF, MODULE)
    lines = [*pressures.steps, *zone_steps(pressures, pressures.zones[0].name, 1.5)]
    assert all(line.symbol and line.clause and line.mark for line in lines)
    last = {line.symbol: line for line in lines}
    found = zone_pressures(pressures, pressures.zones[0].name, 1.5)
    unit = PSF_PA if pressures.own_unit == "psf" else 1.0
    assert last["uplift"].value == pytest.approx(float(found.uplift_pa[0]) / unit)


def test_given_zones_lie_where_the_figure_with_those_names_lays_them():
    # Source: ASCE 7-22 Figure 30.3-2B: a gable roof with zones 1, 2 and 3
    zones = (GivenPressure("1", 900.0, 2000.0), GivenPressure("2", 1500.0, 2000.0), GivenPressure("3", 2100.0, 2000.0))
    pressures = find_pressures(replace(US, standard="given", given=zones), ROOF, MODULE)
    assert pressures.zone_map.zones == ("1", "2", "3")
    assert float(zone_pressures(pressures, "2", 1.0).uplift_pa[0]) == -1500.0
    assert "given_zones_placed" in _codes(pressures)


def test_a_zone_left_out_takes_what_is_given_for_all():
    zones = (GivenPressure("all", 900.0, 2000.0), GivenPressure("3r", 2100.0, 2000.0))
    pressures = find_pressures(replace(US, standard="given", given=zones), ROOF, MODULE)
    assert float(zone_pressures(pressures, "2e", 1.0).uplift_pa[0]) == -900.0
    assert float(zone_pressures(pressures, "3r", 1.0).uplift_pa[0]) == -2100.0


@pytest.mark.parametrize("loads", [US, EU, replace(US, standard="given", given=(GivenPressure("all", 1500.0, 900.0),))])
def test_the_sheet_shows_what_the_zones_carry(loads):
    pressures = find_pressures(loads, ROOF, MODULE)
    sheet = load_sheet(pressures, 1.4)
    assert [zone.zone for zone in sheet.zones] == [zone.name for zone in pressures.zones]
    unit = PSF_PA if sheet.own_unit == "psf" else 1.0
    for zone in sheet.zones:
        found = zone_pressures(pressures, zone.zone, 1.4)
        assert zone.uplift.pa == float(found.uplift_pa[0])
        assert zone.uplift.own == pytest.approx(zone.uplift.pa / unit)
        assert zone.governing_uplift
        assert zone.polygons
    assert load_sheet(pressures, {}).zones == ()


def test_a_module_rated_for_less_than_its_zone_is_told():
    # Source: IEC 61215-2 MQT 16: 2400 Pa test load, 1600 Pa design load
    weak = replace(MODULE, rated_uplift_pa=1600.0, rated_downward_pa=1600.0)
    corner = replace(ROOF, arrays=(an_array(x_mm=300.0, y_mm=ROOF.slope_length_mm - 5000.0),))
    found = [f for f in find_pressures(US, corner, weak).findings if f.code == "module_rating"]
    assert {f.where for f in found} >= {"South roof, zone 3r"}
    strong = replace(MODULE, rated_uplift_pa=3600.0, rated_downward_pa=3600.0)
    assert "module_rating" not in _codes(find_pressures(US, corner, strong))


def test_the_rating_is_compared_with_allowable_loads_whatever_the_method():
    weak = replace(MODULE, rated_uplift_pa=1200.0)
    asd, lrfd = (
        [f.found for f in find_pressures(replace(US, method=m), ROOF, weak).findings if f.code == "module_rating"]
        for m in ("asd", "lrfd")
    )
    assert asd == lrfd


def test_modules_beyond_a_hip_are_told():
    hip = replace(ROOF, arrays=(an_array(x_mm=100.0, y_mm=4000.0),))
    found = find_pressures(replace(US, standard="asce7-22", roof_form="hip"), hip, MODULE)
    assert [f.found for f in found.findings if f.code == "module_off_zones"] == [6]
    assert "module_off_zones" not in _codes(find_pressures(US, ROOF, MODULE))


def test_words_for_the_exposure_of_a_roof_to_wind():
    found = [
        find_pressures(replace(US, snow_exposure=word), ROOF, MODULE).snow.flat_plan_pa
        for word in ("fully", "fully_exposed", "fully exposed")
    ]
    assert len(set(found)) == 1
