from dataclasses import replace

import pytest

from estimator.attachment import set_out
from estimator.cutting.records import Joint
from estimator.layout import lay_out
from estimator.takeoff import count, sums_differ
from tests.builders import a_choice, a_cut_plan, a_job, a_roof, an_array, some_limits


def counted(job, plan=None, **choice):
    layout = lay_out(job)
    setting_out = set_out(job, layout, a_choice(**choice), some_limits())
    counts = count(job, layout, setting_out, plan)
    assert sums_differ(layout, setting_out, counts, plan) == ()
    return counts


def test_each_joint_takes_a_mid_clamp_and_each_rail_end_an_end_clamp():
    counts = counted(a_job()).counts
    # 2 rows x 2 rails; 3 modules a row, so 2 joints on each rail
    assert (counts.runs, counts.mid_clamps, counts.end_clamps) == (4, 8, 8)


def test_a_left_out_cell_splits_a_row_and_costs_two_more_end_clamps_a_rail():
    counts = counted(a_job(a_roof(arrays=(an_array(omit=frozenset({(0, 1)})),)))).counts
    # row 0 has two segments of one module (no joint, 2 ends each), row 1 one of three
    assert (counts.modules, counts.row_segments, counts.runs) == (5, 3, 6)
    assert (counts.mid_clamps, counts.end_clamps) == (2 * 2, 6 * 2)


def test_rails_along_ribs_are_clamped_between_the_modules_of_a_column():
    counts = counted(a_job(), rail_direction="along_ribs").counts
    assert (counts.column_segments, counts.runs, counts.mid_clamps, counts.end_clamps) == (3, 6, 6, 12)


def test_without_rail_seams_between_modules_take_mid_clamps_and_outer_edges_end_clamps():
    counts = counted(a_job(), arrangement="direct").counts
    # 3 columns x 2 places: one seam between the rows, one edge below and one above
    assert (counts.runs, counts.attachments, counts.mid_clamps, counts.end_clamps) == (0, 18, 6, 12)


def test_a_roof_and_the_job_add_up_their_arrays():
    south = a_roof(arrays=(an_array(), an_array(name="B", x_mm=5000.0, columns=2)))
    counts = counted(a_job(south, a_roof(name="North")))
    assert counts.counts.modules == 6 + 4 + 6 and counts.counts.power == 16 * 400.0
    assert (counts.counts.arrays, counts.counts.roofs) == (3, 2)
    assert [roof.counts.modules for roof in counts.roofs] == [10, 6]
    assert [array.counts.modules for array in counts.roofs[0].arrays] == [6, 4]


def test_run_length_includes_the_overhang_at_both_ends():
    # 4 rails of 3 x 1000 + 2 x 20 + 2 x 50
    assert counted(a_job()).counts.run_length == 4 * 3140.0


def test_pieces_cuts_and_splices_belong_to_the_array_of_their_run():
    south = a_roof(arrays=(an_array(), an_array(name="B", x_mm=5000.0)))
    bars = [(4200, ((run, 3140),)) for run in range(7)]
    plan = a_cut_plan(*bars, (4200, ((7, 1600), (7, 1540))), joints=(Joint(7, 16000, "splice"),))
    counts = counted(a_job(south), plan)
    first, second = (array.counts for array in counts.roofs[0].arrays)
    assert (first.pieces, first.cuts, first.splices) == (4, 4, 0)
    assert (second.pieces, second.cuts, second.splices) == (5, 5, 1)
    assert counts.counts.bars == {"4200": 8} and first.bars == {}


@pytest.mark.parametrize("field", ["modules", "attachments", "end_clamps", "pieces"])
def test_a_count_that_is_not_what_is_drawn_is_an_error(field):
    job = a_job()
    layout = lay_out(job)
    setting_out = set_out(job, layout, a_choice(), some_limits())
    plan = a_cut_plan(*[(4200, ((run, 3140),)) for run in range(4)])
    counts = count(job, layout, setting_out, plan)
    wrong = replace(counts, counts=replace(counts.counts, **{field: getattr(counts.counts, field) + 1}))
    assert {finding.severity for finding in sums_differ(layout, setting_out, wrong, plan)} == {"error"}
