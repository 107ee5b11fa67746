"""Equal pieces of bars cut alike, gathered for each job: how many of one length, and the places they are for.

The bars of a pattern are cut alike, so that pieces of one cut are interchangeable: as many as a job has there are
marked for it. Nothing is left out: the places of all rows sum up to the pieces. Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from estimator.documents.sawing.pieces import SawPiece
from estimator.places import Place
from estimator.sentences import Sentence, joined, say


@dataclass(frozen=True, slots=True)
class PieceGroup:
    """``count`` pieces of one length from one cut of a pattern's bars, for one job; ``first`` is one of them."""

    first: SawPiece
    count: int
    places: tuple[Sentence, ...]


def grouped(pieces: Sequence[SawPiece]) -> tuple[PieceGroup, ...]:
    """The pieces by pattern, cut and job, in this order; jobs in the order of their quotes."""
    order = {quote: at for at, quote in enumerate(dict.fromkeys(piece.quote for piece in pieces))}

    def key(piece: SawPiece) -> tuple[int, int, int]:
        return piece.pattern, piece.cut, order[piece.quote]

    found = []
    for _, members in groupby(sorted(pieces, key=key), key):
        alike = list(members)
        found.append(PieceGroup(alike[0], len(alike), tuple(places_of(alike))))
    return tuple(found)


def places_of(pieces: Sequence[SawPiece]) -> Iterator[Sentence]:
    """The labels of pieces without their job, rows or columns that follow each other in one.

    >>> from types import SimpleNamespace as Piece
    >>> at = [Piece(run=Place(roof="South", array="A", row=row, rail=1), piece=2) for row in (1, 2, 3, 5)]
    >>> [str(each) for each in places_of(at)]
    ['South / A / rows 1 to 3 / rail 1 · 2', 'South / A / row 5 / rail 1 · 2']
    """
    lines: dict[tuple[Place, str, int], list[int]] = {}
    for piece in pieces:
        run = piece.run
        along = "row" if run.row is not None else "column" if run.column is not None else ""
        others = replace(run, row=None, column=None) if along else run
        number = run.row if along == "row" else run.column
        lines.setdefault((others, along, piece.piece), []).append(number or 0)
    for (others, along, number), found in lines.items():
        for first, last in _stretches(sorted(found)):
            yield joined(" · ", (_said(others, along, first, last), str(number)))


def _stretches(numbers: Sequence[int]) -> Iterator[tuple[int, int]]:
    """The first and last of numbers that follow each other."""
    first = last = numbers[0]
    for number in numbers[1:]:
        if number > last + 1:
            yield first, last
            first = number
        last = number
    yield first, last


def _said(others: Place, along: str, first: int, last: int) -> Sentence | Place:
    if not along:
        return others
    if first == last:
        return replace(others, row=first) if along == "row" else replace(others, column=first)
    stretch = {
        "row": say("rows {first} to {last}", first=str(first), last=str(last)),
        "column": say("columns {first} to {last}", first=str(first), last=str(last)),
    }[along]
    section = (say("part {number}", number=str(others.section)),) if others.section else ()
    rail = (say("rail {number}", number=str(others.rail)),) if others.rail else ()
    named = [each for each in (others.roof, others.array) if each]
    return joined(" / ", (*named, joined(", ", (stretch, *section)), *rail))
