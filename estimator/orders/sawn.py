"""What the off-cuts of an order are sawn into, and for which quotes: by the common plans, else by each quote's own."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence

from estimator.cutting.records import TENTHS_PER_MM, BarPattern
from estimator.orders.records import CommonCut, OrderedQuote
from estimator.sentences import Sentence, figure, joined, say


def sawn_into(part: str, quotes: Sequence[OrderedQuote], together: Sequence[CommonCut]) -> tuple[Sentence, ...]:
    """A sentence for each way in which off-cuts of a part are sawn, the commonest first."""
    used = [common for common in together if common.used]
    ways: Counter[tuple[tuple[int, str], ...]] = Counter()
    for common in used:
        for bar in _bars(part, common.plan.bars):
            owners = [
                [common.quotes[bisect_right(common.run_offsets, place.run) - 1] for place in places]
                for places in bar.labels
            ]
            ways.update(_ways(bar, owners))
    for quote in quotes:
        plan = getattr(quote.estimate, "cut_plan", None)
        if plan is not None and not any(quote.number in common.quotes for common in used):
            for bar in _bars(part, plan.bars):
                ways.update(_ways(bar, [[quote.number] * len(bar.pieces)] * bar.count))
    return tuple(_said(count, pieces) for pieces, count in sorted(ways.items(), key=lambda way: (-way[1], way[0])))


def _bars(part: str, bars: Sequence[BarPattern]) -> Iterator[BarPattern]:
    return (bar for bar in bars if bar.from_yard and bar.part == part)


def _ways(bar: BarPattern, owners: Sequence[Sequence[str]]) -> Iterator[tuple[tuple[int, str], ...]]:
    """Lengths and quotes of the pieces of each bar, the longest first."""
    for own in owners:
        yield tuple(sorted(zip(bar.pieces, own, strict=True), key=lambda piece: (-piece[0], piece[1])))


def _said(count: int, pieces: Sequence[tuple[int, str]]) -> Sentence:
    if not pieces:
        return say("{count} stay whole", count=count)
    each = [
        say(
            "{count} × {length} for {quote}",
            count=number,
            length=figure(length / TENTHS_PER_MM, "g", " mm", "length"),
            quote=quote,
        )
        for (length, quote), number in Counter(pieces).items()
    ]
    return say("{count} sawn into {pieces}", count=count, pieces=joined(" + ", each))
