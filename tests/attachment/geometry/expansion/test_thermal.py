"""Expansion of rails between expansion splices."""

from dataclasses import replace
from datetime import date

from estimator.attachment.geometry.expansion.thermal import expansion_findings
from estimator.estimate import estimate
from estimator.job import Choices, Mounting
from estimator.pricebook import Splice
from tests.attachment.under_load.test_loaded import a_loaded_choice, a_loaded_job, set_out
from tests.builders import a_book, a_job, a_rail, a_roof, an_array, some_loads

MOUNTING = Mounting(arrangement="rail_on_side", material="aluminium", max_span_mm=1200.0, max_cantilever_mm=350.0)

SPLICE = Splice("XP", "R", "expansion_splice", gap_mm=10.0)
LONG = a_rail(max_continuous_length_mm=12_000.0, expansion_per_k=23.6e-6)


def some_runs(columns):
    choice = a_loaded_choice()
    rail = replace(choice.rail, max_continuous_length_mm=LONG.max_continuous_length_mm)
    return set_out(a_loaded_job(columns=columns), replace(choice, rail=rail, expansion_splice=SPLICE)).setting_out.runs


def test_a_run_is_parted_as_evenly_as_its_gaps_allow_and_no_oftener_than_needed():
    """Modules of 1000 mm with gaps of 20 mm: eleven fit in 12 m (11 x 1020 - 20 + 2 x 50), 22 take two parts."""
    assert [run.modules for run in some_runs(11) if run.position == 0] == [11]
    assert [run.modules for run in some_runs(22) if run.position == 0] == [11, 11]
    assert [run.modules for run in some_runs(24) if run.position == 0] == [8, 8, 8]


def test_the_longest_part_of_an_array_is_held_against_the_gap():
    (finding,) = expansion_findings(LONG, SPLICE, some_runs(22), (-30.0, 50.0))
    assert finding.code == "expansion_gap"
    assert finding.severity == "error"
    assert finding.found > 10.0


def test_parts_short_enough_and_runs_in_one_part_raise_nothing():
    # parts of 8 modules, 8.2 m: 8190 x 23.6e-6 x 50 = 9.7 mm
    assert expansion_findings(LONG, SPLICE, some_runs(24), (-30.0, 50.0)) == []
    assert expansion_findings(LONG, SPLICE, some_runs(6), (-30.0, 500.0)) == []


def test_without_a_temperature_or_an_expansion_splice_nothing_is_said():
    assert expansion_findings(LONG, SPLICE, some_runs(22), None) == []
    assert expansion_findings(LONG, None, some_runs(22), (-30.0, 50.0)) == []


def test_an_estimate_over_a_range_of_temperature_holds_its_rails_against_the_gap():
    """26 m of aluminium in parts of 13 m, 50 K: 13 000 x 23.4e-6 x 50 = 15 mm on a gap of 20 mm, 80 K too much."""
    array = an_array(rows=1, columns=25)
    job = a_job(a_roof(eave_length_mm=30_000.0, arrays=(array,)), mounting=MOUNTING)
    book = a_book(rails={"R-AL": a_rail(max_continuous_length_mm=13_500.0)})
    codes = []
    for warmer in (50.0, 80.0, None):
        temperatures = None if warmer is None else (-30.0, warmer)
        warm = replace(job, site=replace(job.site, loads=some_loads(temperature_range_k=temperatures)))
        codes.append({check.code for check in estimate(warm, book, Choices(), date(2026, 6, 1)).checks})
    assert "expansion_gap" not in codes[0]
    assert "expansion_gap" in codes[1]
    assert "temperature_range_missing" not in codes[0] | codes[1]
    assert "temperature_range_missing" in codes[2]


def test_a_missing_range_of_temperature_is_no_matter_for_rails_in_one_part():
    book = a_book(rails={"R-AL": a_rail(max_continuous_length_mm=13_500.0)})
    made = estimate(a_job(mounting=MOUNTING), book, Choices(), date(2026, 6, 1))
    assert "temperature_range_missing" not in {check.code for check in made.checks}
