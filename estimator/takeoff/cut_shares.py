"""What of a cut plan belongs to which run: pieces, cuts, splices; and the bars by stock length."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.cutting import CutPlan
from estimator.cutting.records import TENTHS_PER_MM


@dataclass(slots=True)
class CutShare:
    """The pieces of one run, the cuts that make them, and the joints between them."""

    pieces: int = 0
    cuts: int = 0
    splices: int = 0
    expansion_splices: int = 0


def shares_of_runs(plan: CutPlan, runs: int) -> list[CutShare]:
    """For every run its share of the plan; the shares add up to the plan's own totals.

    A cut belongs to the piece it frees; a bar's trimming cuts belong to its first piece, and a piece that ends flush
    with the bar's end needs none. Source: common practice, no source.
    """
    shares = [CutShare() for _ in range(runs)]
    for pattern in plan.bars:
        for bar in pattern.labels:
            for number, place in enumerate(bar):
                shares[place.run].pieces += 1
                shares[place.run].cuts += _cuts_of_piece(pattern.cuts, number, len(bar))
    for joint in plan.joints:
        if joint.kind == "expansion":
            shares[joint.run].expansion_splices += 1
        else:
            shares[joint.run].splices += 1
    return shares


def _cuts_of_piece(cuts: int, number: int, pieces: int) -> int:
    """Of the cuts of one bar those of its piece number ``number``."""
    own = 1 if number < cuts else 0
    return own + (max(0, cuts - pieces) if number == 0 else 0)


def bars_by_length(plan: CutPlan | None) -> dict[str, int]:
    """How many bars of each stock length, the length in mm as text: "4267.2", "6000"."""
    bars: dict[str, int] = {}
    for each in plan.bars_by_length if plan else ():
        length = length_text(each.length)
        bars[length] = bars.get(length, 0) + each.count
    return bars


def length_text(tenths: int) -> str:
    """A length in tenths of a millimetre as text in mm.

    >>> length_text(42672), length_text(60000)
    ('4267.2', '6000')
    """
    whole, tenth = divmod(tenths, TENTHS_PER_MM)
    return f"{whole}.{tenth}" if tenth else str(whole)
