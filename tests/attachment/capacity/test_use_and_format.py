"""Tests serve where made or where they are the safer ones; heights cost strength; one safety format a standard."""

from dataclasses import replace

import pytest

from estimator.attachment.capacity.attachment import find_capacity
from estimator.attachment.capacity.rail import bending_limit
from estimator.attachment.capacity.use import Use
from estimator.attachment.under_load.checks.clamps import clamp_format_findings, clamp_strength_n, rated_clamp
from estimator.pricebook import Clamp, ScrewJoint, StrengthTest
from tests.attachment.under_load.test_loaded import a_loaded_choice, a_loaded_job, set_out
from tests.builders import a_bracket, a_choice, a_rail, a_sheet
from tests.facts import facts

SIDE = Use("rail_on_side", "across_ribs", 48.0)


def a_test(direction="uplift", ultimate=3000.0, **changes):
    """In the fixture's sheet with a safety factor of 3, rail on the side across the ribs, the load 48 mm up."""
    made = StrengthTest(
        "B-AL", "steel", 0.4555, 448.0, direction, ultimate, safety_factor=3.0, characteristic_n=0.8 * ultimate,
        arrangement="rail_on_side", rail_direction="across_ribs", load_height_mm=48.0,
    )  # fmt: skip
    return replace(made, **changes)


def all_ways(**changes):
    return tuple(a_test(way, **changes) for way in ("uplift", "downward", "along_slope"))


def found(tests, use=SIDE, method="asd"):
    return find_capacity(a_bracket(tests=tests), a_sheet(), method, use=use)


def codes(capacity):
    return [each.code for each in capacity.findings]


def test_a_test_in_the_axis_does_not_serve_a_load_beside_the_bracket():
    capacity = found(all_ways(arrangement="rail_on_top"))
    assert capacity.strengths == ()
    assert set(codes(capacity)) == {"no_strength_uplift", "no_strength_downward", "no_strength_along_slope"}
    assert all(each.severity == "error" for each in capacity.findings)
    assert any("rail on top, across the ribs" in str(fact) for fact in facts(capacity.findings[0].message))


@pytest.mark.parametrize("use", [Use("rail_on_top", "across_ribs", 48.0), Use("direct", None, 48.0)])
def test_a_test_beside_the_bracket_serves_loads_in_its_axis(use):
    assert codes(found(all_ways(), use)) == []


def test_tests_across_the_ribs_serve_forces_along_the_slope_of_rails_along_them_but_no_uplift_beside_the_bracket():
    along = found(all_ways(), Use("rail_on_side", "along_ribs", 48.0))
    assert [each.direction for each in along.strengths] == ["along_slope"]
    other = found(all_ways(rail_direction="along_ribs"))
    assert [each.direction for each in other.strengths] == []


def test_the_test_of_just_this_use_counts_before_a_safer_one():
    tests = (*all_ways(), a_test("uplift", 4500.0, arrangement="direct", rail_direction=None))
    assert found(tests, Use("direct", None, 48.0)).strength("uplift").strength_n == 1500.0
    assert found(tests).strength("uplift").strength_n == 1000.0


def test_a_taller_stack_costs_strength_by_its_lever():
    """3000 N / 3 tested 48 mm up carry a moment of 48 N m; 96 mm up that is 500 N. Statics, worked by hand."""
    low, high = found(all_ways()), found(all_ways(), Use("rail_on_top", "across_ribs", 96.0))
    assert low.strength("along_slope").moment_n_mm == 48_000.0
    assert [float(each.utilisation(0.0, 400.0)) for each in (low, high)] == pytest.approx([0.4, 0.8])
    lower = found(all_ways(), Use("rail_on_top", "across_ribs", 20.0))
    assert float(lower.utilisation(0.0, 400.0)) == pytest.approx(0.4)


def test_uplift_and_tilting_act_together():
    high = found(all_ways(), Use("direct", None, 96.0))
    assert float(high.utilisation(-250.0, 250.0)) == pytest.approx(250 / 1000 + 250 * 96 / 48_000)


def test_a_record_that_does_not_say_how_it_was_tested_serves_with_a_warning_of_what_is_assumed():
    old = all_ways(arrangement=None, rail_direction=None, load_height_mm=None)
    capacity = found(old, Use("rail_on_top", "along_ribs", 96.0))
    assert [each.strength_n for each in capacity.strengths] == [1000.0] * 3
    (said,) = capacity.findings
    assert (said.code, said.severity) == ("test_use_not_checked", "warning")
    assert {"arrangement", "direction of the rail", "height of the load"} <= {*facts(said.message)}
    assert {"rail on top", "along the ribs", 96.0} <= {*facts(said.message)}


def test_a_setting_out_knows_how_its_bracket_is_used():
    """A rail of 1.75 in on a seat 2.75 in above the rib: the load acts 114.3 mm up, 2.381 times as high as tested."""
    tests = tuple(replace(each, arrangement=None, rail_direction=None) for each in all_ways(ultimate=6000.0))
    job = a_loaded_job(uplift=100.0, downward=100.0, along=200.0)
    used = {}
    for name in ("rail_on_side", "rail_on_top"):
        loaded = set_out(job, a_loaded_choice(bracket={"tests": tests}, arrangement=name))
        capacity = loaded.strengths[0].capacity
        along = loaded.checks[0].attachments[1].along_n
        used[name] = float(capacity.utilisation(0.0, along)) / along
    assert used["rail_on_side"] == pytest.approx(max(1, 95.25 / 48) / 2000)
    assert used["rail_on_top"] == pytest.approx(114.3 / 48 / 2000)


# One format for each standard


def test_a_characteristic_value_is_divided_by_the_partial_factor_of_the_sheets_code():
    strength = found(all_ways(), method="en").strength("uplift")
    assert (strength.nominal_n, strength.factor, strength.strength_n) == (2400.0, 1.25, 1920.0)
    assert "gamma_M2 of EN 1993-1-3" in strength.derivation


def test_single_results_give_a_characteristic_value_by_annex_d():
    """Five results: mean 4280, V 0.03563, k_n 2.3353 (scipy: t 2.13185 x sqrt(1.2)); 3923.88 / 1.25."""
    results = (4057.0, 4413.0, 4310.0, 4203.0, 4417.0)
    tests = all_ways(ultimate=4280.0, results_n=results, characteristic_n=None)
    strength = found(tests, method="en").strength("uplift")
    assert strength.strength_n == pytest.approx(3923.8807531207894 / 1.25, rel=1e-9)
    assert "mean of 5 tests x (1 - 2.335 x 0.0356) by EN 1990 D7.2" in strength.derivation


@pytest.mark.parametrize("method", ["asd", "lrfd"])
def test_allowable_and_resistance_factors_are_as_they_were(method):
    strength = found(all_ways(), method=method).strength("uplift")
    assert strength.strength_n == pytest.approx(1000.0 if method == "asd" else 3000 * 1.6 / 3)


def test_a_record_with_neither_is_an_error_that_names_what_is_used_instead():
    capacity = found(all_ways(characteristic_n=None), method="en")
    (said,) = capacity.findings
    assert (said.code, said.severity) == ("no_characteristic_strength", "error")
    assert {"uplift", "downward load", "load along the slope", 3} <= {*facts(said.message)}
    assert capacity.strength("uplift").strength_n == pytest.approx(3000 * 1.6 / 3)
    assert codes(found(all_ways(characteristic_n=None), method="asd")) == []


def test_clamps_are_in_the_same_format():
    plain = Clamp("C", "mid_clamp", "aluminium", (30.0, 46.0), frozenset(), allowable_n=1000.0)
    tested = replace(plain, characteristic_n=2000.0)
    assert [clamp_strength_n(plain, method) for method in ("asd", "lrfd")] == [1000.0, 1600.0]
    assert clamp_strength_n(tested, "en") == 1600.0
    assert "EN 1999-1-1" in rated_clamp(tested, "en").how
    choice = a_choice(mid_clamp=plain, end_clamp=tested)
    (said,) = clamp_format_findings(choice, ["en"])
    assert (said.code, said.severity, said.place.part) == ("no_characteristic_strength", "error", "C")
    assert clamp_format_findings(choice, ["asd"]) == []


def test_aluminium_rails_take_the_partial_factors_of_en_1999():
    """f_o / 1.10 = 154.5 and f_u / 1.25 = 164 N/mm2, beside the book's 155; worked by hand."""
    assert bending_limit(a_rail(), "en").stress_mpa == pytest.approx(170 / 1.10)
    assert bending_limit(a_rail(), "lrfd").stress_mpa == pytest.approx(0.90 * 170)


def test_the_moment_is_said_to_be_not_checked_where_screws_give_the_force_along_the_slope():
    joint = ScrewJoint("B-AL", 4, 5.5, 14.0, 3.0, 205.0)
    bracket = a_bracket(tests=(), screws=joint)
    capacity = find_capacity(bracket, a_sheet(), "asd", use=SIDE)
    (said,) = [each for each in capacity.findings if each.code == "bracket_moment_not_checked"]
    assert (said.severity, said.found) == ("warning", 48.0)
    assert not [each for each in find_capacity(bracket, a_sheet(), "asd").findings if "moment" in each.code]
