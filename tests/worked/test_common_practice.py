"""What the trade takes for granted, as check values. Common practice, no source, throughout."""

from dataclasses import replace

import pytest

from estimator.contract.fault_codes import code_of
from estimator.mounting import clearances, misfits
from estimator.pricebook.checks import faults_of
from tests.builders import a_book, a_bracket, a_choice, a_job, a_part, a_roof, a_rule, some_limits, some_ribs
from tests.facts import facts
from tests.worked.worksheet import work

INCH = 25.4
LBF_N = 4.4482216152605  # NIST SP 811, appendix B.8


def test_a_rib_bracket_takes_four_screws():
    sheet = work(a_job(), a_choice())
    assert sheet.net["SC-AL"] == 4 * sheet.counts.counts.attachments


def test_a_bracket_holds_over_ten_times_one_screw_through_the_crown():
    uplift = next(test for test in a_bracket().tests if test.direction == "uplift")
    assert 1100 * LBF_N < uplift.ultimate_n < 1150 * LBF_N
    assert uplift.ultimate_n > 10 * 100 * LBF_N
    assert uplift.sheet_thickness_mm == pytest.approx(0.0179 * INCH, abs=0.002)  # 26 gauge, Manufacturers' Standard


def test_the_adjustable_bracket_takes_crowns_up_to_three_inches():
    assert misfits(a_bracket(), a_roof(ribs=some_ribs(crown_width_mm=3 * INCH))) == ()
    assert len(misfits(a_bracket(), a_roof(ribs=some_ribs(crown_width_mm=3.01 * INCH)))) == 1


@pytest.mark.parametrize(("arrangement", "inches"), [("rail_on_side", 5.0), ("rail_on_top", 5.75), ("direct", 4.0)])
def test_heights_under_the_module_over_the_usual_rib(arrangement, inches):
    limits = some_limits(1300.0, 350.0)
    (under,) = work(a_job(), a_choice(arrangement=arrangement), limits=limits).under_module_mm
    assert under == pytest.approx(inches * INCH)


def test_every_arrangement_gives_the_air_gap_that_is_enough():
    limits = some_limits(1300.0, 350.0)
    for arrangement in ("rail_on_side", "rail_on_top", "direct"):
        assert work(a_job(), a_choice(arrangement=arrangement), limits=limits).under_module_mm[0] > 100.0


def test_a_gap_of_100_to_110_mm_under_a_module_is_enough_and_more_brings_little():
    """A rule of thumb of the trade, as a check value: 4.0 in without rail lies in it, 5.0 in under a side rail not."""
    low, high = 100.0, 110.0
    book, limits = a_book(), some_limits(1300.0, 350.0)
    assert book.defaults.air_gap_window_mm == (low, high)
    under = {
        arrangement: work(a_job(), a_choice(arrangement=arrangement), limits=limits).under_module_mm[0]
        for arrangement in ("direct", "rail_on_side")
    }
    assert low <= under["direct"] <= high < under["rail_on_side"]
    codes = [[each.code for each in clearances(a_job(), a_choice(arrangement=name), book)[1]] for name in under]
    assert codes == [[], ["air_gap_larger_than_needed"]]


def test_an_aluminium_bracket_is_34_percent_lighter_than_a_like_stainless_one():
    parts = a_book().parts
    assert parts["B-AL"].unit_mass_kg / parts["B-ST"].unit_mass_kg == pytest.approx(1 - 0.34)


def test_direct_mounting_takes_one_extra_nut_an_attachment():
    rail, direct = work(a_job(), a_choice()), work(a_job(), a_choice(arrangement="direct"))
    assert rail.net["N-1"] == rail.counts.counts.attachments
    assert direct.net["N-1"] - direct.counts.counts.attachments == direct.counts.counts.attachments


def test_a_second_foot_on_a_bracket_that_has_one_is_refused():
    book = a_book()
    foot = a_part("F-1", "foot", None, 0.2, "1.50")
    rules = (*book.rules, replace(a_rule("foot", "part:F-1", "1", "attachments"), row=99))
    faults = faults_of(replace(book, parts={**book.parts, "F-1": foot}, rules=rules))
    assert {(fault.pointer, code_of(fault), facts(fault.message)[0]) for fault in faults} == {
        ("assembly_rules.csv, row 99, column count", "contradiction", "'F-1'")
    }


def test_the_book_of_these_values_is_without_fault_and_counts_no_sealant():
    assert not any(part.role == "sealant" for part in a_book().parts.values())
    assert faults_of(a_book()) == ()
