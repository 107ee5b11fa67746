"""The two plain ways of buying rail, to say what the plan saves against them.

`rounded_up`: every run takes its length divided by the bar, rounded up, and nothing left over is used again.
`full_bars`: every run is made of pieces as long as the bar and the rules of joining allow and a remainder; remainders
are cut from bars first fit decreasing. Both use the one bar length that makes them cheapest, at the price of the number
of bars they take. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from estimator.cutting.instance import usable_length
from estimator.cutting.plan.price_breaks import level_at
from estimator.cutting.records import PlainMethod, Saw, Stock
from estimator.cutting.runs.compositions import furthest_first, lengths_of
from estimator.cutting.runs.sorting import SortedRuns


def rounded_up(offer: Sequence[Stock], saw: Saw, found: SortedRuns, splice_price: int) -> PlainMethod:
    """Length divided by bar, rounded up, run by run; where joints may stand is left out of account."""
    options = []
    for stock in _new_bars(offer):
        usable = usable_length(stock, saw)
        if usable <= 0:
            continue
        bars = splices = 0
        for length, count in _members(found):
            each = -(-length // usable)
            bars += each * count
            splices += (each - 1) * count
        options.append(_method("rounded_up", stock, bars, splices, splice_price))
    return _cheapest("rounded_up", options)


def full_bars(offer: Sequence[Stock], saw: Saw, found: SortedRuns, splice_price: int) -> PlainMethod:
    """Full bars, then a remainder; all pieces first fit decreasing."""
    options = []
    for stock in _new_bars(offer):
        usable = usable_length(stock, saw)
        pieces, splices = _full_pieces(found, usable)
        if pieces is not None:
            bars = _first_fit(pieces, usable + saw.kerf, saw.kerf)
            options.append(_method("full_bars", stock, bars, splices, splice_price))
    return _cheapest("full_bars", options)


def _new_bars(offer: Sequence[Stock]) -> list[Stock]:
    return [stock for stock in offer if not stock.is_offcut and stock.available is None]


def _members(found: SortedRuns) -> list[tuple[int, int]]:
    return [
        *((length, len(places)) for length, places in found.whole.items()),
        *((member.length, len(places)) for member, places in found.kinds.items()),
    ]


def _full_pieces(found: SortedRuns, usable: int) -> tuple[dict[int, int] | None, int]:
    """Pieces with their counts and the splices between them; None where this bar cannot make a run."""
    pieces: dict[int, int] = {}
    splices = 0
    if any(length > usable for length in found.whole):
        return None, 0
    for length, places in found.whole.items():
        pieces[length] = pieces.get(length, 0) + len(places)
    for member, places in found.kinds.items():
        ways = furthest_first(member, usable, [usable]) if usable > 0 else []
        if not ways:
            return None, 0
        splices += len(ways[0]) * len(places)
        for length in lengths_of(member, ways[0]):
            pieces[length] = pieces.get(length, 0) + len(places)
    return pieces, splices


def _first_fit(pieces: dict[int, int], room: int, kerf: int) -> int:
    """Bars that first fit decreasing opens; bars filled alike are kept together as (room left, count)."""
    bars: list[list[int]] = []
    for length in sorted(pieces, reverse=True):
        count, size = pieces[length], length + kerf
        new: list[list[int]] = []
        for left, many in bars:
            while many and count and left >= size:
                each = left // size
                full = min(many, count // each)
                if full:
                    new.append([left - each * size, full])
                    many, count = many - full, count - full * each  # noqa: PLW2901
                else:
                    new.append([left - count * size, 1])
                    many, count = many - 1, 0  # noqa: PLW2901
            if many:
                new.append([left, many])
        each = room // size
        if count // each:
            new.append([room - each * size, count // each])
        if count % each:
            new.append([room - (count % each) * size, 1])
        bars = new
    return sum(many for _, many in bars)


def _method(
    name: Literal["rounded_up", "full_bars"], stock: Stock, bars: int, splices: int, splice_price: int
) -> PlainMethod:
    cost = bars * level_at(stock, bars).price + splices * splice_price
    return PlainMethod(name, True, cost, bars, bars * stock.length, splices)


def _cheapest(name: Literal["rounded_up", "full_bars"], options: list[PlainMethod]) -> PlainMethod:
    if not options:
        return PlainMethod(name, False, 0, 0, 0, 0)
    return min(options, key=lambda method: (method.cost, method.length))
