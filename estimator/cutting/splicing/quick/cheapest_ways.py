"""The cheapest ways to make members of many kinds when every length has its price, found for all kinds together.

Joint after joint is added to ways begun. A way begun is dropped where even joints that might stand anywhere could not
make the rest cheaply enough, which leaves few of them. Where many are left, only the likeliest go on; the others count
in what is proven at what they cost at least. Single joints are tried everywhere at once.
Source: A* search with a relaxation as its bound, Hart, Nilsson and Raphael (1968).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isqrt

import numpy as np

from estimator.cutting.runs.compositions import Composition
from estimator.cutting.splicing.position_graph.graph import Ints
from estimator.cutting.splicing.quick.joint_nodes import JointNodes
from estimator.cutting.splicing.quick.length_prices import DEAREST, NO_WAY, LengthPrices, StretchBounds
from estimator.cutting.tuning import WAYS

SCATTER = 2_654_435_761
"""2^32 by the golden ratio: multiples of it lie far apart (Knuth, The Art of Computer Programming 3, 6.4)."""


def some_of(kinds: int, times: int = 1) -> tuple[int, int]:
    """How many ways begun and how many places of each of so many kinds are followed where no proof is asked for."""
    most = max(WAYS.fewest, min(WAYS.many, times * isqrt(WAYS.pairs_of_all // max(1, kinds))))
    return most, 2 * most


def nearly_all_of(kinds: int) -> tuple[int, int]:
    """The same for a proof: dropped ones weaken it."""
    most = max(WAYS.many, isqrt(WAYS.pairs_of_proof // max(1, kinds)))
    return most, 2 * most


@dataclass(frozen=True, slots=True)
class FoundWay:
    """A way to make a member of one kind: its cost, and where its joints stand (outward: begin to)."""

    kind: int
    cost: int
    joints: Composition


@dataclass(frozen=True, slots=True)
class _Begun:
    """Ways begun: the node of their last joint, their cost with its splice, and what they were a joint before."""

    node: Ints
    cost: Ints
    before: Ints


class CheapestWays:
    """Ways of every kind under given prices: the cheapest with one joint, then cheaper ones with more.

    `least` is the cost of the cheapest way found of each kind, `proven` what none of its ways costs less than, `pairs`
    how many pairs of joints were looked at.
    """

    def __init__(self, nodes: JointNodes, prices: LengthPrices, below: Ints | None, most: tuple[int, int]) -> None:
        """`below`: costs of kinds from which on nothing is looked for, as if so cheap a way had been found.

        `most`: how many ways begun and how many places of each kind are followed.
        """
        self._nodes, self._prices, self._most = nodes, prices, most
        self.pairs = 0
        self.least: Ints = np.full(nodes.kinds, NO_WAY) if below is None else np.minimum(below, NO_WAY)
        self._ends: list[tuple[list[_Begun], Ints, Ints, Ints]] = []
        whole = prices.of(nodes.length)
        self._whole = whole < self.least
        self.least = np.minimum(self.least, whole)
        self._dropped = np.full(nodes.kinds, NO_WAY)
        self._whole_cost = whole
        if len(nodes.low):
            self._search()

    @property
    def proven(self) -> Ints:
        """What every way of each kind costs at least."""
        least: Ints = np.minimum(self.least, self._dropped)
        return least

    def ways(self) -> list[FoundWay]:
        """The ways found: a member in one piece, then the cheapest of each kind by number of joints."""
        found = [FoundWay(int(k), int(self._whole_cost[k]), ()) for k in np.flatnonzero(self._whole)]
        for steps, kinds, ends, costs in self._ends:
            for kind, end, cost in zip(kinds.tolist(), ends.tolist(), costs.tolist(), strict=True):
                found.append(FoundWay(kind, cost, self._joints(steps, end)))
        return found

    def _joints(self, steps: list[_Begun], at: int) -> Composition:
        joints = []
        for step in reversed(steps):
            joints.append(int(self._nodes.low[step.node[at]]))
            at = int(step.before[at])
        return tuple(reversed(joints))

    def _search(self) -> None:
        nodes, prices = self._nodes, self._prices
        kind, every = nodes.kind, np.arange(len(nodes.low))
        least, bearing = nodes.least[kind], nodes.bearing[kind]
        first = np.maximum(nodes.low, least)
        cost = prices.of(first) + prices.splice
        cost[(nodes.up < least) | (nodes.span + 1 < bearing)] = NO_WAY
        rest = nodes.length[kind] - nodes.up
        last = prices.of(np.maximum(rest, least))
        last[(nodes.length[kind] - nodes.low < least) | (nodes.attachments[kind] - 1 - nodes.span < bearing)] = NO_WAY
        begun = _Begun(every, cost, every)
        self._close([begun], last)
        if self.least.max(initial=0) > 0:
            self._go_on(begun, last, rest)

    def _go_on(self, begun: _Begun, last: Ints, rest: Ints) -> None:
        """Ways with two joints and more."""
        nodes, prices = self._nodes, self._prices
        bounds = StretchBounds(prices, int(nodes.shortest.min()), int(nodes.length.max()), WAYS.stretch_step)
        most = self.least[nodes.kind]
        ahead = bounds.of(rest)
        through = bounds.of_parted(nodes.low) + prices.splice + ahead
        further = self._likeliest(np.flatnonzero(through < most), through, self._most[1])
        through = begun.cost + bounds.of_parted(rest)
        start = self._likeliest(np.flatnonzero(through < most), through, self._most[0])
        steps = [_Begun(start, begun.cost[start], start)]
        while len(steps[-1].node) and len(further):
            step = self._next(steps[-1], further, ahead)
            steps.append(step)
            if not len(step.node):
                break
            self._close(list(steps), last)
            through = step.cost + bounds.of_parted(rest[step.node])
            kept = np.flatnonzero(through < self.least[nodes.kind[step.node]])
            kept = self._likeliest(kept, through, self._most[0], step.node)
            steps[-1] = _Begun(step.node[kept], step.cost[kept], step.before[kept])

    def _likeliest(self, chosen: Ints, cost: Ints, most: int, node: Ints | None = None) -> Ints:
        """Of the chosen ones so many of each kind as may be, the cheapest; what the others cost at least is kept.

        Among equal ones some from everywhere: their order is that of numbers far from each other.
        """
        kind = self._nodes.kind[chosen if node is None else node[chosen]]
        counts = np.bincount(kind, minlength=self._nodes.kinds)
        if counts.max(initial=0) <= most:
            return chosen
        kept, out = self._parted(kind, chosen, cost[chosen], counts, most)
        np.minimum.at(self._dropped, kind[out], cost[chosen[out]])
        kept.sort()
        return chosen[kept]

    def _parted(self, kind: Ints, chosen: Ints, cost: Ints, counts: Ints, most: int) -> tuple[Ints, Ints]:
        """Places of the cheapest `most` of each kind, and of the others.

        Kind, cost (to so many bits as there is room) and a number of its own for each are one number, so that one sort
        of plain numbers does it.
        """
        bits = len(chosen).bit_length()
        mask = (1 << bits) - 1
        first = np.cumsum(counts) - counts
        at = first[counts > 0]
        cheapest = np.zeros(len(counts), dtype=np.int64)
        cheapest[counts > 0] = np.minimum.reduceat(cost, at)
        above = cost - cheapest[kind]
        room = 62 - bits - len(counts).bit_length()
        above >>= max(0, int(above.max()).bit_length() - room)
        place = np.arange(len(chosen), dtype=np.int64)
        key = (kind << (room + bits)) | (above << bits) | ((place * SCATTER) & mask)
        key.sort()
        order = ((key & mask) * pow(SCATTER, -1, 1 << bits)) & mask
        kept = np.arange(len(order)) - np.repeat(first, counts) < most
        return order[kept], order[~kept]

    def _close(self, steps: list[_Begun], last: Ints) -> None:
        """Ends the ways begun with a last piece; the cheapest of each kind are kept, if they are cheap enough."""
        step = steps[-1]
        total = np.minimum(step.cost + last[step.node], NO_WAY)
        kind = self._nodes.kind[step.node]
        good = np.flatnonzero(total < np.minimum(self.least, DEAREST)[kind])
        if not len(good):
            return
        order = good[np.lexsort((good, total[good], kind[good]))]
        found, at = np.unique(kind[order], return_index=True)
        ends = order[at]
        self.least[found] = total[ends]
        self._ends.append((steps, found, ends, total[ends]))

    def _next(self, step: _Begun, further: Ints, ahead: Ints) -> _Begun:
        """Every way begun with one more joint, as far as that is cheap enough; the cheapest to each node."""
        nodes = self._nodes
        apart = int(nodes.length.max()) + 1
        line_up = nodes.kind[further] * apart + nodes.up[further]
        line_low = nodes.kind[further] * apart + nodes.low[further]
        base = nodes.kind[step.node] * apart
        begin = np.searchsorted(line_up, base + nodes.low[step.node] + nodes.least[nodes.kind[step.node]])
        end = np.searchsorted(
            line_low, np.minimum(base + nodes.up[step.node] + self._prices.longest, base + apart - 1), side="right"
        )
        counts = np.maximum(0, end - begin)
        parts, done = [], 0
        total = np.cumsum(counts)
        self.pairs += int(total[-1]) if len(total) else 0
        while done < len(counts):
            reached = int(total[done - 1]) if done else 0
            until = max(done + 1, int(np.searchsorted(total, reached + WAYS.pairs_at_once, side="right")))
            here = slice(done, until)
            parts.append(self._reached(step, np.arange(done, until), (begin[here], counts[here]), (further, ahead)))
            done = until
        node, cost, before = (np.concatenate(each) for each in zip(*parts, strict=True))
        cheapest = np.full(len(nodes.low), NO_WAY)
        np.minimum.at(cheapest, node, cost)
        best = np.flatnonzero(cost == cheapest[node])
        _, fresh = np.unique(node[best], return_index=True)
        kept = best[fresh]
        return _Begun(node[kept], cost[kept], before[kept])

    def _reached(
        self, step: _Begun, rows: Ints, ranges: tuple[Ints, Ints], further: tuple[Ints, Ints]
    ) -> tuple[Ints, Ints, Ints]:
        nodes, prices = self._nodes, self._prices
        begin, counts = ranges
        before = np.repeat(rows, counts)
        number = np.arange(len(before), dtype=np.int64) - np.repeat(np.cumsum(counts) - counts - begin, counts)
        node, source = further[0][number], step.node[before]
        kind = nodes.kind[node]
        length = np.maximum(nodes.low[node] - nodes.up[source], nodes.least[kind])
        cost = step.cost[before] + prices.of(length) + prices.splice
        good = cost + further[1][node] < self.least[kind]
        good &= nodes.span[node] - nodes.span[source] >= nodes.bearing[kind]
        return node[good], cost[good], before[good]
