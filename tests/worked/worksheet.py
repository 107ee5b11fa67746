"""Takes one job through layout, setting-out, counting and the book's rules, as the worked examples need it."""

from dataclasses import dataclass

from estimator.attachment import SettingOut, set_out
from estimator.attachment.records import Limits
from estimator.cutting import plan_cuts
from estimator.cutting.records import CutPlan, JointRules, Saw, Stock
from estimator.job import Job
from estimator.layout import Layout, lay_out
from estimator.mounting import clearances
from estimator.mounting.records import MountingChoice
from estimator.takeoff import JobCounts, count, net_lines, sums_differ
from tests.builders import a_book, a_rail, some_limits


@dataclass(frozen=True)
class Worksheet:
    layout: Layout
    setting_out: SettingOut
    counts: JobCounts
    net: dict[str, int]
    under_module_mm: list[float]

    def attachments_at(self) -> list[tuple[float, float]]:
        """Every attachment as (x, y) on the plane, in the order set out."""
        places = [
            (run.start_x + at, run.start_y) if run.axis == "x" else (run.start_x, run.start_y + at)
            for run in self.setting_out.runs
            for at in run.attachments_mm
        ]
        return places + [(seat.x, seat.y) for seat in self.setting_out.seats]


def work(job: Job, choice: MountingChoice, plan: CutPlan | None = None, limits: Limits | None = None) -> Worksheet:
    book = a_book()
    layout = lay_out(job)
    setting_out = set_out(job, layout, choice, limits or some_limits())
    counts = count(job, layout, setting_out, plan)
    lines = net_lines(job, book, choice, counts, plan)
    # the shares of modules on uneven ribs are noted; nothing else may be said
    assert layout.findings == () and {each.code for each in setting_out.findings} <= {"module_shares"}
    assert sums_differ(layout, setting_out, counts, plan, lines) == ()
    under = [each.under_module_mm for each in clearances(job, choice, book)[0]]
    return Worksheet(layout, setting_out, counts, {line.part: line.net for line in lines}, under)


def planned(sheet: Worksheet, code: str, splice_cents: int) -> CutPlan:
    """The cut plan for the runs of a worked example: bars at 650 cents a metre, 3 mm of kerf, the fixture's rail."""
    rail = a_rail(code)
    bars = [Stock(each.part, round(each.length_mm * 10), round(each.length_mm * 0.65)) for each in rail.stocks]
    rules = JointRules(
        rail.splice_clear_of_attachment_mm,
        rail.min_piece_length_mm,
        rail.min_attachments_per_piece,
        rail.max_continuous_length_mm,
    )
    return plan_cuts(sheet.setting_out.runs, bars, rules, Saw(kerf=30), splice_cents)
