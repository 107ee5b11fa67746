"""The attachments of every run carry what lies on it, in every arrangement: loads neither vanish nor appear.

Sums of reactions against pressure times module area, under one combination (statics: equilibrium of forces). Ribs lie
unevenly, rails are two or three, across or along the ribs, parted by expansion splices or not; or there are none.
"""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.arrangements import ARRANGEMENTS
from tests.attachment.geometry.expansion.test_expansion import JOINT
from tests.attachment.under_load.test_loaded import a_loaded_choice, a_loaded_job, set_out
from tests.builders import some_limits, some_ribs

UP, DOWN = 900.0, 600.0


@st.composite
def mounted_jobs(draw):
    """A job on ribs at any pitch and start, given pressures, and one way to mount it."""
    arrangement = draw(st.sampled_from(ARRANGEMENTS))
    direction = draw(st.sampled_from(("across_ribs", "along_ribs")))
    ribs = some_ribs(spacing_mm=draw(st.floats(180.0, 330.0)), first_at_mm=draw(st.floats(10.0, 170.0)))
    rows, columns = draw(st.integers(1, 3)), draw(st.integers(1, 9))
    gaps = draw(st.sampled_from([(), ((2, 90.0),), ((4, 90.0), (7, 90.0))]))
    wider = tuple(gap for gap in gaps if gap[0] < columns)
    omit = frozenset(draw(st.sets(st.tuples(st.just(0), st.integers(0, columns - 1)), max_size=columns - 1)))
    job = a_loaded_job(UP, DOWN, draw(st.floats(0.0, 400.0)), rows=rows, columns=columns, wider_gaps=wider, omit=omit)
    job = replace(job, roofs=(replace(job.roofs[0], ribs=ribs, slope_length_mm=9_000.0),))
    choice = a_loaded_choice(
        arrangement=arrangement,
        rail_direction=direction,
        rails_per_row=draw(st.sampled_from((2, 3))) if direction == "across_ribs" else 2,
        expansion_splice=JOINT,
        rail={"max_continuous_length_mm": draw(st.sampled_from((3_500.0, 6_500.0, 30_000.0)))},
    )
    return job, choice if arrangement != "direct" else replace(choice, rail=None)


def unit_reaction(check):
    """A reaction for 1 Pa downward, from the largest ones under uplift alone and under downward load alone.

    A beam is linear: r under 1 Pa gives UP r of uplift and DOWN r downward; where r is negative the two change places.
    """
    pulled, pressed = check.uplift_n, check.downward_n
    if pulled / UP == pytest.approx(pressed / DOWN, rel=1e-9, abs=1e-12):
        return pulled / UP
    assert pulled / DOWN == pytest.approx(pressed / UP, rel=1e-9)
    return -pulled / DOWN


@settings(max_examples=60, deadline=None)
@given(mounted_jobs())
def test_reactions_of_every_run_sum_to_the_load_on_it(made):
    job, choice = made
    loaded = set_out(job, choice, some_limits(1_800.0, 600.0))
    lines = [run for run in loaded.setting_out.runs if len(run.attachments_mm) > 1]
    assert bool(loaded.checks) == bool(lines or loaded.edges)
    for check in loaded.checks:
        line = check.line
        assert not line.reversed_mm
        found = sum(unit_reaction(each) for each in check.attachments)
        assert found == pytest.approx(line.tributary_mm * line.length_mm * 1e-6, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(mounted_jobs())
def test_runs_carry_every_module_once(made):
    """Two rails under every row or column carry its modules, no more and no less."""
    job, choice = made
    if choice.rails_per_row == 3 or choice.rail is None:
        return
    out = set_out(job, choice, some_limits(1_800.0, 600.0)).setting_out
    across = choice.rail_direction == "across_ribs"
    side = job.module.length_mm if across else job.module.width_mm
    together = {}
    for run in out.runs:
        together.setdefault((run.line, run.segment, run.part), []).append(run.tributary_mm)
    for shares in together.values():
        if len(shares) == 2:
            assert sum(shares) == pytest.approx(side, rel=1e-9)
