"""Counts, and every run and attachment with its place, as JSON. Lengths in mm on the roof plane.

Rows, columns, seams and rails count from 1, as in every place that people read; inside, the first is 0.
"""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from estimator.attachment.records import Run, Seat
from estimator.cutting.records import TENTHS_PER_MM
from estimator.estimate import Estimate
from estimator.takeoff.records import Counts
from estimator.units import DisplayUnits, as_text

Entry = dict[str, Any]
COUNTS = (
    "modules",
    "row_segments",
    "column_segments",
    "runs",
    "run_length",
    "attachments",
    "mid_clamps",
    "end_clamps",
    "pieces",
    "cuts",
    "splices",
    "expansion_splices",
    "arrays",
    "roofs",
    "power",
)


def counts_entry(counts: Counts, units: DisplayUnits) -> Entry:
    """The counts by name."""
    entry: Entry = {name: getattr(counts, name) for name in COUNTS}
    entry["bars"] = dict(counts.bars)
    entry["display"] = {"run_length": as_text(counts.run_length, "length", units)}
    return entry


def roofs_entry(estimate: Estimate) -> list[Entry]:
    """Each roof with its arrays, each array with its runs, or with its seats where there is no rail."""
    runs: dict[tuple[int, int], list[Run]] = defaultdict(list)
    seats: dict[tuple[int, int], list[Seat]] = defaultdict(list)
    for run in estimate.setting_out.runs:
        runs[run.roof, run.array].append(run)
    for seat in estimate.setting_out.seats:
        seats[seat.roof, seat.array].append(seat)
    joints = _joints(estimate)
    units = estimate.job.display_units
    return [
        {
            "name": roof.name,
            "counts": counts_entry(roof.counts, units),
            "arrays": [
                {
                    "name": array.name,
                    "counts": counts_entry(array.counts, units),
                    "runs": [_run(each, joints[each.key]) for each in runs[roof.roof, array.array]],
                    "seats": [_seat(each) for each in seats[roof.roof, array.array]],
                }
                for array in roof.arrays
            ],
        }
        for roof in estimate.counts.roofs
    ]


def _joints(estimate: Estimate) -> dict[int, list[tuple[float, str]]]:
    """The joints by the key of their run; the cut plan numbers runs in their order."""
    joints: dict[int, list[tuple[float, str]]] = defaultdict(list)
    runs = estimate.setting_out.runs
    for joint in estimate.cut_plan.joints if estimate.cut_plan else ():
        joints[runs[joint.run].key].append((joint.at / TENTHS_PER_MM, joint.kind))
    return joints


def _run(run: Run, joints: list[tuple[float, str]]) -> Entry:
    along_x = run.axis == "x"
    end = (run.start_x + run.length_mm, run.start_y) if along_x else (run.start_x, run.start_y + run.length_mm)
    return {
        "label": run.label,
        "row": run.line + 1 if along_x else None,
        "column": None if along_x else run.line + 1,
        "rail": run.position + 1,
        "start": [run.start_x, run.start_y],
        "end": list(end),
        "length": run.length_mm,
        "attachments": list(run.attachments_mm),
        "splices": sorted(at for at, kind in joints if kind == "splice"),
        "expansion_splices": sorted(at for at, kind in joints if kind == "expansion"),
        "utilisation": max(run.utilisations) if run.utilisations else None,
        "utilisations": list(run.utilisations),
        "zones": list(run.zones),
    }


def _seat(seat: Seat) -> Entry:
    return {
        "seam": seat.seam + 1,
        "column": seat.column + 1,
        "at": [seat.x, seat.y],
        "clamp": seat.clamp,
        "utilisation": seat.utilisation,
        "zone": seat.zone,
    }
