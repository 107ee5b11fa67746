"""Five landscape modules of steel on rails standing on the bracket, each rail of two pieces, worked by hand.

Given: ribs every 300 from 150; array at (1000, 500), 1 row of 4 modules, landscape 1700 x 1000, gaps 20, and a second
array of one module; overhang 50, clamping position 0.22; spans up to 1250, cantilevers up to 350.

Array A: 4 x 1700 + 3 x 20 = 6860 long, from x = 1000 to 7860. Rails at 0.22 x 1000 = 220 and 780 above y = 500:
         y = 720 and 1280; from 950 to 7910: 6960 long.
Ribs:    1050, 1350 ... 7650: 100, 400 ... 6700, 7000 is past the end (7950 > 7910). So 23 ribs, the last 260 from the
         end.
Choice:  first at 100 (400 > 350), last at 6700 (260) only (6400 leaves 560). 22 pitches, four to a span at most: six
         spans, seven attachments. The longest span of four cannot be avoided (6 x 3 = 18 < 22). Leftmost: short
         spans first: 22 = 2 + 4 + 4 + 4 + 4 + 4, so 100, 700, 1900, 3100, 4300, 5500, 6700.
Array B: one module at (1000, 2500): rails at y = 2720 and 3280 from 950 to 2750: 1800 long.
         Ribs 1050 ... 2550, or 2850? No: 2750 is the end. 100 ... 1600 from the start, six ribs. First at 100, last at
         1600 (200 left; 1300 leaves 500). Five pitches in two spans: three attachments, longest span of three pitches:
         2 + 3 (leftmost): 100, 700, 1600.
Counts:  2 x 7 + 2 x 3 = 20 attachments; mid clamps 2 x 3 = 6; end clamps 2 x 2 + 2 x 2 = 8.
Cutting: 6960 is longer than a bar of 6000, so each rail of A is two pieces and one splice. A joint at 5800 stands 300
         past the attachment at 5500, in the first third (400) of its span: pieces 5800 and 1160. B's 1800 fit on a bar
         of 4200 with both remainders: 1160 + 1160 + 1800 = 4120 and two kerfs of 3 between. The other 1800 takes a
         bar of its own. Bars: 2 of 6000, 2 of 4200; pieces 6, splices 2.
Parts:   20 brackets, 80 screws, 20 nuts, 2 splices, 10 clips, 1 label (5 / 10), 2 lugs (one an array).
Height:  31.75 + 69.85 + 44.45 = 146.05 under the module.
Source: the counting rules of the trade (common practice, no source); arithmetic by hand.
"""

import pytest

from estimator.cutting.records import Joint
from tests.builders import a_choice, a_cut_plan, a_job, a_roof, an_array
from tests.worked.worksheet import planned, work

JOB = a_job(
    a_roof(
        arrays=(
            an_array(rows=1, columns=4, orientation="landscape"),
            an_array(name="B", rows=1, columns=1, orientation="landscape", y_mm=2500.0),
        )
    )
)
JOINTS = (Joint(0, 58_000, "splice"), Joint(1, 58_000, "splice"))
PLAN = a_cut_plan(
    (6000, ((0, 5800),)),
    (6000, ((1, 5800),)),
    (4200, ((2, 1800), (0, 1160), (1, 1160))),
    (4200, ((3, 1800),)),
    joints=JOINTS,
    code="ST",
)


@pytest.fixture
def sheet():
    return work(JOB, a_choice(code="ST", arrangement="rail_on_top"), PLAN)


def test_rails_lie_where_they_were_worked_out(sheet):
    assert [(run.start_x, run.start_y, run.length_mm) for run in sheet.setting_out.runs] == [
        (950.0, 720.0, 6960.0),
        (950.0, 1280.0, 6960.0),
        (950.0, 2720.0, 1800.0),
        (950.0, 3280.0, 1800.0),
    ]


def test_attachments_stand_where_they_were_worked_out(sheet):
    long, short = (sheet.setting_out.runs[number].attachments_mm for number in (0, 2))
    assert long == (100.0, 700.0, 1900.0, 3100.0, 4300.0, 5500.0, 6700.0)
    assert short == (100.0, 700.0, 1600.0)


def test_counts_are_those_worked_out(sheet):
    counts = sheet.counts.counts
    assert (counts.modules, counts.runs, counts.run_length) == (5, 4, 2 * 6960.0 + 2 * 1800.0)
    assert (counts.attachments, counts.mid_clamps, counts.end_clamps) == (20, 6, 8)
    assert (counts.pieces, counts.splices, counts.bars) == (6, 2, {"6000": 2, "4200": 2})


def test_splices_and_pieces_are_those_of_their_array(sheet):
    first, second = (array.counts for array in sheet.counts.roofs[0].arrays)
    assert (first.pieces, first.splices, second.pieces, second.splices) == (4, 2, 2, 0)


def test_parts_are_those_worked_out(sheet):
    assert sheet.net == {
        "R-ST-6000": 2,
        "R-ST-4200": 2,
        "B-ST": 20,
        "SC-ST": 80,
        "N-1": 20,
        "MC-ST": 6,
        "EC-ST": 8,
        "SP-ST": 2,
        "CC-1": 10,
        "L-1": 1,
        "E-1": 2,
    }
    assert sheet.under_module_mm == [pytest.approx(146.05)]


def test_the_cut_plan_is_no_dearer_than_the_one_worked_out(sheet):
    plan = planned(sheet, "ST", 320)
    # by hand: two bars of 6000 at 39.00, two of 4200 at 27.30, two splices at 3.20
    assert plan.proven_optimal and plan.lower_bound <= plan.cost <= 2 * 3900 + 2 * 2730 + 2 * 320
    counted = work(JOB, a_choice(code="ST", arrangement="rail_on_top"), plan).counts.counts
    assert (counted.splices, counted.pieces) == (2, 6)
