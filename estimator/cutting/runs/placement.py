"""Every piece gets its bar, its run and its place; bars cut alike stand together."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from estimator.cutting.instance import usable_length
from estimator.cutting.records import BarPattern, Joint, Pattern, PiecePlace, Saw, Stock
from estimator.cutting.runs.compositions import Composition, lengths_of
from estimator.cutting.runs.joint_rules import Member
from estimator.cutting.runs.sorting import SortedRuns

Chosen = dict[Member, tuple[tuple[Composition, int], ...]]


@dataclass(frozen=True, slots=True)
class PlacedPieces:
    """All pieces in the order of the runs, and the joints between them."""

    pieces: tuple[PiecePlace, ...]
    joints: tuple[Joint, ...]


def place_pieces(found: SortedRuns, chosen: Chosen) -> PlacedPieces:
    """Gives every member its composition (the first places take the first one) and numbers the pieces of each run."""
    stretches: list[tuple[int, int, int]] = []
    joints = [Joint(run, at, "expansion") for run, at in found.expansions]
    for length, places in found.whole.items():
        stretches.extend((place.run, place.start, length) for place in places)
    for member, places in found.kinds.items():
        waiting = iter(places)
        for composition, times in chosen[member]:
            for _ in range(times):
                place = next(waiting)
                joints.extend(Joint(place.run, place.start + joint, "splice") for joint in composition)
                start = place.start
                for length in lengths_of(member, composition):
                    stretches.append((place.run, start, length))
                    start += length
    return PlacedPieces(tuple(_numbered(sorted(stretches))), tuple(sorted(joints, key=lambda j: (j.run, j.at))))


def _numbered(stretches: Iterable[tuple[int, int, int]]) -> Iterable[PiecePlace]:
    last, number = -1, 0
    for run, start, length in stretches:
        number = number + 1 if run == last else 0
        last = run
        yield PiecePlace(run, number, start, length)


def fill_bars(
    patterns: Sequence[Pattern], offer: Sequence[Stock], saw: Saw, pieces: Sequence[PiecePlace]
) -> tuple[BarPattern, ...]:
    """The patterns with a place for every piece, pieces of one length handed out in the order of the runs."""
    waiting: dict[int, deque[PiecePlace]] = {}
    for piece in pieces:
        waiting.setdefault(piece.length, deque()).append(piece)
    bars = []
    for pattern in patterns:
        labels = tuple(tuple(waiting[length].popleft() for length in pattern.pieces) for _ in range(pattern.count))
        bars.append(bar_pattern(pattern, offer[pattern.stock], saw, labels))
    return tuple(bars)


def bar_pattern(pattern: Pattern, stock: Stock, saw: Saw, labels: tuple[tuple[PiecePlace, ...], ...]) -> BarPattern:
    """One group of bars cut alike, with its saw cuts and what is left of each; bars without pieces stay whole."""
    if pattern.pieces:
        cuts, offcut = cuts_and_offcut(stock, saw, pattern.pieces)
        reusable = saw.reusable_length is not None and offcut >= max(1, saw.reusable_length)
    else:
        cuts, offcut, reusable = 0, stock.length, True
    return BarPattern(
        stock.part,
        stock.length,
        pattern.count,
        pattern.pieces,
        labels,
        offcut,
        reusable,
        stock.price,
        cuts,
        stock.is_offcut,
        stock.price_from,
    )


def cuts_and_offcut(stock: Stock, saw: Saw, pieces: Sequence[int]) -> tuple[int, int]:
    """Saw cuts on one bar, and the length left after the last.

    Each piece takes one cut, except a last one that ends flush with an untrimmed bar. A trimmed bar takes one more at
    its start, and its last piece always one.

    >>> cuts_and_offcut(Stock("R6", 60_000, 1), Saw(kerf=30), (29_985, 29_985))
    (1, 0)
    >>> cuts_and_offcut(Stock("R6", 60_000, 1), Saw(kerf=30), (29_985, 20_000))
    (2, 9955)
    """
    left = usable_length(stock, saw) + saw.kerf - sum(pieces) - len(pieces) * saw.kerf
    trimmed = saw.end_trim > 0 and not stock.is_offcut
    if trimmed:
        return len(pieces) + 1, max(0, left - saw.kerf)
    return (len(pieces) if left > 0 else len(pieces) - 1), max(0, left - saw.kerf)
