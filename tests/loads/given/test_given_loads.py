from dataclasses import replace

import pytest

from estimator.contract.fault_codes import code_of
from estimator.errors import NEVER_OVERRIDDEN, JobRefused
from estimator.loads import (
    find_pressures,
    zone_pressures,
    zone_steps,
)
from estimator.site_loads import GivenLoads, GivenPressure
from tests.builders import some_loads
from tests.facts import facts
from tests.loads.cases import MODULE, ROOF, US, codes


def test_given_pressures_are_used_as_given():
    loads = some_loads(pressures=(GivenPressure("all", 1500.0, 2400.0, 300.0),))
    pressures = find_pressures(loads, ROOF, MODULE)
    found = zone_pressures(pressures, "all", [0.5, 50.0])
    assert found.uplift_pa.tolist() == [-1500.0, -1500.0]
    assert found.downward_pa.tolist() == [2400.0, 2400.0]
    assert found.along_pa.tolist() == [300.0, 300.0]
    assert "loads_given" in codes(pressures)


def test_pressures_given_for_several_zones_count_everywhere_at_their_most_severe():
    loads = some_loads(pressures=(GivenPressure("1", 900.0, 2000.0), GivenPressure("3", 2100.0, 1800.0)))
    pressures = find_pressures(loads, ROOF, MODULE)
    found = zone_pressures(pressures, "all", 1.0)
    assert (float(found.uplift_pa[0]), float(found.downward_pa[0])) == (-2100.0, 2000.0)
    assert "given_zones_enveloped" in codes(pressures)


def test_spans_given_without_loads_leave_nothing_computed():
    pressures = find_pressures(some_loads(), ROOF, MODULE)
    assert not pressures.computed
    assert zone_steps(pressures, "all", 1.0) == ()


def test_given_pressures_of_the_wrong_sign_are_refused():
    with pytest.raises(JobRefused) as refusal:
        find_pressures(some_loads(pressures=(GivenPressure("all", -1500.0, 2400.0),)), ROOF, MODULE)
    assert refusal.value.faults[0].pointer == "/site/loads/given/0/uplift"


def test_given_zones_lie_where_the_figure_with_those_names_lays_them():
    # Source: ASCE 7-22 Figure 30.3-2B: a gable roof with zones 1, 2 and 3
    zones = (GivenPressure("1", 900.0, 2000.0), GivenPressure("2", 1500.0, 2000.0), GivenPressure("3", 2100.0, 2000.0))
    pressures = find_pressures(GivenLoads(building=US.building, pressures=zones), ROOF, MODULE)
    assert pressures.zone_map.zones == ("1", "2", "3")
    assert float(zone_pressures(pressures, "2", 1.0).uplift_pa[0]) == -1500.0
    assert "given_zones_placed" in codes(pressures)


def test_a_zone_left_out_takes_what_is_given_for_all():
    zones = (GivenPressure("all", 900.0, 2000.0), GivenPressure("3r", 2100.0, 2000.0))
    pressures = find_pressures(GivenLoads(building=US.building, pressures=zones), ROOF, MODULE)
    assert float(zone_pressures(pressures, "2e", 1.0).uplift_pa[0]) == -900.0
    assert float(zone_pressures(pressures, "3r", 1.0).uplift_pa[0]) == -2100.0


def test_a_component_that_is_missing_is_refused_where_the_roof_slopes():
    loads = some_loads(pressures=(GivenPressure("all", 1500.0, 2400.0, None),))
    with pytest.raises(JobRefused) as refusal:
        find_pressures(loads, ROOF, MODULE)
    (fault,) = refusal.value.faults
    assert (fault.pointer, code_of(fault)) == ("/site/loads/given/0/along_slope", "missing")
    assert facts(fault.message) == ["all", "South", 14.036] and "slopes of 0 deg" in fault.allowed
    flat = find_pressures(loads, replace(ROOF, slope_deg=0.0), MODULE)
    assert zone_pressures(flat, "all", 1.0).along_pa.tolist() == [0.0]
    assert {finding.code for finding in flat.findings} == {"loads_given"}


@pytest.mark.parametrize(("uplift", "downward", "aspect"), [(0.0, 900.0, "uplift"), (900.0, 0.0, "downward")])
def test_uplift_or_downward_load_of_nothing_is_an_error_that_somebody_may_answer_for(uplift, downward, aspect):
    pressures = find_pressures(some_loads(pressures=(GivenPressure("2", uplift, downward, 50.0),)), ROOF, MODULE)
    (error,) = [finding for finding in pressures.findings if finding.severity == "error"]
    assert (error.code, error.place.zone, error.place.aspect) == ("given_pressure_zero", "2", aspect)
    assert error.code not in NEVER_OVERRIDDEN


def test_nothing_along_a_slope_is_said():
    sloping = find_pressures(some_loads(pressures=(GivenPressure("all", 900.0, 900.0, 0.0),)), ROOF, MODULE)
    assert "given_along_slope_zero" in codes(sloping)
    flat = replace(ROOF, slope_deg=0.0)
    level = find_pressures(some_loads(pressures=(GivenPressure("all", 900.0, 900.0, 0.0),)), flat, MODULE)
    assert "given_along_slope_zero" not in codes(level)


@pytest.mark.parametrize(("method", "code"), [("asd", "module_rating"), ("lrfd", "module_rating_not_compared")])
def test_given_pressures_are_held_against_what_the_module_is_rated_for(method, code):
    """Ratings are test loads over 1.5, which is the level of allowable loads; common practice, no source."""
    loads = some_loads(pressures=(GivenPressure("all", 1500.0, 2400.0, 300.0),), method=method)
    weak, strong = replace(MODULE, rated_uplift_pa=1000.0), replace(MODULE, rated_uplift_pa=1600.0)
    found = {finding.code: finding for finding in find_pressures(loads, ROOF, weak).findings}
    assert code in found
    if method == "asd":
        assert (found[code].severity, found[code].found, found[code].allowed) == ("error", 1500.0, 1000.0)
        assert "module_rating" not in codes(find_pressures(loads, ROOF, strong))
    assert "module_rating" not in codes(find_pressures(loads, ROOF, MODULE))
