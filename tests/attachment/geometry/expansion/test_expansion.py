"""Expansion splices part rails in gaps between modules, and every part is a rail of its own."""

from dataclasses import replace
from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.attachment import limits_for, set_out
from estimator.attachment.beam.frame import Beam
from estimator.attachment.beam.solve import solve_beams
from estimator.attachment.geometry.expansion.parts import ExpansionRule, rail_parts
from estimator.estimate import estimate
from estimator.job import Choices, Mounting
from estimator.layout import lay_out
from estimator.pricebook import Splice
from tests.attachment.under_load.test_loaded import a_loaded_choice, a_loaded_job
from tests.attachment.under_load.test_loaded import set_out as set_out_loaded
from tests.builders import a_book, a_choice, a_job, a_module, a_roof, an_array, some_ribs
from tests.facts import facts
from tests.outside.beam_libraries import in_pynite

ON = date(2026, 6, 1)
JOINT = Splice("E-AL", "R-AL", "expansion_splice", gap_mm=20.0, least_gap_mm=80.0)


def a_parted_choice(longest_mm=6500.0, **changes):
    choice = a_choice(expansion_splice=JOINT, **changes)
    return replace(choice, rail=replace(choice.rail, max_continuous_length_mm=longest_mm))


def a_long_job(columns=10, wider_gaps=(), rows=1):
    array = replace(an_array(columns=columns, rows=rows), wider_gaps=wider_gaps)
    return a_job(a_roof(eave_length_mm=20_000.0, arrays=(array,)))


def laid(job, choice):
    return set_out(job, lay_out(job), choice, limits_for(job, choice))


def test_a_rail_is_parted_in_a_gap_and_each_part_has_its_own_attachments():
    """Ten modules of 1000 mm with gaps of 20 mm; the gap after the fifth is 80 mm wide: 5 x 1000 + 4 x 20 + 40 each."""
    runs = laid(a_long_job(wider_gaps=((5, 80.0),)), a_parted_choice()).runs
    assert [(run.part, run.joined, run.modules) for run in runs[:2]] == [(0, True, 5), (1, False, 5)]
    first, second = (run for run in runs if run.position == 0)
    assert (first.length_mm, second.length_mm) == (50 + 5080 + 30, 30 + 5080 + 50)
    # the joint's own gap of 20 mm lies between the ends, in the middle of the gap of 80 mm
    assert second.start_x - (first.start_x + first.length_mm) == pytest.approx(20.0)
    limits = limits_for(a_long_job(), a_parted_choice())
    for run in runs:
        at = run.attachments_mm
        assert len(at) >= 2
        assert at[0] <= limits.max_cantilever_mm + 0.001
        assert run.length_mm - at[-1] <= limits.max_cantilever_mm + 0.001
        assert all(b - a <= limits.max_span_mm + 0.001 for a, b in pairwise(at))


def test_the_mid_clamp_at_a_joint_gives_way_to_two_end_clamps():
    mounting = Mounting(arrangement="rail_on_side", material="aluminium", bracket="B-AL", rail="R-AL")
    job = replace(a_long_job(wider_gaps=((5, 80.0),)), mounting=mounting)
    book = a_book()
    whole = estimate(replace(a_long_job(), mounting=mounting), book, Choices(), ON)
    rail = replace(book.rails["R-AL"], max_continuous_length_mm=6500.0)
    splices = tuple(each for each in book.splices if (each.rail, each.kind) != ("R-AL", "expansion_splice"))
    joint = next((each for each in book.splices if each.kind == "expansion_splice"), None)
    part = joint.part if joint else next(iter(book.splices)).part
    parted_book = replace(book, rails={**book.rails, "R-AL": rail}, splices=(*splices, replace(JOINT, part=part)))
    parted = estimate(job, parted_book, Choices(), ON)
    before, after = (made.counts.counts for made in (whole, parted))
    assert (after.mid_clamps - before.mid_clamps, after.end_clamps - before.end_clamps) == (-2, 4)
    assert after.expansion_splices == 2
    assert not [check.code for check in parted.checks if check.code == "expansion_gap_narrow"]


def test_a_rail_that_runs_on_under_a_wider_gap_takes_two_end_clamps_there_as_well():
    """No mid clamp spans it. Ten modules, one wider gap: 8 mid and 4 end clamps on each of two rails, by hand."""
    mounting = Mounting(arrangement="rail_on_side", material="aluminium", bracket="B-AL", rail="R-AL")
    plain, wide = (
        estimate(replace(a_long_job(wider_gaps=gaps), mounting=mounting), a_book(), Choices(), ON).counts.counts
        for gaps in ((), ((5, 80.0),))
    )
    assert (plain.mid_clamps, plain.end_clamps) == (2 * 9, 2 * 2)
    assert (wide.mid_clamps, wide.end_clamps) == (2 * 8, 2 * 4)


def a_steep_job(rows=8, wider_row_gaps=()):
    array = replace(an_array(columns=2, rows=rows), wider_row_gaps=wider_row_gaps)
    return a_job(a_roof(slope_length_mm=20_000.0, arrays=(array,)))


def test_rails_up_the_slope_are_parted_at_wider_gaps_between_rows():
    """Eight modules of 1700 mm, gaps of 20 mm, above the fourth 80 mm: 4 x 1700 + 3 x 20, and overhangs of 50 + 30."""
    choice = a_parted_choice(longest_mm=8000.0, rail_direction="along_ribs")
    job = a_steep_job(wider_row_gaps=((4, 80.0),))
    found = laid(job, choice)
    assert not [each.code for each in found.findings if each.code.startswith("expansion_gap")]
    first, second = (run for run in found.runs if run.line == 0 and run.position == 0)
    assert (first.length_mm, second.length_mm) == (6860 + 80, 6860 + 80)
    assert second.start_y - (first.start_y + first.length_mm) == pytest.approx(20.0)
    narrow = [each for each in laid(a_steep_job(), choice).findings if each.code == "expansion_gap_narrow"]
    assert [(each.place.row, each.found, each.allowed) for each in narrow] == [(4, 20.0, 80.0)]


def test_rows_above_a_wider_gap_move_with_all_that_stands_on_them():
    plain, wide = (lay_out(a_steep_job(wider_row_gaps=gaps)).roofs[0].arrays[0] for gaps in ((), ((4, 80.0),)))
    moved = [b.y0 - a.y0 for a, b in zip(plain.row_segments, wide.row_segments, strict=True)]
    assert moved == [0.0] * 4 + [60.0] * 4
    assert wide.column_segments[0].y1 - plain.column_segments[0].y1 == 60.0


def test_modules_without_rail_are_not_held_across_a_wider_gap():
    found = laid(a_steep_job(wider_row_gaps=((4, 80.0),)), a_choice(arrangement="direct")).findings
    assert [(each.severity, each.place.row) for each in found if each.code == "seam_gap_too_wide"] == [("error", 4)]


def test_a_gap_too_narrow_is_an_error_that_names_column_widths_and_the_way_to_move():
    found = [each for each in laid(a_long_job(), a_parted_choice()).findings if each.code == "expansion_gap_narrow"]
    assert [(each.severity, each.found, each.allowed, each.place.column) for each in found] == [
        ("error", 20.0, 80.0, 5)
    ]
    assert 60.0 in facts(found[0].message)


def test_wide_gaps_are_taken_before_narrow_ones():
    runs = laid(a_long_job(wider_gaps=((4, 80.0), (8, 90.0))), a_parted_choice()).runs
    assert [run.modules for run in runs if run.position == 0] == [4, 6] or [
        run.modules for run in runs if run.position == 0
    ] == [4, 4, 2]
    assert not any(run.length_mm > 6500.0 for run in runs)


def test_a_book_that_does_not_say_how_wide_a_gap_has_to_be_gives_a_warning():
    choice = replace(a_parted_choice(), expansion_splice=replace(JOINT, least_gap_mm=None))
    assert "expansion_gap_unchecked" in [each.code for each in laid(a_long_job(), choice).findings]


def test_columns_beyond_a_wider_gap_move_with_all_that_stands_on_them():
    plain, wide = (lay_out(a_long_job(wider_gaps=gaps)).roofs[0].arrays[0] for gaps in ((), ((5, 80.0),)))
    moved = [b.x0 - a.x0 for a, b in zip(plain.column_segments, wide.column_segments, strict=True)]
    assert moved == [0.0] * 5 + [60.0] * 5
    assert wide.row_segments[0].x1 - plain.row_segments[0].x1 == 60.0


def test_a_part_is_checked_as_a_beam_of_its_own():
    """A rail end that stands past its last attachment bends more than a rail that runs through: PyNiteFEA agrees."""
    job = a_loaded_job(columns=10)
    array = replace(job.roofs[0].arrays[0], wider_gaps=((5, 80.0),))
    job = replace(job, roofs=(replace(job.roofs[0], arrays=(array,)),))
    choice = a_loaded_choice()
    choice = replace(choice, expansion_splice=JOINT, rail=replace(choice.rail, max_continuous_length_mm=6500.0))
    loaded = set_out_loaded(job, choice)
    assert {run.joined for run in loaded.setting_out.runs} == {True, False}
    for run in loaded.setting_out.runs:
        w = 1000.0 * run.tributary_mm * 1e-6
        beam = Beam(run.length_mm, run.attachments_mm, ((w,),), stiffness_n_mm2=5.0e9)
        mine = list(solve_beams([beam]).reactions_n[:, 0])
        model = in_pynite(beam)
        assert mine == pytest.approx([model.nodes[name].RxnFY["now"] for name in model.support_names], rel=1e-8)
        assert sum(mine) == pytest.approx(w * run.length_mm, rel=1e-9)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.sampled_from([10.0, 20.0, 80.0, 120.0]), min_size=1, max_size=24), st.floats(1200.0, 9000.0))
def test_parts_cover_the_rail_and_none_is_longer_than_it_may(gaps, longest):
    cells, at = [], 0.0
    for gap in (*gaps, 0.0):
        cells.append((at, at + 1000.0))
        at += 1000.0 + gap
    rule = ExpansionRule(longest, 10.0, 80.0)
    parts = rail_parts(tuple(cells), 50.0, rule)
    assert [parts[0].first, parts[-1].last] == [0, len(cells) - 1]
    assert all(b.first == a.last + 1 for a, b in pairwise(parts))
    assert all(b.start_mm - a.end_mm == pytest.approx(10.0) for a, b in pairwise(parts))
    assert [part.joined for part in parts] == [True] * (len(parts) - 1) + [False]
    assert all(part.length_mm <= longest + 0.01 for part in parts)
    assert all(cells[part.first][0] >= part.start_mm and cells[part.last][1] <= part.end_mm for part in parts)


def a_joint_at_6960(longest_mm):
    """Twelve modules of 1134 mm with gaps of 12 mm, 92 mm after the sixth: a joint 6960 mm from the rail's start."""
    array = replace(an_array(columns=12, rows=1, gap_x_mm=12.0, x_mm=1278.6), wider_gaps=((6, 92.0),))
    ribs = some_ribs(spacing_mm=304.8, first_at_mm=152.4)
    given = Mounting(
        arrangement="rail_on_side", material="aluminium", max_span_mm=1524.0, max_cantilever_mm=609.6,
        spans_given_by="an engineer",
    )  # fmt: skip
    roof = a_roof(eave_length_mm=20_000.0, arrays=(array,), ribs=ribs)
    return laid(a_job(roof, module=a_module(width_mm=1134.0), mounting=given), a_parted_choice(longest_mm)).runs


def test_a_rail_end_at_a_joint_keeps_the_overhang_where_a_rail_that_ran_through_left_711_mm():
    """The joint's rail end stands 711 mm past its last attachment where the rail is set out as if it ran through;
    609.6 mm (24 in) are allowed. By hand: the whole rail stands on every fifth rib, at 304.8 mm."""
    whole = next(run for run in a_joint_at_6960(30_000.0) if run.position == 0)
    before = max(at for at in whole.attachments_mm if at < 6950.0)
    assert 6950.0 - before == pytest.approx(711.0)
    parted = [run for run in a_joint_at_6960(7_500.0) if run.position == 0]
    assert [run.joined for run in parted] == [True, False]
    for run in parted:
        assert max(run.attachments_mm[0], run.length_mm - run.attachments_mm[-1]) <= 609.6 + 0.001


def test_a_rail_that_is_said_to_run_through_a_joint_hides_bending():
    """With the attachments of the whole rail but parted as it is built: PyNiteFEA finds more moment than in
    a rail that runs through, w c2 / 2 over the last attachment before the joint (statics)."""
    whole = next(run for run in a_joint_at_6960(30_000.0) if run.position == 0)
    first = tuple(at for at in whole.attachments_mm if at < 6950.0)
    through = Beam(whole.length_mm, whole.attachments_mm, ((0.9,),), (), 5e9)
    really = Beam(6950.0, first, ((0.9,),), (), 5e9)

    def most(beam):
        member = in_pynite(beam).members["beam"]
        return max(abs(member.max_moment("Mz", "now")), abs(member.min_moment("Mz", "now")))

    found = solve_beams([really])
    assert most(really) > 1.03 * most(through)
    assert -found.moments_n_mm[-1, 0] == pytest.approx(0.9 * 711.0**2 / 2)
    assert max(found.sagging_n_mm.max(), -found.hogging_n_mm.min()) == pytest.approx(most(really), rel=1e-8)
