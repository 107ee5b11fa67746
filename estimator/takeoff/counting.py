"""Counts by name, for every array, roof and the job, from what is laid and set out and from what is cut."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import fsum

from estimator.attachment import Run, Seat, SettingOut
from estimator.cutting import CutPlan
from estimator.job import Job
from estimator.layout import ArrayLayout, Layout
from estimator.takeoff.cut_shares import CutShare, bars_by_length, shares_of_runs
from estimator.takeoff.records import ArrayCounts, Counts, JobCounts, RoofCounts

_SUMMED = (
    "modules",
    "row_segments",
    "column_segments",
    "runs",
    "attachments",
    "mid_clamps",
    "end_clamps",
    "pieces",
    "cuts",
    "splices",
    "expansion_splices",
    "arrays",
    "roofs",
)


@dataclass(slots=True)
class _DrawnCounts:
    """What stands on one array."""

    runs: list[Run] = field(default_factory=list)
    seats: list[Seat] = field(default_factory=list)


def count(job: Job, layout: Layout, setting_out: SettingOut, cut_plan: CutPlan | None) -> JobCounts:
    """The counts of the job, its roofs and its arrays.

    On a rail: one mid clamp per joint between neighbouring modules, one end clamp at each end; two end clamps and
    no mid clamp where a gap is wider than the others. Without rail every seat takes the clamp it is set out with.
    Pieces, cuts and splices are those of the cut plan (0 without one), each with the run it belongs to; bars are
    the job's alone. Lengths in mm, power in W. Source: common practice, no source.
    """
    cut = shares_of_runs(cut_plan, len(setting_out.runs)) if cut_plan else []
    return count_shares(job, layout, setting_out, cut, bars_by_length(cut_plan))


def count_shares(
    job: Job, layout: Layout, setting_out: SettingOut, cut: Sequence[CutShare], bars: dict[str, int]
) -> JobCounts:
    """The counts with what every run takes of pieces, cuts and splices (none: no rails are cut), and the job's bars."""
    drawn: dict[tuple[int, int], _DrawnCounts] = defaultdict(_DrawnCounts)
    for run in setting_out.runs:
        drawn[run.roof, run.array].runs.append(run)
    for seat in setting_out.seats:
        drawn[seat.roof, seat.array].seats.append(seat)
    roofs = tuple(
        _roof(
            roof.roof,
            roof.name,
            [_array(job, roof.roof, each, drawn[roof.roof, each.array], cut) for each in roof.arrays],
        )
        for roof in layout.roofs
    )
    total = summed((roof.counts for roof in roofs), bars)
    return JobCounts(total, roofs)


def _array(job: Job, roof: int, laid: ArrayLayout, drawn: _DrawnCounts, cut: Sequence[CutShare]) -> ArrayCounts:
    pieces = [cut[run.key] for run in drawn.runs] if cut else []
    mids = sum(seat.clamp == "mid_clamp" for seat in drawn.seats)
    counts = Counts(
        modules=laid.modules,
        row_segments=len(laid.row_segments),
        column_segments=len(laid.column_segments),
        runs=len(drawn.runs),
        run_length=round(fsum(run.length_mm for run in drawn.runs), 3),
        attachments=sum(len(run.attachments_mm) for run in drawn.runs) + len(drawn.seats),
        mid_clamps=sum(run.mid_clamps for run in drawn.runs) + mids,
        end_clamps=sum(run.end_clamps for run in drawn.runs) + len(drawn.seats) - mids,
        pieces=sum(each.pieces for each in pieces),
        cuts=sum(each.cuts for each in pieces),
        splices=sum(each.splices for each in pieces),
        expansion_splices=sum(each.expansion_splices for each in pieces),
        arrays=1,
        power=laid.modules * job.module.power_w,
    )
    return ArrayCounts(roof, laid.array, laid.name, counts)


def _roof(number: int, name: str, arrays: list[ArrayCounts]) -> RoofCounts:
    counts = summed((array.counts for array in arrays), roofs=1)
    return RoofCounts(number, name, counts, tuple(arrays))


def summed(parts: Iterable[Counts], bars: dict[str, int] | None = None, roofs: int = 0) -> Counts:
    """Several counts added up; bars and, for one roof, the roof itself are given beside."""
    every = list(parts)
    whole = {name: sum(getattr(part, name) for part in every) for name in _SUMMED}
    whole["roofs"] += roofs
    length = round(fsum(part.run_length for part in every), 3)
    return Counts(**whole, run_length=length, power=fsum(part.power for part in every), bars=bars or {})
