"""A module as a beam over two or three rails, against PyNiteFEA and indeterminatebeam, and as whole jobs.

Handbook value: a beam over three supports at 0.22, 0.5 and 0.78 carries 0.455, 0.09, 0.455 (three-moment equation).
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.attachment import set_out
from estimator.attachment.beam.frame import Beam
from estimator.attachment.beam.solve import solve_beams
from estimator.attachment.geometry.module_shares import module_shares
from estimator.attachment.under_load.lines.check import check_lines
from estimator.attachment.under_load.records import Line
from estimator.layout import lay_out
from tests.attachment.under_load.test_loaded import a_loaded_choice, a_loaded_job
from tests.attachment.under_load.test_loaded import set_out as set_out_loaded
from tests.builders import a_choice, a_job, a_roof, an_array, some_limits, some_ribs
from tests.outside.beam_libraries import ENLARGED, in_indeterminatebeam, in_pynite

PLACES = [
    (0.22, 0.78),
    (0.346, 0.883),
    (0.0, 0.5),
    (0.22, 0.5, 0.78),
    (0.25, 0.5, 0.75),
    (0.4, 0.5, 0.6),
    (0.1, 0.3, 0.95),
]


@pytest.mark.parametrize("places", PLACES)
def test_shares_are_the_reactions_of_a_beam_over_its_supports(places):
    beam = Beam(1.0, places, ((1.0,),), stiffness_n_mm2=2.0)
    found = [each.statics for each in module_shares(places)]
    model = in_pynite(beam)
    assert found == pytest.approx([model.nodes[name].RxnFY["now"] for name in model.support_names], abs=1e-8)
    other = in_indeterminatebeam(beam)
    assert found == pytest.approx([other.get_reaction(x, "y") / ENLARGED for x in places], abs=1e-8)


@pytest.mark.parametrize(
    ("places", "shares"),
    [((0.346, 0.883), (0.713, 0.287)), ((0.22, 0.50, 0.78), (0.455, 0.091, 0.455)), ((0.2, 0.8), (0.5, 0.5))],
)
def test_shares_known_from_statics(places, shares):
    assert [round(each.statics, 3) for each in module_shares(places)] == pytest.approx(shares)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.floats(0.0, 1.0), min_size=2, max_size=3, unique=True).map(sorted).filter(
    lambda u: min(b - a for a, b in pairwise(u)) > 0.02))  # fmt: skip
def test_all_shares_together_are_the_whole_load(places):
    shares = module_shares(tuple(places))
    assert sum(each.statics for each in shares) == pytest.approx(1.0, abs=1e-9)
    assert all(each.checked >= each.statics and each.checked >= 0 for each in shares)
    assert [each.reversed > 0 for each in shares] == [each.statics < 0 for each in shares]
    # moments round the left edge: the load acts in the middle
    assert sum(each.statics * u for each, u in zip(shares, places, strict=True)) == pytest.approx(0.5, abs=1e-8)


def along_ribs(pitch_mm, first_mm):
    job = a_job(
        a_roof(ribs=some_ribs(spacing_mm=pitch_mm, first_at_mm=first_mm), arrays=(an_array(columns=2, rows=2),))
    )
    runs = set_out(job, lay_out(job), a_choice(rail_direction="along_ribs"), some_limits()).runs
    return job.roofs[0].arrays[0], runs


def test_rails_on_ribs_that_lie_unevenly_carry_what_statics_gives_them():
    """Rails 346 and 883 mm from the left edge of modules 1000 mm wide: before, half a module each."""
    array, runs = along_ribs(537.0, (an_array().x_mm + 346.0) % 537.0)
    left, right = (run for run in runs if run.line == 0)
    assert (left.start_x - array.x_mm, right.start_x - array.x_mm) == pytest.approx((346.0, 883.0))
    assert (left.tributary_mm, right.tributary_mm) == pytest.approx((713.2, 286.8), abs=0.05)


def test_three_rails_say_what_they_carry_and_check_lift_off():
    """Lines at 0.25, 0.5 and 0.75: the middle one is lifted with 0.0625 of the load (three-moment equation)."""
    job = a_job()
    laid = set_out(job, lay_out(job), a_choice(rails_per_row=3, clamping_position=0.25), some_limits())
    codes = {finding.code: finding for finding in laid.findings}
    assert codes["module_shares"].found == pytest.approx(0.531, abs=5e-4)
    assert codes["module_lifts_off"].found == pytest.approx(0.062, abs=1e-3)
    middle = next(run for run in laid.runs if run.position == 1)
    assert middle.reversed_mm == pytest.approx(1700.0 * 0.0625)
    assert middle.tributary_mm == pytest.approx(1700.0 / 3)


def test_a_rail_that_modules_lift_off_is_checked_for_the_load_turned_round():
    """Snow of 2 kPa alone: a rail pressed by a little and lifted by much fails by its brackets' strength in uplift."""
    job, choice = a_loaded_job(uplift=0.0, downward=2000.0, along=0.0), a_loaded_choice()
    loaded = set_out_loaded(job, choice)
    line = Line(3000.0, (300.0, 1500.0, 2700.0), 300.0, (), ("all",))
    pressed, lifted = check_lines(
        [line, replace(line, reversed_mm=1200.0)], loaded.pressures[0], loaded.strengths[0].usable
    )
    assert min(each.normal_n for each in pressed.attachments) >= 0
    # by hand: the same beam under 1.2 m of snow upwards
    beam = Beam(3000.0, line.attachments_mm, ((-2000.0 * 1200.0 * 1e-6,),))
    reactions = solve_beams([beam]).reactions_n[:, 0]
    assert [each.normal_n for each in lifted.attachments] == pytest.approx(list(reactions))
    assert min(each.utilisation for each in lifted.attachments) > max(each.utilisation for each in pressed.attachments)


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(["across_ribs", "along_ribs"]), st.integers(2, 3), st.floats(200.0, 500.0), st.floats(0.0, 199.0)
)
def test_reactions_on_every_run_are_its_loads(direction, rails, pitch, first):
    """The sum of reactions of a run is the pressure times the width it carries times its length."""
    job = a_loaded_job(uplift=1000.0, downward=1500.0, along=200.0)
    roof = replace(job.roofs[0], ribs=some_ribs(spacing_mm=pitch, first_at_mm=first))
    job = replace(job, roofs=(roof,))
    choice = a_loaded_choice(rail_direction=direction, rails_per_row=rails)
    loaded = set_out_loaded(job, choice)
    for run in loaded.setting_out.runs:
        if len(run.attachments_mm) < 2:
            continue
        w = 1500.0 * run.tributary_mm * 1e-6
        found = solve_beams([Beam(run.length_mm, run.attachments_mm, ((w,),))])
        assert float(np.sum(found.reactions_n)) == pytest.approx(w * run.length_mm, rel=1e-9)
    widths = {}
    for run in loaded.setting_out.runs:
        if run.reversed_mm == 0 and rails == 2:
            widths[run.segment, run.line] = widths.get((run.segment, run.line), 0.0) + run.tributary_mm
    extent = 1700.0 if direction == "across_ribs" else 1000.0
    assert all(width == pytest.approx(extent, rel=1e-9) for width in widths.values())
