"""Rigid splices: moment and shear of the rail where it is joined, against tested strengths; else it runs through."""

from dataclasses import replace
from datetime import date

import pytest

from estimator.attachment.beam.frame import Beam
from estimator.attachment.beam.solve import solve_beams
from estimator.attachment.under_load.checks.splices import moment_and_shear, splice_strength
from estimator.estimate import estimate
from estimator.job import Choices, Mounting
from estimator.pricebook import Splice
from tests.attachment.under_load.test_loaded import a_loaded_job
from tests.builders import a_book
from tests.outside.beam_libraries import in_indeterminatebeam, in_pynite

ON = date(2026, 6, 1)
PLAIN = Splice("SP-AL", "R-AL", "splice")
TESTED = replace(PLAIN, moment_n_mm=600_000.0, shear_n=9_000.0, safety_factor=2.0, moment_characteristic_n_mm=500_000.0,
                 shear_characteristic_n=8_000.0)  # fmt: skip
BEAMS = [
    Beam(5000.0, (350.0, 1550.0, 2150.0, 4700.0), ((0.8,),), (), 5e9),
    Beam(5000.0, (0.0, 2500.0, 5000.0), ((0.8,), (-1.4,), (0.3,)), (1000.0, 3100.0), 5e9),
]


@pytest.mark.parametrize("beam", BEAMS)
@pytest.mark.parametrize("at", [200.0, 700.0, 1800.0, 2999.0, 4900.0])
def test_moment_and_shear_at_a_splice_are_those_of_two_libraries(beam, at):
    moment, shear = (float(each[0]) for each in moment_and_shear(beam, solve_beams([beam]).reactions_n, at))
    member = in_pynite(beam).members["beam"]
    assert abs(moment) == pytest.approx(abs(member.moment("Mz", at, "now")), rel=1e-8, abs=1e-4)
    assert abs(shear) == pytest.approx(abs(member.shear("Fy", at, "now")), rel=1e-8, abs=1e-7)
    other = in_indeterminatebeam(beam)
    assert moment == pytest.approx(float(other.get_bending_moment(at)) / 2.0**40, rel=1e-8, abs=1e-4)


def test_strengths_are_in_the_format_of_the_standard():
    """ASD over 2.0, EN over gamma_M2 = 1.25 of EN 1999-1-1 (from memory)."""
    asd, en = (splice_strength(TESTED, method, "aluminium") for method in ("asd", "en"))
    assert (asd.moment.value, asd.shear.value) == (300_000.0, 4_500.0)
    assert (en.moment.value, en.shear.value) == (400_000.0, 6_400.0)
    assert splice_strength(PLAIN, "asd", "aluminium") is None
    assert splice_strength(replace(TESTED, moment_characteristic_n_mm=None), "en", "aluminium").moment.by_other_format


def estimated(splice, uplift=1000.0):
    """Nine modules of 1000 mm and their gaps: rails of 9260 mm from bars of 6000 mm."""
    mounting = Mounting(arrangement="rail_on_side", material="aluminium", bracket="B-AL", rail="R-AL")
    book = a_book()
    others = tuple(each for each in book.splices if each.part != "SP-AL")
    job = a_loaded_job(uplift=uplift, downward=uplift, columns=9, mounting=mounting)
    return estimate(job, replace(book, splices=(*others, splice)), Choices(), ON)


def test_without_tested_strengths_the_rail_is_said_to_be_assumed_to_run_through():
    made = estimated(PLAIN)
    (check,) = made.loads.splices
    assert (check.count, check.utilisation) == (made.cut_plan.splices, None)
    assert abs(check.moment_n_mm) > 0
    (said,) = [each for each in made.checks if each.code == "splice_continuity_assumed"]
    assert (said.severity, said.place.part) == ("note", "SP-AL")


def test_with_tested_strengths_the_worst_splice_uses_the_share_of_moment_and_shear_there():
    made = estimated(TESTED)
    (check,) = made.loads.splices
    (joint,) = {round(joint.at / 10, 3) for joint in made.cut_plan.joints if joint.kind == "splice"} & {check.at_mm}
    run = next(run for run in made.setting_out.runs if run.place == check.place)
    line = made.loads.checks[made.loads.check_of[run.key]].line
    w = 1000.0 * line.tributary_mm * 1e-6
    member = in_pynite(Beam(line.length_mm, line.attachments_mm, ((w,),), (), 5e9)).members["beam"]
    expected = abs(member.moment("Mz", joint, "now")) / 300_000.0 + abs(member.shear("Fy", joint, "now")) / 4_500.0
    assert check.utilisation == pytest.approx(expected, rel=1e-8)
    assert not [each for each in made.checks if each.code.startswith("splice")]


def test_a_splice_used_beyond_its_strength_is_an_error_with_its_place():
    weak = replace(TESTED, moment_n_mm=20_000.0, shear_n=400.0)
    made = estimated(weak)
    (said,) = [each for each in made.checks if each.code == "splice_overloaded"]
    assert (said.severity, said.place.roof, said.place.part) == ("error", "South", "SP-AL")
    assert said.found == pytest.approx(made.loads.splices[0].utilisation) and said.found > 1
    assert said in made.errors
