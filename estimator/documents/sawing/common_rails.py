"""The saw list of an order: the pieces of several quotes cut from common bars, each with its quote, job and place."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from estimator.documents.sawing.pieces import SawPiece, saw_pieces
from estimator.errors import Conflict
from estimator.orders import CommonCut, CutSheet
from estimator.sentences import joined, say

NOTHING = say("no rails of this order are cut from common bars: each quote has a saw list of its own")


@dataclass(frozen=True, slots=True)
class OrderPiece:
    """One piece with its rail, its quote and the quote's job; patterns and bars are counted over all rails."""

    rail: str
    quote: str
    job: str
    piece: SawPiece


@dataclass(frozen=True, slots=True)
class SawnRail:
    """One rail cut together: the plan, what the saw must know, the number of its first pattern, and its pieces."""

    common: CommonCut
    sheet: CutSheet
    first_pattern: int
    pieces: tuple[OrderPiece, ...]


def sawn_rails(together: Sequence[CommonCut]) -> tuple[SawnRail, ...]:
    """Every rail that is cut from common bars, patterns and bars numbered through.

    Refuses (Conflict) an order without any.
    """
    rails = []
    patterns = bars = 0
    for common in together:
        if common.used and common.sheet is not None:
            pieces = tuple(_pieces(common, common.sheet, patterns, bars))
            rails.append(SawnRail(common, common.sheet, patterns + 1, pieces))
            patterns += len(common.plan.bars)
            bars += sum(pattern.count for pattern in common.plan.bars)
    if not rails:
        raise Conflict(NOTHING)
    return tuple(rails)


def _pieces(common: CommonCut, sheet: CutSheet, patterns: int, bars: int) -> Iterator[OrderPiece]:
    for piece in saw_pieces(common.plan):
        at = bisect_right(common.run_offsets, piece.at_run) - 1
        quote, job = common.quotes[at], sheet.jobs[at]
        run = replace(piece.run, quote="")
        label = joined(" · ", ([job] if job else []) + [quote, run, str(piece.piece)])
        numbered = replace(piece, pattern=piece.pattern + patterns, bar=piece.bar + bars)
        placed = replace(numbered, run=run, label=label, quote=quote, job=job)
        yield OrderPiece(common.rail, quote, job, placed)
