import pytest

from estimator.job import KeepClear, Obstruction
from estimator.layout import lay_out
from estimator.places import Place
from tests.builders import a_job, a_roof, an_array
from tests.facts import facts


def findings(array=None, **roof):
    return lay_out(a_job(a_roof(arrays=(array or an_array(),), **roof))).findings


def test_an_array_well_inside_the_plane_has_no_finding():
    assert findings() == ()


@pytest.mark.parametrize(
    ("place", "edge", "distance", "cell"),
    [
        ({"x_mm": -120.0}, "left", 120.0, (1, 1)),
        ({"y_mm": -30.0}, "eave", 30.0, (1, 1)),
        ({"x_mm": 9000.0}, "right", 9000 + 3040 - 12_000, (1, 3)),
        ({"y_mm": 2700.0}, "ridge", 2700 + 3420 - 6000, (2, 1)),
    ],
)
def test_a_module_off_the_plane_is_named_with_its_distance(place, edge, distance, cell):
    (finding,) = findings(an_array(**place))
    assert (finding.code, finding.severity, finding.found) == ("module_off_plane", "error", distance)
    assert finding.place == Place(roof="South", array="A", row=cell[0], column=cell[1], side=edge)


def test_one_finding_an_edge_names_the_worst_cell_and_how_many():
    (finding,) = findings(an_array(x_mm=9000.0, rows=3, y_mm=100.0, omit=frozenset({(0, 2)})))
    assert finding.found == 40.0 and 2 in facts(finding.message)
    assert finding.place == Place(roof="South", array="A", row=2, column=3, side="right")


def test_a_module_in_a_strip_to_be_kept_clear_is_an_error():
    (finding,) = findings(keep_clear=KeepClear(eave_mm=610.0, left_mm=900.0))
    assert (finding.code, finding.found) == ("module_in_keep_clear", 110.0)
    assert {110.0} <= {*facts(finding.message)}


def test_a_module_may_touch_an_edge_or_a_strip():
    assert findings(an_array(x_mm=0.0, y_mm=0.0)) == ()
    assert findings(keep_clear=KeepClear(eave_mm=500.0, left_mm=1000.0)) == ()


def test_a_module_on_an_obstruction_is_named_with_the_shortest_way_off():
    # the skylight reaches 60 mm into column 2 (x 2020 to 3020) from the right, far up and down
    skylight = Obstruction("skylight", 2960.0, 0.0, 70.0, 5000.0)
    (finding,) = findings(obstructions=(skylight,))
    assert (finding.code, finding.found) == ("module_on_obstruction", 60.0)
    assert finding.place == Place(roof="South", array="A", row=1, column=2, obstruction="skylight")


def test_cells_left_out_for_an_obstruction_clear_it():
    skylight = Obstruction("skylight", 2100.0, 600.0, 800.0, 800.0)
    assert findings(an_array(omit=frozenset({(0, 1)})), obstructions=(skylight,)) == ()


def test_obstructions_of_the_same_name_are_told_apart():
    pipes = tuple(Obstruction("pipe", 1100.0 + 1020.0 * i, 600.0, 100.0, 100.0) for i in range(2))
    assert {finding.place.obstruction for finding in findings(obstructions=pipes)} == {"pipe 1", "pipe 2"}


def test_distances_are_told_in_the_units_the_job_is_read_in():
    job = a_job(a_roof(arrays=(an_array(x_mm=-254.0),)), display_units="us")
    (finding,) = lay_out(job).findings
    assert any("10 in" in str(fact) for fact in facts(finding.message))
    assert (finding.found, finding.unit) == (254.0, "mm")
