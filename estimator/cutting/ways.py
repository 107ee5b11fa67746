"""The cheapest ways to make a member when every size has its price: a shortest path over the nodes of a lattice."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from estimator.cutting.compositions import Composition
from estimator.cutting.lattice import Ints, Stop, Web

NO_WAY = 1 << 58


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
    for stop in web.stops:
        if stop.until > stop.before:
            _reach(stop, priced[stop.sizes], splice, cost, came)
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


def _reach(stop: Stop, between: Ints, splice: int, cost: Ints, came: Ints) -> None:
    """Goes on to the nodes of a stop; state k has k + 1 joints so far, the last one that many or more.

    `came` keeps the node before, plus the number of all nodes times its state.
    """
    states, nodes = cost.shape
    here = slice(stop.first, stop.last)
    columns = np.arange(stop.last - stop.first)
    for state in range(states):
        into = min(state + 1, states - 1)
        total = between + cost[state, stop.before : stop.until, None]
        best = total.argmin(axis=0)
        lowest = total[best, columns] + splice
        better = lowest < cost[into, here]
        came[into, here][better] = best[better] + stop.before + nodes * state
        np.minimum(cost[into, here], lowest, out=cost[into, here])


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
    for before, after in pairwise(nodes):
        stop = web.stops[bisect_right(web.stops, after, key=lambda each: each.first) - 1]
        fits = stop.before <= before < stop.until
        sizes.append(int(stop.sizes[before - stop.before, after - stop.first]) if fits else NO_WAY)
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
