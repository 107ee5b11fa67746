"""Six modules on side rails across the ribs, worked by hand.

Given: ribs every 300 from 150; array at (1000, 500), 2 rows of 3 modules, portrait 1000 x 1700, gaps 20; overhang 50,
clamping position 0.22; spans up to 1250, cantilevers up to 350.

Rows:    3 x 1000 + 2 x 20 = 3040 long, from x = 1000 to 4040; row 1 from y = 500, row 2 from 500 + 1720 = 2220.
Rails:   0.22 x 1700 = 374 and 1700 - 374 = 1326 above each row's lower edge: y = 874, 1826, 2594, 3546;
         from 1000 - 50 = 950 to 4090, so 3140 long.
Ribs:    under a rail: 1050, 1350 ... 4050, which is 100, 400 ... 3100 from its start (eleven ribs).
Choice:  the first at 100 (400 is more than 350); the last at 2800 (3140 - 2800 = 340) or at 3100 (40).
         A span is four pitches at most (1200), so 2700 or 3000 take three spans: four attachments.
         To 2800: nine pitches as 3 + 3 + 3, longest 900. To 3100: ten as 4 + 3 + 3, longest 1200. So 100, 1000, 1900,
         2800: x = 1050, 1950, 2850, 3750.
Counts:  4 rails x 4 = 16 attachments; 4 rails x 2 joints = 8 mid clamps; 4 x 2 = 8 end clamps.
Cutting: four pieces of 3140, one from each bar of 4200 (two would need 6283 with the kerf of 3): 4 cuts, no splice.
Parts:   16 brackets, 64 screws, 16 nuts, 12 clips (2 x 6), 1 label (6 / 10), 1 lug.
Height:  31.75 + 95.25 = 127 under the module.
Source: the counting rules of the trade (common practice, no source); arithmetic by hand.
"""

import pytest

from tests.builders import a_choice, a_cut_plan, a_job
from tests.worked.worksheet import planned, work

PLAN = a_cut_plan(*[(4200, ((run, 3140),)) for run in range(4)])


@pytest.fixture
def sheet():
    return work(a_job(), a_choice(), PLAN)


def test_rails_lie_where_they_were_worked_out(sheet):
    assert [(run.start_x, run.start_y, run.length_mm) for run in sheet.setting_out.runs] == [
        (950.0, 874.0, 3140.0),
        (950.0, 1826.0, 3140.0),
        (950.0, 2594.0, 3140.0),
        (950.0, 3546.0, 3140.0),
    ]


def test_attachments_stand_where_they_were_worked_out(sheet):
    expected = [(x, y) for y in (874.0, 1826.0, 2594.0, 3546.0) for x in (1050.0, 1950.0, 2850.0, 3750.0)]
    assert sheet.attachments_at() == expected


def test_counts_are_those_worked_out(sheet):
    counts = sheet.counts.counts
    assert (counts.modules, counts.runs, counts.run_length, counts.power) == (6, 4, 12_560.0, 2400.0)
    assert (counts.attachments, counts.mid_clamps, counts.end_clamps) == (16, 8, 8)
    assert (counts.pieces, counts.cuts, counts.splices, counts.bars) == (4, 4, 0, {"4200": 4})


def test_parts_are_those_worked_out(sheet):
    assert sheet.net == {
        "R-AL-4200": 4,
        "B-AL": 16,
        "SC-AL": 64,
        "N-1": 16,
        "MC-AL": 8,
        "EC-AL": 8,
        "CC-1": 12,
        "L-1": 1,
        "E-1": 1,
    }
    assert sheet.under_module_mm == [127.0]


def test_no_cheaper_plan_than_the_one_worked_out_exists(sheet):
    plan = planned(sheet, "AL", 320)
    # four bars of 4200 at 27.30
    assert plan.proven_optimal and plan.cost == 4 * 2730
    assert (plan.pieces, plan.cuts, plan.splices) == (4, 4, 0)
    assert work(a_job(), a_choice(), plan).net == sheet.net
