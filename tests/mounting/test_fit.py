import pytest

from estimator.mounting import misfits
from tests.builders import a_bracket, a_roof, a_sheet, some_ribs


def test_the_usual_rib_is_taken():
    assert misfits(a_bracket(), a_roof()) == ()


@pytest.mark.parametrize(
    ("ribs", "aspect"),
    [
        ({"crown_width_mm": 80.0}, "crown_width"),
        ({"crown_width_mm": 15.0}, "crown_width"),
        ({"height_mm": 75.0}, "rib_height"),
        ({"web_angle_deg": 90.0}, "web_angle"),
    ],
)
def test_a_rib_out_of_reach_is_named_by_what_of_it_does_not_fit(ribs, aspect):
    assert [each.aspect for each in misfits(a_bracket(), a_roof(ribs=some_ribs(**ribs)))] == [aspect]


def test_a_sheet_too_thin_or_of_another_material_is_named():
    sheet = a_sheet(material="foam_core_aluminium", thickness_mm=0.35)
    bracket = a_bracket(sheet_materials=frozenset({"steel"}))
    assert [each.aspect for each in misfits(bracket, a_roof(sheet=sheet))] == ["sheet_material", "sheet_thickness"]


def test_the_ends_of_a_range_are_in_it():
    assert misfits(a_bracket(), a_roof(ribs=some_ribs(crown_width_mm=76.2, height_mm=60.0))) == ()


def test_everything_that_does_not_fit_is_named_in_the_units_the_job_is_read_in():
    found = misfits(a_bracket(), a_roof(ribs=some_ribs(crown_width_mm=4 * 25.4, height_mm=3 * 25.4)), "us")
    assert tuple(each.words for each in found) == (
        "crown 4 in, bracket B-AL takes 0.79 in to 3 in",
        "rib height 3 in, bracket B-AL takes 0.75 in to 2.36 in",
    )
