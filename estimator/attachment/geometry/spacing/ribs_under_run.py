"""The ribs under one run, how far spans may reach between them, and the best choice of so many of them."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from estimator.attachment.geometry.limit_steps import TOLERANCE_MM, LimitSteps


@dataclass(frozen=True, slots=True)
class RibsUnderRun:
    """The ribs of one run: where a span from each may end, and which may be first and last.

    ``furthest[i]`` is the last rib a span from rib i may reach; it never falls as i grows, because a shorter stretch
    covers no smaller limit. The first attachment is one of ribs 0 to ``last_start``, the last one of ``first_end`` on
    (the outermost rib where none is near enough to the end).
    """

    offsets: tuple[float, ...]
    length: float
    furthest: tuple[int, ...]
    last_start: int
    first_end: int

    @staticmethod
    def under(offsets: Sequence[float], length: float, spans: LimitSteps, cantilevers: LimitSteps) -> RibsUnderRun:
        """Look up how far each span and the two cantilevers may reach."""
        count = len(offsets)
        furthest, reach = [], 0
        for i in range(count):
            reach = max(reach, i)
            while reach + 1 < count and _keeps(offsets[i], offsets[reach + 1], spans):
                reach += 1
            furthest.append(reach)
        starts = [i for i in range(count) if _keeps(0.0, offsets[i], cantilevers)]
        ends = [i for i in range(count) if _keeps(offsets[i], length, cantilevers)]
        last_start = starts[-1] if starts else 0
        first_end = ends[0] if ends else count - 1
        return RibsUnderRun(tuple(offsets), length, tuple(furthest), last_start, first_end)

    def capped(self, longest_mm: float) -> RibsUnderRun:
        """The same with no span longer than ``longest_mm``."""
        furthest = tuple(
            min(reach, bisect_right(self.offsets, at + longest_mm + TOLERANCE_MM) - 1)
            for reach, at in zip(self.furthest, self.offsets, strict=True)
        )
        return RibsUnderRun(self.offsets, self.length, furthest, self.last_start, self.first_end)

    def furthest_after(self, first: int, spans: int) -> int:
        """The last rib that so many spans from ``first`` may reach."""
        for _ in range(spans):
            first = self.furthest[first]
        return first

    def fewest(self) -> int | None:
        """Fewest attachments, two at least, or None where no choice of ribs keeps the limits."""
        counts = [self._fewest_from(first) for first in self.starts(2)]
        return min((count for count in counts if count), default=None)

    def _fewest_from(self, first: int) -> int:
        """Always as far as a span may go; 0 where the next rib is too far."""
        at, count = first, 1
        while at < self.first_end or count < 2:
            if self.furthest[at] == at:
                return 0
            at, count = self.furthest[at], count + 1
        return count

    def starts(self, count: int) -> range:
        """Every rib that may be the first of ``count`` attachments."""
        return range(min(self.last_start, len(self.offsets) - count) + 1)

    def lasts(self, first: int, count: int) -> range:
        """Every rib that may be the last of ``count`` attachments when ``first`` is the first.

        All ribs between the nearest and the furthest can be reached: steps may be shortened one rib at a time.
        """
        return range(max(self.first_end, first + count - 1), self.furthest_after(first, count - 1) + 1)

    def reaches(self, count: int) -> bool:
        """Whether ``count`` attachments can do."""
        return any(self.lasts(first, count) for first in self.starts(count))

    def span_lengths(self) -> list[float]:
        """Every length a span may have, ascending, to the tolerance."""
        places, furthest = np.array(self.offsets), np.array(self.furthest)
        numbers = np.arange(len(places))
        lengths: set[float] = set()
        for step in range(1, int((furthest - numbers).max()) + 1):
            may = furthest[:-step] >= numbers[step:]
            lengths.update(np.unique(np.round(places[step:][may] - places[:-step][may], 3)).tolist())
        return sorted(lengths)

    def cantilever_difference(self, first: int, last: int) -> float:
        """How far the two cantilevers differ, mm, to the tolerance."""
        differ = abs(self.offsets[first] - (self.length - self.offsets[last]))
        return round(differ / TOLERANCE_MM) * TOLERANCE_MM


def _keeps(start: float, end: float, limits: LimitSteps) -> bool:
    return end - start <= limits.least(start, end) + TOLERANCE_MM


def most_even(ribs: RibsUnderRun, count: int) -> tuple[int, ...]:
    """The choice of ``count`` ribs whose cantilevers differ least; among those the leftmost."""
    ends = [(first, last) for first in ribs.starts(count) for last in ribs.lasts(first, count)]
    least = min(ribs.cantilever_difference(*pair) for pair in ends)
    even = [pair for pair in ends if ribs.cantilever_difference(*pair) <= least]
    return min(_leftmost(ribs, first, last, count) for first, last in even)


def _leftmost(ribs: RibsUnderRun, first: int, last: int, count: int) -> tuple[int, ...]:
    """From ``first`` to ``last`` over so many ribs, each as far left as the ones after it allow."""
    needed = [last]
    for _ in range(count - 2):
        needed.append(bisect_left(ribs.furthest, needed[-1]))
    chosen = [first]
    for place in reversed(needed):
        chosen.append(max(chosen[-1] + 1, place))
    return tuple(chosen)


Avoided = Mapping[int, int]
"""Per rib, the fewest ribs to be avoided on the way to it."""


def best_avoiding(ribs: RibsUnderRun, count: int, avoid: frozenset[int]) -> tuple[int, ...]:
    """Like the shortest longest span and the most even cantilevers, but with the fewest ribs of ``avoid`` first."""
    least = min(_ways(ribs, ribs.starts(count), count, avoid)[-1].values())

    def can(longest_mm: float) -> bool:
        capped = ribs.capped(longest_mm)
        return least in _ways(capped, capped.starts(count), count, avoid)[-1].values()

    lengths = ribs.span_lengths()
    ribs = ribs.capped(lengths[bisect_left(lengths, True, key=can)])
    ways = {first: _ways(ribs, range(first, first + 1), count, avoid) for first in ribs.starts(count)}
    ends = [(first, last) for first, way in ways.items() for last, cost in way[-1].items() if cost == least]
    even = min(ribs.cantilever_difference(*pair) for pair in ends)
    best = [pair for pair in ends if ribs.cantilever_difference(*pair) <= even]
    return min(_leftmost_avoiding(ribs, ways[first], last, avoid) for first, last in best)


def _ways(ribs: RibsUnderRun, starts: range, count: int, avoid: frozenset[int]) -> list[dict[int, int]]:
    """For the first, second ... last attachment: the ribs it may stand on, each with the fewest avoided so far."""
    layers = [{first: int(first in avoid) for first in starts}]
    needed = _needed(ribs, count)
    for number in range(1, count):
        layer: dict[int, int] = {}
        for i, cost in layers[-1].items():
            for j in range(max(i + 1, needed[number]), ribs.furthest[i] + 1):
                layer[j] = min(layer.get(j, count), cost + (j in avoid))
        layers.append(layer)
    return layers


def _needed(ribs: RibsUnderRun, count: int) -> list[int]:
    """How far right the first, second ... last attachment has to be at least, so that the rest can reach the end."""
    needed = [ribs.first_end]
    for _ in range(count - 1):
        needed.append(bisect_left(ribs.furthest, needed[-1]))
    return needed[::-1]


def _leftmost_avoiding(
    ribs: RibsUnderRun, ways: Sequence[Mapping[int, int]], last: int, avoid: frozenset[int]
) -> tuple[int, ...]:
    """The leftmost of the cheapest ways to ``last``."""
    good: list[set[int]] = [{last}]
    for number in range(len(ways) - 1, 0, -1):
        layer, after = ways[number], good[-1]
        good.append(
            {
                i
                for i, cost in ways[number - 1].items()
                if any(i < j <= ribs.furthest[i] and layer[j] == cost + (j in avoid) for j in after)
            }
        )
    chosen = [min(good.pop())]
    for number, stands in enumerate(reversed(good), start=1):
        at, cost = chosen[-1], ways[number - 1][chosen[-1]]
        chosen.append(min(j for j in stands if at < j <= ribs.furthest[at] and ways[number][j] == cost + (j in avoid)))
    return tuple(chosen)
