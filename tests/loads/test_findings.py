from dataclasses import replace

import pytest

from estimator.job import Module
from estimator.loads import (
    PanelSetting,
    find_pressures,
)
from estimator.loads.actions.coverage import coverage
from tests.builders import an_array, changed_loads
from tests.facts import facts
from tests.loads.cases import EU, MODULE, ROOF, US, codes


def test_limits_of_the_panel_clause_are_each_checked():
    # Source: ASCE 7-16 29.4.4: tilt 2 deg, 10 in, gaps 0.25 in at most 6.7 ft apart, 2 h2 from the edges
    crowded = replace(ROOF, arrays=(an_array(x_mm=100.0, y_mm=100.0, gap_x_mm=5.0),))
    found = find_pressures(US, crowded, MODULE, PanelSetting(height_mm=300, tilt_to_roof_deg=5))
    assert {"panel_tilt", "panel_height", "panel_gap", "panel_chord", "panel_edge_distance"} <= codes(found)
    calm = Module("short", 1700, 1000, 35, 20, 400)
    quiet = find_pressures(changed_loads(US, enclosure="enclosed"), ROOF, calm, PanelSetting(height_mm=120))
    assert not {code for code in codes(quiet) if code.startswith("panel_") or code == "building_enclosure"}


def test_coefficients_from_one_transcription_are_said_to_be():
    steeper = replace(ROOF, slope_deg=25.0)
    found = [f for f in find_pressures(US, steeper, MODULE).findings if f.code == "coefficient_unconfirmed"]
    assert [f.severity for f in found] == ["warning"]
    assert any("30.3-2C" in str(fact) for fact in facts(found[0].message))


def test_what_the_job_left_open_is_said():
    said = codes(find_pressures(US, ROOF, MODULE))
    assert {"topography_assumed", "risk_category_assumed", "snow_exposure_assumed", "thermal_factor_assumed"} <= said
    assert "ground_snow_missing" in codes(find_pressures(changed_loads(US, ground_snow_pa=None), ROOF, MODULE))


def test_a_module_rated_for_less_than_its_zone_is_told():
    # Source: IEC 61215-2 MQT 16: 2400 Pa test load, 1600 Pa design load
    weak = replace(MODULE, rated_uplift_pa=1600.0, rated_downward_pa=1600.0)
    corner = replace(ROOF, arrays=(an_array(x_mm=300.0, y_mm=ROOF.slope_length_mm - 5000.0),))
    found = [f for f in find_pressures(US, corner, weak).findings if f.code == "module_rating"]
    assert {(f.place.roof, f.place.zone) for f in found} >= {("South", "3r")}
    strong = replace(MODULE, rated_uplift_pa=3600.0, rated_downward_pa=3600.0)
    assert "module_rating" not in codes(find_pressures(US, corner, strong))


def test_the_rating_is_compared_with_allowable_loads_whatever_the_method():
    weak = replace(MODULE, rated_uplift_pa=1200.0)
    asd, lrfd = (
        [f.found for f in find_pressures(changed_loads(US, method=m), ROOF, weak).findings if f.code == "module_rating"]
        for m in ("asd", "lrfd")
    )
    assert asd == lrfd


def test_modules_beyond_a_hip_are_told():
    hip = replace(ROOF, arrays=(an_array(x_mm=100.0, y_mm=4000.0),))
    found = find_pressures(changed_loads(US, standard="asce7-22", roof_form="hip"), hip, MODULE)
    assert [f.found for f in found.findings if f.code == "module_off_zones"] == [6]
    assert "module_off_zones" not in codes(find_pressures(US, ROOF, MODULE))


@pytest.mark.parametrize("loads", [US, EU])
def test_snow_that_is_not_counted_is_listed_by_every_standard(loads):
    """Drifts, sliding snow: what no combination here has. Source: ASCE 7-16 7.7 to 7.9, EN 1991-1-3 5.3.6 and 6."""
    assert "snow_drift_not_covered" in codes(find_pressures(loads, ROOF, MODULE))
    bare = changed_loads(loads, ground_snow_pa=0.0)
    assert "snow_drift_not_covered" not in codes(find_pressures(bare, ROOF, MODULE))


@pytest.mark.parametrize("standard", ["asce7-16", "asce7-22", "en1991", "given"])
def test_what_nobody_checks_is_in_the_list(standard):
    rows = {str(each.what): each.checked for each in coverage(standard)}
    for what in (
        "earthquake (seismic) loads",
        "the roof sheet",
        "the sheet's own fasteners",
        "forces across the slope",
    ):
        assert rows[what] is False
    if standard != "given":
        assert rows["snow sliding from a higher roof"] is False and rows["snow lying evenly"] is True
