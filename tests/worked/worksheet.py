"""Takes one job through layout, setting-out, counting and the book's rules, as the worked examples need it."""

from dataclasses import dataclass

from estimator.attachment import SettingOut, clearances, set_out
from estimator.attachment.records import Limits, MountingChoice
from estimator.cutting.records import CutPlan
from estimator.job import Job
from estimator.layout import Layout, lay_out
from estimator.takeoff import JobCounts, count, net_lines, sums_differ
from tests.builders import a_book, some_limits


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
    assert layout.findings == () and setting_out.findings == ()
    assert sums_differ(layout, setting_out, counts, plan, lines) == ()
    under = [each.under_module_mm for each in clearances(job, choice, book)[0]]
    return Worksheet(layout, setting_out, counts, {line.part: line.net for line in lines}, under)
