"""What an attachment may carry: which test applies to a sheet, factors, screws, forces acting together."""

from dataclasses import replace

import numpy as np
import pytest

from estimator.attachment.capacity.attachment import find_capacity
from estimator.attachment.capacity.series import evaluate_series
from estimator.attachment.geometry.expansion.thermal import expansion_finding, longest_part_mm
from estimator.errors import PricebookRefused
from estimator.places import Place
from estimator.pricebook import ScrewJoint, Splice, StrengthTest
from tests.builders import a_bracket, a_rail, a_sheet
from tests.facts import facts, refusing


def a_test(material="steel", thickness=0.5, strength=400.0, direction="uplift", ultimate=3000.0, **changes):
    test = StrengthTest("B", material, thickness, strength, direction, ultimate, safety_factor=3.0, source="report 1")
    return replace(test, **changes)


def three_ways(**changes):
    return tuple(a_test(direction=way, **changes) for way in ("uplift", "downward", "along_slope"))


def capacity(tests, sheet=None, method="asd", **changes):
    bracket = a_bracket(tests=tuple(tests), **changes)
    return find_capacity(
        bracket, sheet or a_sheet(thickness_mm=0.5, ultimate_strength_mpa=400.0), method, Place(roof="South")
    )


def test_the_tested_ultimate_counts_over_the_safety_factor_of_the_book():
    found = capacity(three_ways())
    assert found.findings == ()
    assert found.strength("uplift").strength_n == pytest.approx(1000.0)
    assert "3000.0 N tested in 0.50 mm steel sheet of 400 N/mm2 / 3" in found.strength("uplift").derivation


def test_a_thicker_or_stronger_sheet_is_given_no_more_than_was_tested():
    found = capacity(three_ways(), a_sheet(thickness_mm=0.9, ultimate_strength_mpa=550.0))
    assert found.strength("uplift").strength_n == pytest.approx(1000.0)


@pytest.mark.parametrize(
    "sheet",
    [
        a_sheet(thickness_mm=0.45, ultimate_strength_mpa=400.0),
        a_sheet(thickness_mm=0.5, ultimate_strength_mpa=350.0),
        a_sheet(material="aluminium", thickness_mm=0.9, ultimate_strength_mpa=400.0),
        a_sheet(material="foam_core_steel", thickness_mm=0.5, ultimate_strength_mpa=400.0),
    ],
    ids=["thinner", "weaker", "another metal", "foam core"],
)
def test_a_sheet_without_test_values_is_an_error_that_names_the_sheets_with_values(sheet):
    found = capacity([*three_ways(), *three_ways(material="aluminium", thickness=1.0, strength=200.0)], sheet)
    errors = [f for f in found.findings if f.code == "no_strength_uplift"]
    assert [f.severity for f in errors] == ["error"]
    assert {0.5, 400.0, 1.0, 200.0} <= {*facts(errors[0].message)}  # both sheets with values
    assert found.strength("uplift") is None
    assert found.utilisation(-1.0, 0.0) == np.inf


def test_a_foam_core_panel_takes_the_value_tested_on_a_foam_core_panel():
    tests = [*three_ways(), *three_ways(material="foam_core_steel", ultimate=1200.0)]
    found = capacity(tests, a_sheet(material="foam_core_steel", thickness_mm=0.5, ultimate_strength_mpa=400.0))
    assert found.strength("uplift").strength_n == pytest.approx(400.0)


def test_among_tests_that_serve_the_nearest_sheet_counts_and_of_several_the_least():
    tests = [
        a_test(ultimate=3000.0),
        a_test(thickness=0.6, ultimate=3900.0),
        a_test(thickness=0.6, ultimate=3600.0),
        a_test(thickness=0.8, ultimate=6000.0),
    ]
    found = capacity(tests, a_sheet(thickness_mm=0.7, ultimate_strength_mpa=400.0))
    assert found.strength("uplift").strength_n == pytest.approx(1200.0)


def test_an_unknown_sheet_strength_takes_the_weakest_test_and_a_warning():
    tests = [a_test(), a_test(strength=350.0, ultimate=2400.0)]
    found = capacity(tests, a_sheet(thickness_mm=0.5, ultimate_strength_mpa=None))
    assert found.strength("uplift").strength_n == pytest.approx(800.0)
    assert "sheet_strength_assumed" in [f.code for f in found.findings if f.severity == "warning"]


def test_single_results_give_their_own_factor_where_the_book_gives_none():
    results = (412.0, 455.0, 437.0, 398.0, 470.0)
    test = a_test(ultimate=434.4, results_n=results, safety_factor=None)
    assert capacity([test]).strength("uplift").strength_n == pytest.approx(173.73, abs=5e-3)
    assert capacity([test], method="lrfd").strength("uplift").strength_n == pytest.approx(277.97, abs=5e-3)


def test_results_far_from_their_mean_ask_for_three_more_tests():
    test = a_test(results_n=(400.0, 400.0, 600.0), safety_factor=None)
    assert "test_series_scattered" in [f.code for f in capacity([test]).findings]


def test_a_safety_factor_stands_for_a_resistance_factor_of_one_point_six_over_it():
    assert capacity([a_test()], method="lrfd").strength("uplift").strength_n == pytest.approx(3000.0 * 1.6 / 3.0)
    given = a_test(resistance_factor=0.5)
    assert capacity([given], method="lrfd").strength("uplift").strength_n == pytest.approx(1500.0)


def test_a_test_without_factor_or_results_is_an_error():
    found = capacity([a_test(safety_factor=None, results_n=(3000.0, 3000.0))])
    assert "no_strength_uplift" in {f.code for f in found.findings if f.severity == "error"}


def test_fewer_than_three_results_stand_for_nothing():
    with refusing(PricebookRefused, holds=(3, 2)):
        evaluate_series([400.0, 410.0])


def test_uplift_and_shear_together_follow_the_straight_line_unless_the_book_bends_it():
    straight = capacity(three_ways())
    assert straight.utilisation(-600.0, 300.0) == pytest.approx(0.9)
    round_ = capacity(three_ways(), interaction_exponent=2.0)
    assert round_.utilisation(-600.0, 800.0) == pytest.approx(1.0)
    assert round_.utilisation([-1200.0, -600.0], [1600.0, 0.0]) == pytest.approx([2.0, 0.6])


def test_downward_load_is_held_against_its_own_strength():
    tests = [*three_ways()[::2], a_test(direction="downward", ultimate=6000.0)]
    assert capacity(tests).utilisation([500.0, -500.0], 0.0) == pytest.approx([0.25, 0.5])


def test_forces_along_the_slope_never_tested_are_said_not_to_be_checked():
    found = capacity(three_ways()[:2])
    assert [(f.code, f.severity) for f in found.findings] == [("no_strength_along_slope", "warning")]
    assert found.utilisation(-500.0, 9999.0) == pytest.approx(0.5)


def screws(**changes):
    joint = ScrewJoint("B", 4, 6.35, 10.4, 1.524, 379.2)
    return replace(joint, **changes)


def test_screws_are_computed_where_the_book_gives_screws_instead_of_tests():
    """Worked example, AISI S100 E4: four 1/4 in screws in 26-gauge of 65 ksi, pull-out 329.7 lb in all."""
    sheet = a_sheet(thickness_mm=0.0179 * 25.4, ultimate_strength_mpa=448.159)
    found = capacity([], sheet, screws=screws())
    assert found.strength("uplift").strength_n / 4.4482216 == pytest.approx(329.7, abs=0.1)
    assert found.strength("along_slope").strength_n / 4.4482216 == pytest.approx(4 * 109.0, abs=0.2)
    assert [f.code for f in found.findings] == ["bearing_not_checked"]
    assert capacity([], sheet, "lrfd", screws=screws()).strength("uplift").strength_n == pytest.approx(
        1.5 * found.strength("uplift").strength_n
    )


def test_a_weak_screw_governs_over_a_strong_sheet():
    found = capacity([], a_sheet(thickness_mm=3.0, ultimate_strength_mpa=400.0), screws=screws(screw_tension_n=900.0))
    assert found.strength("uplift").strength_n == pytest.approx(4 * 900.0 / 3)


def test_screws_in_a_foam_core_or_aluminium_sheet_are_not_computed():
    for material in ("foam_core_steel", "aluminium"):
        found = capacity([], a_sheet(material=material, thickness_mm=0.9), screws=screws())
        assert found.strength("uplift") is None
        assert "no_strength_uplift" in [f.code for f in found.findings]


def test_european_screws_outside_the_tabled_range_are_an_error():
    joint = screws(rule="en1993-1-3")
    thin = capacity([], a_sheet(thickness_mm=0.5, ultimate_strength_mpa=400.0), "en", screws=joint)
    assert 0.9 in [fact for f in thin.findings if f.severity == "error" for fact in facts(f.message)]
    thick = capacity([], a_sheet(thickness_mm=1.0, ultimate_strength_mpa=400.0), "en", screws=joint)
    assert thick.strength("uplift").strength_n == pytest.approx(4 * 0.45 * 6.35 * 1.0 * 400 / 1.25)


def test_a_rail_too_long_for_the_gap_says_how_long_a_part_may_be():
    rail, splice = a_rail(expansion_per_k=23.6e-6), Splice("XP", "R", "expansion_splice", gap_mm=10.0)
    assert expansion_finding(rail, splice, 6000.0, (-30.0, 50.0), "South roof, run 1") is None
    finding = expansion_finding(rail, splice, 12_000.0, (-30.0, 50.0), "South roof, run 1")
    assert finding.severity == "error"
    assert finding.found == pytest.approx(14.16)
    assert longest_part_mm(rail, 10.0, (-30.0, 50.0)) in facts(finding.message)
