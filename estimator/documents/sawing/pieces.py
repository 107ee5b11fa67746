"""The saw list of a cut plan: bars cut alike under one pattern, pieces in cutting order, a label on every piece."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from estimator.cutting.records import TENTHS_PER_MM, CutPlan
from estimator.documents.order.csv import RUNS_AS_FORMULA

Profile = Literal["machine", "spreadsheet"]
COLUMNS = (
    "pattern", "pattern_bars", "bar", "part", "stock_mm", "from_yard", "cut", "length_mm", "label", "run", "piece",
    "start_in_run_mm", "offcut_mm", "offcut_kept",
)  # fmt: skip
LENGTHS = ("stock_mm", "length_mm", "start_in_run_mm", "offcut_mm")
MM_PER_INCH = 25.4


@dataclass(frozen=True, slots=True)
class SawPiece:
    """One piece to be cut. ``bar`` counts all bars, ``cut`` the pieces of one bar, ``piece`` those of its run.

    ``offcut_mm`` and ``offcut_kept`` are of the whole bar; ``at_run`` is the run's place in the plan.
    """

    pattern: int
    pattern_bars: int
    bar: int
    part: str
    stock_mm: float
    from_yard: bool
    cut: int
    length_mm: float
    label: str
    run: str
    piece: int
    start_in_run_mm: float
    offcut_mm: float
    offcut_kept: bool
    at_run: int


def saw_pieces(plan: CutPlan, job: str = "") -> Iterator[SawPiece]:
    """Every piece of the plan, pattern by pattern, bar by bar, in cutting order.

    Args:
        plan: the cut plan.
        job: put before every label, so that pieces of several jobs cut together stay apart.

    """
    bar_number = 0
    for pattern_number, pattern in enumerate(plan.bars, start=1):
        for places in pattern.labels:
            bar_number += 1
            for cut, place in enumerate(places, start=1):
                run = plan.run_labels[place.run]
                label = " · ".join(part for part in (job, run, str(place.number + 1)) if part)
                yield SawPiece(
                    pattern=pattern_number,
                    pattern_bars=pattern.count,
                    bar=bar_number,
                    part=pattern.part,
                    stock_mm=pattern.stock_length / TENTHS_PER_MM,
                    from_yard=pattern.from_yard,
                    cut=cut,
                    length_mm=place.length / TENTHS_PER_MM,
                    label=label,
                    run=run,
                    piece=place.number + 1,
                    start_in_run_mm=place.start / TENTHS_PER_MM,
                    offcut_mm=pattern.offcut / TENTHS_PER_MM,
                    offcut_kept=pattern.reusable,
                    at_run=place.run,
                )


def saw_columns(inches: bool = False) -> tuple[str, ...]:
    """The heads of the saw list as CSV; inches stand behind everything else."""
    return (*COLUMNS, *(f"{name.removesuffix('_mm')}_in" for name in LENGTHS)) if inches else COLUMNS


def write_saw_csv(
    plan: CutPlan, job: str = "", profile: Profile = "machine", delimiter: str = ",", inches: bool = False
) -> bytes:
    """The saw list as CSV (RFC 4180), one row a piece; the same plan, the same bytes.

    ``machine``: UTF-8 without a byte order mark, every value as it is. ``spreadsheet``: with a byte order mark, and an
    apostrophe before texts that a spreadsheet would run as a formula. ``inches``: every length again in inches.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=delimiter, lineterminator="\r\n")
    writer.writerow(saw_columns(inches))
    for piece in saw_pieces(plan, job):
        more = [f"{getattr(piece, name) / MM_PER_INCH:.3f}" for name in LENGTHS] if inches else []
        writer.writerow([*(cell_of(getattr(piece, name), profile) for name in COLUMNS), *more])
    return text.getvalue().encode("utf-8-sig" if profile == "spreadsheet" else "utf-8", "replace")


def cell_of(value: str | float | bool, profile: Profile) -> str:
    """A value as it stands in the table; texts that a spreadsheet would run are made inert for people."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.1f}".removesuffix(".0")
    if isinstance(value, str) and profile == "spreadsheet" and value.startswith(RUNS_AS_FORMULA):
        return f"'{value}"
    return str(value)
