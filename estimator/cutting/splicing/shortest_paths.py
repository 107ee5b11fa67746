"""The cheapest ways to make a member when every size has its price: a shortest path over the nodes of a lattice."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from estimator.cutting.runs.compositions import Composition
from estimator.cutting.splicing.position_graph import NO_PLACE, Ints, PositionGraph, WindowArcs

NO_WAY = 1 << 58


@dataclass(frozen=True, slots=True)
class MemberPath:
    """One way to make a member: its cost, the sizes of its pieces in units, the places of its joints."""

    cost: int
    sizes: tuple[int, ...]
    joints: Composition


def shortest_paths(web: PositionGraph, price: Ints, splice: int, below: int, most: int) -> list[MemberPath]:
    """The cheapest way first, then the cheapest ones whose last joint stands in other windows.

    Args:
        web: all ways to make the member.
        price: price of every size in whole units of any scale, 0 to the widest; it never falls with the size.
        splice: price of one splice in the same scale (may be below 0).
        below: only ways cheaper than this are returned, but always the cheapest one's cost is.
        most: at most so many ways.

    Returns:
        The ways, cheapest first; none where the member cannot be made cheaper.

    """
    priced = np.append(price, NO_WAY)
    found = _Found.begun(web, priced[web.starting] + splice)
    levels = _levels(web, price)
    for stop in web.stops:
        if stop.middle > stop.before:
            _reach_far(web, stop, levels, splice, found)
        if stop.until > stop.middle:
            _reach_close(stop, priced[stop.sizes], splice, found)
    total = found.cost[-1] + priced[web.ending]
    ends = [(int(priced[web.whole]), -1)]
    for stop in web.stops:
        node = stop.first + int(total[stop.first : stop.last].argmin())
        ends.append((int(total[node]), node))
    ends.sort()
    return [_way(web, found.nodes_back(web, node), value) for value, node in ends[:most] if value < min(below, NO_WAY)]


@dataclass(frozen=True, slots=True)
class _Levels:
    """The prices that occur, ascending, and the longest piece that has each."""

    price: Ints
    longest: Ints


def _levels(web: PositionGraph, price: Ints) -> _Levels:
    reaches = web.lattice.reaches()
    last = np.append(np.flatnonzero(price[1:] > price[:-1]), len(price) - 1)
    last = last[reaches[last] >= max(1, web.member.min_piece)]
    return _Levels(price[last], reaches[last])


@dataclass(frozen=True, slots=True)
class _Found:
    """The least cost of every node, and the node before it, after each number of joints.

    State k has k + 1 joints so far, the last one that many or more. `came` holds the node before, or -1 - n where it is
    the cheapest one from n to the stop's middle; `state` holds the state before, -1 where there is no node before.
    """

    cost: Ints
    came: Ints
    state: Ints

    @classmethod
    def begun(cls, web: PositionGraph, first: Ints) -> _Found:
        shape = (web.fewest, web.nodes)
        found = cls(np.full(shape, NO_WAY, dtype=np.int64), np.zeros(shape, np.int64), np.full(shape, -1, np.int64))
        found.cost[0] = first
        return found

    def improve(self, state: int, stop: WindowArcs, reached: Ints, node: Ints) -> None:
        """Keeps what is cheaper."""
        into = min(state + 1, len(self.cost) - 1)
        here = slice(stop.first, stop.last)
        better = reached < self.cost[into, here]
        np.copyto(self.cost[into, here], reached, where=better)
        np.copyto(self.came[into, here], node, where=better)
        np.copyto(self.state[into, here], state, where=better)

    def nodes_back(self, web: PositionGraph, node: int) -> list[int]:
        """The nodes of the way that ends with this one (-1: with none), in their order."""
        nodes: list[int] = []
        state = len(self.cost) - 1
        while node >= 0:
            nodes.append(node)
            before, came = int(self.state[state, node]), int(self.came[state, node])
            if before < 0:
                break
            if came < 0:
                first = -1 - came
                came = first + int(self.cost[before, first : web.stop_of(node).middle].argmin())
            state, node = before, came
        return nodes[::-1]


def _reach_far(web: PositionGraph, stop: WindowArcs, levels: _Levels, splice: int, found: _Found) -> None:
    """Goes on to the nodes of a stop from those so far before it that every piece is long enough.

    A piece of one price comes best from the cheapest of all nodes that are no further back than its longest, because a
    shorter piece never costs more.
    """
    before, middle = stop.before, stop.middle
    low = web.low[stop.first : stop.last]
    first = int(levels.longest.searchsorted(low[0] - web.up[middle - 1]))
    beyond = int(levels.longest.searchsorted(low[-1] - web.low[before])) + 1
    longest, price = levels.longest[first:beyond], levels.price[first:beyond]
    if not len(longest):
        return
    begin = int(low[0] - longest[-1] + web.back) >> web.shift
    table = web.following[begin : (int(low[-1] - longest[0] + web.back) >> web.shift) + 1].clip(before, middle) - before
    furthest = low[:, None] - longest
    at = table.take((furthest + (web.back - (begin << web.shift))) >> web.shift)
    up = web.reach[before : middle + 1].copy()
    up[-1] = NO_PLACE
    for _ in range(web.crowded):
        at += up.take(at) < furthest
    rows = np.arange(len(low))
    best = np.full(middle - before + 1, NO_WAY, dtype=np.int64)
    for state in range(len(found.cost)):
        np.minimum.accumulate(found.cost[state, before:middle][::-1], out=best[-2::-1])
        total = best.take(at)
        total += price
        level = total.argmin(axis=1)
        found.improve(state, stop, total[rows, level] + splice, -1 - before - at[rows, level])


def _reach_close(stop: WindowArcs, between: Ints, splice: int, found: _Found) -> None:
    """Goes on to the nodes of a stop from those so near that not every piece between them is long enough."""
    columns = np.arange(stop.last - stop.first)
    for state in range(len(found.cost)):
        total = between + found.cost[state, stop.middle : stop.until, None]
        best = total.argmin(axis=0)
        found.improve(state, stop, total[best, columns] + splice, best + stop.middle)


def _way(web: PositionGraph, nodes: list[int], cost: int) -> MemberPath:
    if not nodes:
        return MemberPath(cost, (web.whole,), ())
    sizes = [int(web.starting[nodes[0]])]
    sizes += [web.size(before, after) for before, after in pairwise(nodes)]
    sizes.append(int(web.ending[nodes[-1]]))
    return MemberPath(cost, tuple(sizes), tuple(int(web.low[n]) for n in nodes))


def path_through(web: PositionGraph, joints: Composition) -> MemberPath | None:
    """The way whose joints stand at these places (outward: in the stretches that hold them); None where none does."""
    if not joints:
        return MemberPath(0, (web.whole,), ())
    nodes = []
    for joint in joints:
        at = int(np.searchsorted(web.low, joint, side="right")) - 1
        if at < 0 or not web.low[at] <= joint <= web.up[at]:
            return None
        nodes.append(at)
    return _way(web, nodes, 0)
