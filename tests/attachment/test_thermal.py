"""Expansion of rails between expansion splices."""

from estimator.attachment.thermal import expansion_findings, part_length_mm
from estimator.pricebook import Splice
from tests.attachment.test_loaded import a_loaded_choice, a_loaded_job, set_out
from tests.builders import a_rail

SPLICE = Splice("XP", "R", "expansion_splice", gap_mm=10.0)
LONG = a_rail(max_continuous_length_mm=12_000.0, expansion_per_k=23.6e-6)


def some_runs(columns):
    return set_out(a_loaded_job(columns=columns), a_loaded_choice()).setting_out.runs


def test_a_run_is_parted_equally_and_no_oftener_than_needed():
    assert part_length_mm(LONG, 12_000.0) == 12_000.0
    assert part_length_mm(LONG, 12_001.0) == 6000.5
    assert part_length_mm(LONG, 36_000.0) == 12_000.0
    assert part_length_mm(a_rail(max_continuous_length_mm=None), 90_000.0) == 90_000.0


def test_the_longest_part_of_an_array_is_held_against_the_gap():
    (finding,) = expansion_findings(LONG, SPLICE, some_runs(22), (-30.0, 50.0))
    assert finding.code == "expansion_gap"
    assert finding.severity == "error"
    assert finding.found > 10.0


def test_parts_short_enough_and_runs_in_one_part_raise_nothing():
    assert expansion_findings(LONG, SPLICE, some_runs(15), (-30.0, 50.0)) == []
    assert expansion_findings(LONG, SPLICE, some_runs(6), (-30.0, 500.0)) == []


def test_without_a_temperature_or_an_expansion_splice_nothing_is_said():
    assert expansion_findings(LONG, SPLICE, some_runs(22), None) == []
    assert expansion_findings(LONG, None, some_runs(22), (-30.0, 50.0)) == []
