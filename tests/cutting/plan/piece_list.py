"""A list of pieces as runs of their own that stay whole: how tests ask for a whole plan without a roof."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.cutting.instance import instance_of
from estimator.cutting.plan.planning import plan_cuts
from estimator.cutting.records import (
    TENTHS_PER_MM,
    CutPlan,
    CutRun,
    CuttingProblem,
    Demand,
    Effort,
    JointRules,
    Saw,
    Stock,
)
from estimator.places import Place


def cut_list(pieces: Sequence[Demand], offer: Sequence[Stock], saw: Saw, effort: Effort | None = None) -> CutPlan:
    """Cuts a list of pieces: every piece is a run of its own, numbered in the order of the list, and stays whole.

    Args:
        pieces: lengths in tenths of a mm, with counts.
        offer: bars, as for `plan_cuts`.
        saw: kerf, trim, value of off-cuts.
        effort: how far to search.

    Raises:
        Refused: if a number is out of range, a piece is longer than every bar, or the bars on hand do not suffice.

    >>> plan = cut_list([Demand(17_220, 40)], [Stock("R6", 60_000, 2150)], Saw(kerf=30))
    >>> plan.bars_by_length[0].count, plan.cost, plan.proven_optimal, plan.run_places[0].piece
    (14, 30100, True, 1)

    """
    instance_of(CuttingProblem(tuple(offer), tuple(pieces), saw))
    lengths = [piece.length / TENTHS_PER_MM for piece in pieces for _ in range(piece.count)]
    runs = [CutRun(Place(piece=number), length) for number, length in enumerate(lengths, start=1)]
    return plan_cuts(runs, offer, JointRules(), saw, 0, effort)
