"""Six modules without rail, worked by hand.

Given: ribs every 300 from 150; array at (1000, 500), 2 rows of 3 modules, portrait 1000 x 1700, gaps 20; clamping
position 0.22, clamping zone the whole half; attachments of a seam up to 1300 apart.

Seams:   y = 500 (below row 1), 500 + 1700 + 10 = 2210 (middle of the gap), 500 + 3420 = 3920 (above row 2).
Ribs:    as for rails along the ribs: 1350, 1650; 2250, 2850; 3150, 3750. Furthest apart: 1650 to 2250, 2250 to 2850
         and 3150 to 3750, 600 each.
Counts:  3 seams x 3 columns x 2 = 18 attachments; the middle seam 6 mid clamps, the outer two 12 end clamps; no run.
Parts:   18 brackets, 72 screws, 36 nuts (one, and one more without rail), 12 clips, 1 label, 1 lug, no bar.
Height:  31.75 + 69.85 = 101.6 under the module.
Source: the counting rules of the trade (common practice, no source); arithmetic by hand.
"""

from tests.builders import a_choice, a_job, some_limits
from tests.worked.worksheet import work


def test_the_job_without_rail_comes_out_as_worked():
    sheet = work(a_job(), a_choice(arrangement="direct"), limits=some_limits(1300.0, 0.0))
    ribs = (1350.0, 1650.0, 2250.0, 2850.0, 3150.0, 3750.0)
    assert sheet.attachments_at() == [(x, y) for y in (500.0, 2210.0, 3920.0) for x in ribs]
    counts = sheet.counts.counts
    assert (counts.runs, counts.run_length, counts.pieces, counts.bars) == (0, 0.0, 0, {})
    assert (counts.attachments, counts.mid_clamps, counts.end_clamps) == (18, 6, 12)
    assert sheet.net == {
        "B-AL": 18,
        "SC-AL": 72,
        "N-1": 36,
        "MC-AL": 6,
        "EC-AL": 12,
        "CC-1": 12,
        "L-1": 1,
        "E-1": 1,
    }
    assert [round(each, 2) for each in sheet.under_module_mm] == [101.6]
