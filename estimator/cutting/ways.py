"""The cheapest ways to make a member when every size has its price: a shortest path over the nodes of a lattice."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from estimator.cutting.compositions import Composition
from estimator.cutting.lattice import Ints, Stop, Web

NO_WAY = 1 << 58
NO_PLACE = (1 << 31) - 1


@dataclass(frozen=True, slots=True)
class Way:
    """One way to make a member: its cost, the sizes of its pieces in units, the places of its joints."""

    cost: int
    sizes: tuple[int, ...]
    joints: Composition


def cheapest_ways(web: Web, price: Ints, splice: int, below: int, most: int) -> list[Way]:
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
    states = web.fewest
    cost = np.full((states, web.nodes), NO_WAY, dtype=np.int64)
    cost[0] = priced[web.starting] + splice
    came = np.full((states, web.nodes), -1, dtype=np.int64)
    levels = _levels(web, price)
    for stop in web.stops:
        if stop.middle > stop.before:
            _reach_far(web, stop, levels, splice, cost, came)
        if stop.until > stop.middle:
            _reach_close(stop, priced[stop.sizes], splice, cost, came)
    total = cost[-1] + priced[web.ending]
    ends = [(int(priced[web.whole]), -1)]
    for stop in web.stops:
        node = stop.first + int(total[stop.first : stop.last].argmin())
        ends.append((int(total[node]), node))
    ends.sort()
    return [
        _way(web, _nodes_back(came, states - 1, web.nodes, node), value)
        for value, node in ends[:most]
        if value < min(below, NO_WAY)
    ]


@dataclass(frozen=True, slots=True)
class _Levels:
    """The prices that occur, ascending, and the longest piece that has each."""

    price: Ints
    longest: Ints


def _levels(web: Web, price: Ints) -> _Levels:
    reaches = web.lattice.reaches()
    last = np.append(np.flatnonzero(price[1:] > price[:-1]), len(price) - 1)
    last = last[reaches[last] >= max(1, web.member.min_piece)]
    return _Levels(price[last], reaches[last])


def _reach_far(web: Web, stop: Stop, levels: _Levels, splice: int, cost: Ints, came: Ints) -> None:
    """Goes on to the nodes of a stop from those so far before it that every piece is long enough.

    A piece of one price comes best from the cheapest of all nodes that are no further back than its longest, because a
    shorter piece never costs more.
    """
    before, middle = stop.before, stop.middle
    low = web.low[stop.first : stop.last]
    first = int(np.searchsorted(levels.longest, low[0] - web.up[middle - 1]))
    beyond = int(np.searchsorted(levels.longest, low[-1] - web.low[before])) + 1
    longest, price = levels.longest[first:beyond], levels.price[first:beyond]
    if not len(longest):
        return
    furthest = low.astype(np.int32)[:, None] - longest.astype(np.int32)[None, :]
    at = np.take(np.clip(web.following, before, middle) - before, (furthest + web.back) >> web.shift)
    up = np.append(web.up[before:middle], NO_PLACE).astype(np.int32)
    for _ in range(web.crowded):
        at += np.take(up, at) < furthest
    rows = np.arange(len(low))
    for state in range(len(cost)):
        best, node = _cheapest_from(cost[state, before:middle])
        total = np.take(best, at) + price
        level = total.argmin(axis=1)
        _improve(cost, came, (state, stop), total[rows, level] + splice, node[at[rows, level]] + before)


def _cheapest_from(cost: Ints) -> tuple[Ints, Ints]:
    """For every node, and for none left, the least cost of it and those after it, and which one has it."""
    back = cost[::-1]
    least = np.minimum.accumulate(back)
    node = np.maximum.accumulate(np.where(back == least, np.arange(len(back)), 0))
    return np.append(least[::-1], NO_WAY), np.append(len(back) - 1 - node[::-1], 0)


def _reach_close(stop: Stop, between: Ints, splice: int, cost: Ints, came: Ints) -> None:
    """Goes on to the nodes of a stop from those so near that not every piece between them is long enough."""
    columns = np.arange(stop.last - stop.first)
    for state in range(len(cost)):
        total = between + cost[state, stop.middle : stop.until, None]
        best = total.argmin(axis=0)
        _improve(cost, came, (state, stop), total[best, columns] + splice, best + stop.middle)


def _improve(cost: Ints, came: Ints, at: tuple[int, Stop], reached: Ints, node: Ints) -> None:
    """Keeps what is cheaper; state k has k + 1 joints so far, the last one that many or more.

    `came` keeps the node before, plus the number of all nodes times its state.
    """
    state, stop = at
    states, nodes = cost.shape
    into = min(state + 1, states - 1)
    here = slice(stop.first, stop.last)
    better = reached < cost[into, here]
    came[into, here][better] = node[better] + nodes * state
    np.minimum(cost[into, here], reached, out=cost[into, here])


def _nodes_back(came: Ints, state: int, nodes: int, node: int) -> list[int]:
    """The nodes of a way, from the last one back to the first, in their order."""
    found: list[int] = []
    at = node
    while at >= 0:
        found.append(at)
        before = int(came[state, at])
        state, at = (before // nodes, before % nodes) if before >= 0 else (state, -1)
    return found[::-1]


def _way(web: Web, nodes: list[int], cost: int) -> Way:
    if not nodes:
        return Way(cost, (web.whole,), ())
    sizes = [int(web.starting[nodes[0]])]
    sizes += [web.size(before, after) for before, after in pairwise(nodes)]
    sizes.append(int(web.ending[nodes[-1]]))
    return Way(cost, tuple(sizes), tuple(int(web.low[n]) for n in nodes))


def way_through(web: Web, joints: Composition) -> Way | None:
    """The way whose joints stand at these places (outward: in the stretches that hold them); None where none does."""
    if not joints:
        return Way(0, (web.whole,), ())
    nodes = []
    for joint in joints:
        at = int(np.searchsorted(web.low, joint, side="right")) - 1
        if at < 0 or not web.low[at] <= joint <= web.up[at]:
            return None
        nodes.append(at)
    return _way(web, nodes, 0)
