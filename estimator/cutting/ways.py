"""The cheapest ways to make a member when every size has its price: a shortest path over the nodes of a lattice."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from estimator.cutting.compositions import Composition
from estimator.cutting.lattice import Ints, Web

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
    cost = priced[web.starting] + splice
    came = np.full(web.nodes, -1, dtype=np.int64)
    for stop in web.stops:
        if stop.until > stop.before:
            total = priced[stop.sizes]
            total += cost[stop.before : stop.until, None]
            best = total.argmin(axis=0)
            lowest = total[best, np.arange(stop.last - stop.first)] + splice
            here = cost[stop.first : stop.last]
            better = lowest < here
            came[stop.first : stop.last][better] = best[better] + stop.before
            np.minimum(here, lowest, out=here)
    total = cost + priced[web.ending]
    ends = [(int(priced[web.whole]), -1)]
    for stop in web.stops:
        node = stop.first + int(total[stop.first : stop.last].argmin())
        ends.append((int(total[node]), node))
    ends.sort()
    return [_way(web, came, node, value) for value, node in ends[:most] if value < min(below, NO_WAY)]


def _way(web: Web, came: Ints, node: int, cost: int) -> Way:
    if node < 0:
        return Way(cost, (web.whole,), ())
    nodes = []
    at = node
    while at >= 0:
        nodes.append(at)
        at = int(came[at])
    nodes.reverse()
    sizes = [int(web.starting[nodes[0]])]
    for before, after in pairwise(nodes):
        stop = next(s for s in web.stops if s.first <= after < s.last)
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
    return _way(web, _chain(web, nodes), nodes[-1], 0)


def _chain(web: Web, nodes: list[int]) -> Ints:
    came = np.full(web.nodes, -1, dtype=np.int64)
    for before, after in pairwise(nodes):
        came[after] = before
    return came
