"""The saw list of a cut plan: bars cut alike under one pattern, pieces in cutting order, a label on every piece."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from estimator.cutting.records import TENTHS_PER_MM, CutPlan
from estimator.places import Place
from estimator.sentences import Sentence, joined


@dataclass(frozen=True, slots=True)
class SawPiece:
    """One piece to be cut. ``bar`` counts all bars, ``cut`` the pieces of one bar, ``piece`` those of its run.

    ``offcut_mm`` and ``offcut_kept`` are of the whole bar; ``at_run`` is the run's place in the plan; ``quote`` and
    ``job`` tell whose it is where several are cut together.
    """

    pattern: int
    pattern_bars: int
    bar: int
    part: str
    stock_mm: float
    from_yard: bool
    cut: int
    length_mm: float
    label: Sentence
    run: Place
    piece: int
    start_in_run_mm: float
    offcut_mm: float
    offcut_kept: bool
    at_run: int
    quote: str = ""
    job: str = ""


def saw_pieces(plan: CutPlan, job: str = "") -> Iterator[SawPiece]:
    """Every piece of the plan, pattern by pattern, bar by bar, in cutting order.

    Args:
        plan: the cut plan.
        job: put before every label, so that pieces of several jobs cut together stay apart.

    """
    yield from _pieces(plan, job, sawn_only=False)


def sawn_pieces(plan: CutPlan, job: str = "") -> Iterator[SawPiece]:
    """Those pieces of the plan that the saw makes: of bars that are cut. Bars and patterns keep their numbers."""
    yield from _pieces(plan, job, sawn_only=True)


def _pieces(plan: CutPlan, job: str, *, sawn_only: bool) -> Iterator[SawPiece]:
    bar_number = 0
    for pattern_number, pattern in enumerate(plan.bars, start=1):
        for places in pattern.labels:
            bar_number += 1
            if sawn_only and not pattern.cuts:
                continue
            for cut, place in enumerate(places, start=1):
                run = plan.run_places[place.run]
                label = joined(" · ", ([job] if job else []) + [run, str(place.number + 1)])
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
