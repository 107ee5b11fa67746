import pytest

from estimator.errors import JobRefused
from estimator.loads import (
    find_pressures,
    zone_pressures,
    zone_steps,
)
from estimator.site_loads import GivenLoads, GivenPressure
from tests.builders import some_loads
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
