"""Whether what is drawn equals what is counted: sums over the drawing against the counts and the lines' places."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from estimator.attachment import SettingOut
from estimator.cutting import CutPlan
from estimator.errors import Finding
from estimator.layout import Layout
from estimator.places import Place
from estimator.sentences import say
from estimator.takeoff.counting import summed
from estimator.takeoff.records import Counts, JobCounts, NetLine


def sums_differ(
    layout: Layout,
    setting_out: SettingOut,
    counts: JobCounts,
    cut_plan: CutPlan | None = None,
    lines: Iterable[NetLine] = (),
) -> tuple[Finding, ...]:
    """Every sum that does not come out, as an error; empty where what is drawn is what is counted.

    Compared are the modules, runs, attachments and clamps drawn, the pieces, cuts, splices and bars planned, the sums
    over arrays and roofs, and each rule's places with what it asks.
    """
    pairs = [*_drawn(layout, setting_out, counts.counts), *_planned(cut_plan, counts.counts), *_summed(counts)]
    for line in lines:
        pairs += _places(line)
    return tuple(_differ(what, drawn, counted) for what, drawn, counted in pairs if drawn != counted)


Pair = tuple[Place, object, object]


def _drawn(layout: Layout, setting_out: SettingOut, counts: Counts) -> Iterator[Pair]:
    runs, seats = setting_out.runs, setting_out.seats
    arrays = [array for roof in layout.roofs for array in roof.arrays]
    by_rows = sum(part.modules for array in arrays for part in array.row_segments)
    by_columns = sum(part.modules for array in arrays for part in array.column_segments)
    held = sum(run.modules + 1 + run.wide_gaps for run in runs) + len(seats)
    yield Place(aspect="modules_by_rows"), by_rows, counts.modules
    yield Place(aspect="modules_by_columns"), by_columns, counts.modules
    yield Place(aspect="runs"), len(runs), counts.runs
    yield Place(aspect="attachments"), sum(len(run.attachments_mm) for run in runs) + len(seats), counts.attachments
    yield Place(aspect="clamps"), held, counts.mid_clamps + counts.end_clamps


def _planned(plan: CutPlan | None, counts: Counts) -> Iterator[Pair]:
    if plan is None:
        return
    yield Place(aspect="pieces"), plan.pieces, counts.pieces
    yield Place(aspect="cuts"), plan.cuts, counts.cuts
    yield Place(aspect="splices"), plan.splices, counts.splices
    yield Place(aspect="expansion_splices"), plan.expansion_splices, counts.expansion_splices
    yield Place(aspect="bars"), sum(each.count for each in plan.bars_by_length), sum(counts.bars.values())


def _summed(counts: JobCounts) -> Iterator[Pair]:
    yield Place(aspect="roofs"), summed((roof.counts for roof in counts.roofs), dict(counts.counts.bars)), counts.counts
    for roof in counts.roofs:
        yield (
            Place(roof=roof.name, aspect="arrays"),
            summed((array.counts for array in roof.arrays), roofs=1),
            roof.counts,
        )


def _places(line: NetLine) -> Iterator[Pair]:
    for share in line.shares:
        if share.places:
            placed = sum((amount for _, amount in share.places), Fraction(0))
            yield Place(part=line.part, aspect=share.rule), placed, share.asked


def _differ(what: Place, drawn: object, counted: object) -> Finding:
    message = say(
        "{what}: {drawn} drawn or planned, {counted} counted; the estimate contradicts itself",
        what=what,
        drawn=str(drawn),
        counted=str(counted),
    )
    return Finding("sums_differ", "error", message, what, str(drawn), str(counted))
