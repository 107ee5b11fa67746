"""Five modules on side rails along the ribs, one cell left out, worked by hand.

Given: ribs every 300 from 150; array at (1000, 500), 2 rows of 3 modules, portrait 1000 x 1700, gaps 20, the upper
module of the middle column left out; overhang 50, clamping position 0.22; spans up to 1250, cantilevers up to 350.

Columns: from x = 1000, 2020 and 3040, each 1000 wide; clamping zone the whole half.
Ribs:    column 1: best at 1220 and 1780: 1350 (130 off; 1050 is 170 off) and 1650 (130; 1950 is 170 off).
         column 2: best at 2240 and 2800: 2250 (10 off) and 2850 (50 off).
         column 3: best at 3260 and 3820: 3150 (110 off; 3450 is 190 off) and 3750 (70 off).
Runs:    columns 1 and 3: from 500 - 50 = 450, 2 x 1700 + 20 + 100 = 3520 long; column 2: 1700 + 100 = 1800 long.
Spacing: 3520: n = ceil((3520 - 700) / 1250) + 1 = ceil(2.256) + 1 = 4; an even share 3520 / 8 = 440 is more than 350,
         so cantilevers of 350 and spans of 2820 / 3 = 940: 350, 1290, 2230, 3170 from 450: y = 800, 1740, 2680, 3620.
         1800: n = ceil(1100 / 1250) + 1 = 2; 1800 / 4 = 450 > 350: 350 and 1450: y = 800, 1900.
Counts:  4 runs x 4 + 2 runs x 2 = 20 attachments; mid clamps 4 x 1 = 4; end clamps 6 x 2 = 12;
         run length 4 x 3520 + 2 x 1800 = 17680.
Cutting: 3520 from bars of 4200 (4 bars), 1800 + 1800 from one of 4200: 5 bars, 6 pieces.
Parts:   20 brackets, 80 screws, 20 nuts, 10 clips, 1 label, 1 lug.
Source: the counting rules of the trade (common practice, no source); arithmetic by hand.
"""

import pytest

from tests.builders import a_choice, a_cut_plan, a_job, a_roof, an_array
from tests.worked.worksheet import work

JOB = a_job(a_roof(arrays=(an_array(omit=frozenset({(1, 1)})),)))
PLAN = a_cut_plan(*[(4200, ((run, 3520),)) for run in (0, 1, 4, 5)], (4200, ((2, 1800), (3, 1800))))


@pytest.fixture
def sheet():
    return work(JOB, a_choice(rail_direction="along_ribs"), PLAN)


def test_rails_stand_on_the_ribs_worked_out(sheet):
    assert [(run.start_x, run.start_y, run.length_mm) for run in sheet.setting_out.runs] == [
        (1350.0, 450.0, 3520.0),
        (1650.0, 450.0, 3520.0),
        (2250.0, 450.0, 1800.0),
        (2850.0, 450.0, 1800.0),
        (3150.0, 450.0, 3520.0),
        (3750.0, 450.0, 3520.0),
    ]


def test_attachments_stand_where_they_were_worked_out(sheet):
    outer, middle = (800.0, 1740.0, 2680.0, 3620.0), (800.0, 1900.0)
    rails = [(1350.0, outer), (1650.0, outer), (2250.0, middle), (2850.0, middle), (3150.0, outer), (3750.0, outer)]
    assert sheet.attachments_at() == [(x, y) for x, places in rails for y in places]


def test_counts_and_parts_are_those_worked_out(sheet):
    counts = sheet.counts.counts
    assert (counts.modules, counts.row_segments, counts.column_segments) == (5, 3, 3)
    assert (counts.runs, counts.run_length, counts.attachments) == (6, 17_680.0, 20)
    assert (counts.mid_clamps, counts.end_clamps, counts.pieces, counts.splices) == (4, 12, 6, 0)
    assert sheet.net == {
        "R-AL-4200": 5,
        "B-AL": 20,
        "SC-AL": 80,
        "N-1": 20,
        "MC-AL": 4,
        "EC-AL": 12,
        "CC-1": 10,
        "L-1": 1,
        "E-1": 1,
    }
