"""Shortest paths of single members over the places where joints may stand, when a piece of each length has its price.

All places are gone through together, joint after joint: many small searches in arrays of 32 bits.
Source: Bellman, Quarterly of Applied Mathematics 16 (1958) 87.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from estimator.cutting.runs.compositions import Composition
from estimator.cutting.splicing.position_graph.graph import Ints
from estimator.cutting.splicing.quick.joint_nodes import JointNodes
from estimator.cutting.tuning import RECREATION

Bools = NDArray[np.bool_]
Prices = NDArray[np.int32]
FAR = 1 << 29
"""What cannot be made costs this or more: two of it fit 32 bits, which take half the time of 64."""


class Paths:
    """Shortest paths of one kind of member over its places.

    Prices of pieces are those of lengths in whole `RECREATION.step`, rounded up; the last one is that of no way. For
    every place the pieces that end there stand in one row, so that a step over all of them is one sum and one minimum.
    """

    def __init__(self, nodes: JointNodes, kind: int, longest: int) -> None:
        here = slice(int(nodes.first[kind]), int(nodes.first[kind + 1]))
        self.place = nodes.low[here]
        self.length = int(nodes.length[kind])
        self._none = steps_of(longest) + 1
        span, least, bearing = nodes.span[here], int(nodes.least[kind]), int(nodes.bearing[kind])
        whole = np.array([self.length], dtype=np.int64)
        self._whole = int(self._steps(whole, whole <= longest)[0])
        rest = self.length - self.place
        self._first = self._steps(self.place, (self.place >= least) & (span + 1 >= bearing))
        self._last = self._steps(rest, (rest >= least) & (int(nodes.attachments[kind]) - 1 - span >= bearing))
        self._span, self._least, self._bearing = span, least, bearing
        self._between: Ints | None = None

    def _steps(self, lengths: Ints, good: Bools) -> Ints:
        return np.where(good, np.minimum(-(-lengths // RECREATION.step), self._none), self._none)

    def _rows(self) -> Ints:
        """Lengths, in steps, of the pieces to every place (columns) from those before it, the last row the next."""
        if self._between is None:
            place, count = self.place, len(self.place)
            first = np.searchsorted(place, place - self._none * RECREATION.step)
            self._width = width = int((np.arange(count) - first).max(initial=0))
            source = np.arange(-width, 0)[:, None] + np.arange(count)[None, :]
            known = np.maximum(source, 0)
            lengths = place[None, :] - place[known]
            good = (source >= 0) & (lengths >= self._least) & (self._span[None, :] - self._span[known] >= self._bearing)
            self._between = self._steps(lengths, good)
            self._padded = np.full(width + count, FAR, dtype=np.int32)
            self._windows = sliding_window_view(self._padded, count)[:width]
            self._sums = np.empty(self._between.shape, dtype=np.int32)
        return self._between

    @property
    def size(self) -> int:
        """How many pieces one search looks at."""
        return 1 if self._between is None else 1 + self._between.size

    def cheapest(self, price: Prices, splice: int) -> Composition | None:
        """The joints of the cheapest way where a piece of so many steps costs `price`; None if there is none."""
        best = int(price[self._whole])
        found: Composition | None = () if best < FAR else None
        best = min(best, FAR)
        if not len(self.place):
            return found
        rows = self._rows()
        last = price.take(self._last)
        steps = [price.take(self._first) + np.int32(splice)]
        between = price.take(rows)
        between += np.int32(splice)
        ended: tuple[int, int] | None = None
        while True:
            total = steps[-1] + last
            at = int(total.argmin())
            if total[at] < best:
                best, ended = int(total[at]), (len(steps), at)
            if not self._width or steps[-1].min() >= best:
                break
            self._padded[self._width :] = steps[-1]
            np.add(self._windows, between, out=self._sums)
            steps.append(np.minimum(self._sums.min(axis=0), FAR))
        return found if ended is None else self._back(steps[: ended[0]], ended[1], between)

    def _back(self, steps: Sequence[Prices], at: int, between: Prices) -> Composition:
        joints = [int(self.place[at])]
        for step in reversed(steps[:-1]):
            begin = at - self._width
            here = step[max(0, begin) : at] + between[max(0, -begin) :, at]
            at = max(0, begin) + int(here.argmin())
            joints.append(int(self.place[at]))
        return tuple(reversed(joints))


def steps_of(length: int) -> int:
    """A length in whole steps, rounded up."""
    return -(-length // RECREATION.step)
