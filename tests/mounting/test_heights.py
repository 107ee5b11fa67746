"""Clearance under the module. Heights of the bracket and rail: common practice, no source."""

from dataclasses import replace

import pytest

from estimator.mounting import clearances
from estimator.pricebook import Defaults
from tests.builders import a_book, a_choice, a_job, a_roof, some_ribs
from tests.facts import facts


def cleared(arrangement, window=(100.0, 110.0), **roof):
    book = replace(a_book(), defaults=Defaults(air_gap_window_mm=window))
    return clearances(a_job(a_roof(**roof)), a_choice(arrangement=arrangement), book)


@pytest.mark.parametrize(("arrangement", "inches"), [("rail_on_side", 5.0), ("rail_on_top", 5.75), ("direct", 4.0)])
def test_the_height_under_the_module_is_the_sum_of_rib_bracket_and_standing_rail(arrangement, inches):
    (clearance,), _ = cleared(arrangement)
    assert clearance.under_module_mm == pytest.approx(inches * 25.4)
    terms = clearance.rib_height_mm + clearance.bracket_height_mm + clearance.rail_height_mm
    assert terms == pytest.approx(clearance.under_module_mm)


def test_more_air_than_needed_is_a_note():
    _, (finding,) = cleared("rail_on_side")
    assert (finding.code, finding.severity) == ("air_gap_larger_than_needed", "note")
    assert facts(finding.message)[1:4] == [127.0, 100.0, 110.0]


def test_too_little_air_is_a_warning():
    _, (finding,) = cleared("direct", window=(105.0, 120.0))
    assert (finding.code, finding.severity, finding.allowed) == ("air_gap_too_small", "warning", 105.0)


def test_a_height_inside_the_window_is_no_finding():
    assert cleared("direct")[1] == ()


def test_every_roof_has_its_own_clearance():
    job = a_job(a_roof(), a_roof(name="North", ribs=some_ribs(height_mm=40.0)))
    found, _ = clearances(job, a_choice(), a_book())
    assert [(each.roof, round(each.under_module_mm, 2)) for each in found] == [("South", 127.0), ("North", 135.25)]
