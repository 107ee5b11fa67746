"""The cheapest ways to make all members at once when every size has its price: shortest paths over position graphs.

The graphs of members that are alike in size are laid side by side, and one pass over their windows handles all of them:
what is counted per call of the array library is then shared by hundreds of members.
Source: dynamic programming over an acyclic graph, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from estimator.cutting.runs.compositions import Composition
from estimator.cutting.splicing.position_graph.graph import Ints, PositionGraph
from estimator.cutting.tuning import WAYS

NO_WAY = 1 << 58
DEAREST = 1 << 57
"""A cost of this much or more is that of no way at all, whatever splices cost or save."""


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
        below: only ways cheaper than this are returned.
        most: at most so many ways.

    Returns:
        The ways, cheapest first; none where the member cannot be made cheaper.

    """
    return PositionGraphs([web]).priced(price, splice, most).ways(0, below)


class PositionGraphs:
    """The graphs of many members on one lattice, in groups that are searched side by side."""

    def __init__(self, webs: Sequence[PositionGraph]) -> None:
        self.webs = webs
        self._groups = [_Group([webs[k] for k in kinds], kinds) for kinds in _grouped(webs)]
        self.place_of = {kind: (g, k) for g, group in enumerate(self._groups) for k, kind in enumerate(group.kinds)}

    def priced(self, price: Ints, splice: int, most: int) -> PricedMembers:
        """The cheapest ways of every member under these prices, up to `most` of each; arguments as `shortest_paths`."""
        if not self.webs:
            return PricedMembers(self, [])
        levels = _levels(self.webs[0].lattice.reaches(), self._least_piece(), price)
        return PricedMembers(self, [group.ends(price, levels, splice, most) for group in self._groups])

    def _least_piece(self) -> int:
        return max(1, min(web.member.min_piece for web in self.webs))


class PricedMembers:
    """What every member costs at least under given prices, and the ways that do."""

    def __init__(self, graphs: PositionGraphs, ends: list[_Ends]) -> None:
        self._graphs = graphs
        self._ends = ends
        self._least = [each.least() for each in ends]

    def least(self, kind: int) -> int:
        """The least cost of a member of that kind; 0 where it cannot be made at all."""
        group, member = self._graphs.place_of[kind]
        cost = self._least[group][member]
        return cost if cost < DEAREST else 0

    def ways(self, kind: int, below: int) -> list[MemberPath]:
        """The ways found for that kind that cost less than `below`, cheapest first."""
        group, member = self._graphs.place_of[kind]
        if self._least[group][member] >= below:
            return []
        web = self._graphs.webs[kind]
        found = self._ends[group].below(member, min(below, DEAREST))
        return [_way(web, path, cost) for cost, path in found]


def _grouped(webs: Sequence[PositionGraph]) -> list[list[int]]:
    """Kinds whose graphs are about as large, so many together as one pass can hold."""
    groups: list[list[int]] = []
    room = 0
    for kind in sorted(range(len(webs)), key=lambda k: (webs[k].fewest, webs[k].nodes, k)):
        web = webs[kind]
        widest = max((stop.last - stop.first for stop in web.stops), default=1)
        cells = widest * min(WAYS.usual_prices, web.lattice.widest)
        first = webs[groups[-1][0]] if groups else None
        if first is None or not _alike(first, web) or (len(groups[-1]) + 1) * max(room, cells) > WAYS.group_cells:
            groups.append([])
            room = 0
        groups[-1].append(kind)
        room = max(room, cells)
    return groups


def _alike(first: PositionGraph, web: PositionGraph) -> bool:
    return first.fewest == web.fewest and web.nodes <= first.nodes * WAYS.widest_group + WAYS.few_nodes


@dataclass(frozen=True, slots=True)
class _Levels:
    """The prices that occur, ascending, the longest piece that has each, and the price of every size."""

    price: Ints
    longest: Ints
    by_size: Ints


def _levels(reaches: Ints, least: int, price: Ints) -> _Levels:
    last = np.append(np.flatnonzero(price[1:] > price[:-1]), len(price) - 1)
    last = last[reaches[last] >= least]
    return _Levels(price[last], reaches[last], np.append(price, NO_WAY))


class _Window:
    """One window of all members of a group: its nodes, and those before it that pieces may come from.

    `into` holds the nodes here, a row a member, node 0 (none) where one has fewer. From the nodes `sources` (a row a
    member, node 0 where a piece would be too short) every piece is long enough.
    """

    def __init__(self, line: _GraphLine, webs: Sequence[PositionGraph], number: int) -> None:
        rows = [k for k, web in enumerate(webs) if number < len(web.stops)]
        stops = [webs[k].stops[number] for k in rows]
        first = line.first[rows]
        self.into = _ranges(first + _whole(s.first for s in stops), [s.last - s.first for s in stops])
        far = [max(0, stop.middle - stop.before) for stop in stops]
        begin = first + _whole(stop.before for stop in stops)
        self.sources = _ranges(begin, far)
        width = self.sources.shape[1]
        self.shift = (np.arange(len(rows)) * (width + 1) - begin)[:, None, None]
        self.end = (np.arange(len(rows)) * (width + 1) + far)[:, None, None]
        self.best = np.full((len(rows), width + 1), NO_WAY, dtype=np.int64)
        self.middle = begin + far
        real = np.where(self.into > 0, self.into, self.into[:, :1])
        self.place = (line.low[real] + line.offset[rows][:, None])[:, :, None]
        reach = [(webs[k].low[s.first] - webs[k].up[s.middle - 1], webs[k].low[s.last - 1] - webs[k].low[s.before])
                 for k, s in zip(rows, stops, strict=True) if s.middle > s.before]  # fmt: skip
        self.nearest = int(min((near for near, _ in reach), default=0))
        self.furthest = int(max((away for _, away in reach), default=0))
        self.close = _ranges(first + _whole(stop.middle for stop in stops), [max(0, s.until - s.middle) for s in stops])
        self.sizes = np.full((len(rows), self.close.shape[1], self.into.shape[1]), webs[0].lattice.widest + 1)
        for row, stop in enumerate(stops):
            self.sizes[row, : stop.sizes.shape[0], : stop.sizes.shape[1]] = stop.sizes


def _whole(numbers: Iterable[int]) -> Ints:
    return np.fromiter(numbers, dtype=np.int64)


def _ranges(first: Ints, counts: Sequence[int]) -> Ints:
    """Rows of consecutive numbers from `first` on, filled up with 0."""
    columns = np.arange(max(counts, default=0))
    return np.where(columns < np.array(counts)[:, None], first[:, None] + columns, 0)


class _GraphLine:
    """Position graphs one after the other on one long line, so that one table finds places in all of them.

    Node 0 is none; member k's nodes begin at `first[k]`, its places are moved by `offset[k]`.
    """

    def __init__(self, webs: Sequence[PositionGraph]) -> None:
        shift, back = webs[0].shift, webs[0].back
        counts = np.array([web.nodes for web in webs])
        self.first: Ints = 1 + np.concatenate([[0], np.cumsum(counts)[:-1]])
        lengths = np.array([(web.member.length + 2 * back >> shift) + 2 for web in webs]) << shift
        self.offset: Ints = np.concatenate([[0], np.cumsum(lengths)[:-1]]) + back
        self.shift, self.crowded = shift, max(web.crowded for web in webs)
        self.low = np.concatenate([[0], *(web.low for web in webs)])
        moved = [web.up + at for web, at in zip(webs, self.offset, strict=True)]
        self.up = np.concatenate([[-1], *moved, [1 << 62]])
        steps = np.arange((int(lengths.sum()) + back >> shift) + 2, dtype=np.int64) << shift
        self.following = np.searchsorted(self.up, steps)

    def first_reaching(self, place: Ints) -> Ints:
        """For each place on the line the first node that reaches to it or further."""
        at = self.following.take(place >> self.shift)
        for _ in range(self.crowded):
            at += self.up.take(at) < place
        return at


class _Group:
    """Members whose graphs are searched side by side."""

    def __init__(self, webs: Sequence[PositionGraph], kinds: list[int]) -> None:
        self.kinds = kinds
        self._fewest = webs[0].fewest
        self._line = _GraphLine(webs)
        none = [webs[0].lattice.widest + 1]
        self._starting = np.concatenate([none, *(web.starting for web in webs)])
        self._ending = np.concatenate([none, *(web.ending for web in webs)])
        self._whole = np.array([web.whole for web in webs])
        self._windows = [_Window(self._line, webs, n) for n in range(max(len(web.stops) for web in webs))]
        self._nodes = _ranges(self._line.first, [web.nodes for web in webs])
        at = [0, *(n for web in webs for n, stop in enumerate(web.stops) for _ in range(stop.last - stop.first))]
        self._window_of = np.array(at)
        self._member_of = np.repeat(np.arange(len(webs)), [web.nodes for web in webs])

    def ends(self, price: Ints, levels: _Levels, splice: int, most: int) -> _Ends:
        """The cheapest way of every member, then the cheapest with its last joint in another window, up to `most`."""
        paths = _Paths(self._fewest, np.minimum(levels.by_size[self._starting] + splice, NO_WAY))
        for window in self._windows:
            if window.sources.size:
                self._reach_far(window, levels, splice, paths)
            if window.close.size:
                paths.reach_close(window, levels.by_size.take(window.sizes), splice)
        total = np.minimum(paths.cost[-1] + levels.by_size[self._ending], NO_WAY)[self._nodes]
        whole = np.minimum(levels.by_size[self._whole], NO_WAY)
        rows, found = np.arange(len(total)), []
        for _ in range(most):
            node = total.argmin(axis=1)
            cost = total[rows, node]
            plain = whole <= cost
            at = np.where(plain, 0, self._nodes[rows, node])
            found.append((np.where(plain, whole, cost), at))
            whole = np.where(plain, NO_WAY, whole)
            same = self._window_of[self._nodes] == np.where(plain, -1, self._window_of[at])[:, None]
            total[same] = NO_WAY
        return _Ends(self, paths, found)

    def _reach_far(self, window: _Window, levels: _Levels, splice: int, paths: _Paths) -> None:
        """Goes on to the nodes of a window from those so far before it that every piece is long enough.

        A piece of one price comes best from the cheapest of all nodes that are no further back than its longest,
        because a shorter piece never costs more.
        """
        first = int(levels.longest.searchsorted(window.nearest))
        beyond = int(levels.longest.searchsorted(window.furthest)) + 1
        longest, price = levels.longest[first:beyond], levels.price[first:beyond]
        if not len(longest):
            return
        at = self._line.first_reaching(window.place - longest)
        at += window.shift
        np.minimum(at, window.end, out=at)
        for state in range(self._fewest):
            np.minimum.accumulate(paths.cost[state].take(window.sources)[:, ::-1], axis=1, out=window.best[:, -2::-1])
            total = window.best.take(at)
            total += price
            level = total.argmin(axis=2)
            reached = total.min(axis=2)
            reached += splice
            at_best = np.take_along_axis(at, level[:, :, None], axis=2) - window.shift
            paths.improve(state, window, reached, -at_best[:, :, 0])

    def path(self, member: int, node: int, paths: _Paths) -> list[int]:
        """The nodes of the way of a member that ends with this one (0: with none), in their order."""
        first = int(self._line.first[member])
        return [each - first for each in paths.back(node, self._middle_of)]

    def _middle_of(self, node: int) -> int:
        """The end of the nodes from which every piece to this one's window is long enough."""
        window = self._windows[int(self._window_of[node])]
        row = int(np.searchsorted(window.into[:, 0], node, side="right")) - 1
        return int(window.middle[row])


class _Ends:
    """The least costs of a group's members, with the nodes their ways end with; NO_WAY where there is none."""

    def __init__(self, group: _Group, paths: _Paths, found: list[tuple[Ints, Ints]]) -> None:
        self._group, self._paths = group, paths
        self._cost = np.array([cost for cost, _ in found])
        self._node = np.array([node for _, node in found])

    def least(self) -> list[int]:
        """The least cost of each member."""
        costs: list[int] = self._cost[0].tolist()
        return costs

    def below(self, member: int, below: int) -> list[tuple[int, list[int]]]:
        """Cost and nodes of the ways of a member that cost less, cheapest first."""
        pairs = zip(self._cost[:, member].tolist(), self._node[:, member].tolist(), strict=True)
        return [(cost, self._group.path(member, node, self._paths)) for cost, node in pairs if cost < below]


class _Paths:
    """The least cost of every node, and the node before it, after each number of joints.

    State k has k + 1 joints so far, the last one that many or more. `before` holds the node before, or -n where it is
    the cheapest one from n to the window's middle; `state` the state before, -1 where there is no node before.
    """

    def __init__(self, states: int, first: Ints) -> None:
        self.cost = np.full((states, len(first)), NO_WAY, dtype=np.int64)
        self.cost[0] = first
        self.cost[:, 0] = NO_WAY
        self._before = np.zeros((states, len(first)), dtype=np.int64)
        self._state = np.full((states, len(first)), -1, dtype=np.int64)

    def improve(self, state: int, window: _Window, reached: Ints, before: Ints) -> None:
        """Keeps what is cheaper at the nodes of a window."""
        after = min(state + 1, len(self.cost) - 1)
        better = reached < self.cost[after].take(window.into)
        node = window.into[better]
        self.cost[after][node] = reached[better]
        self._before[after][node] = before[better]
        self._state[after][node] = state
        self.cost[:, 0] = NO_WAY

    def reach_close(self, window: _Window, between: Ints, splice: int) -> None:
        """Goes on to the nodes of a window from those so near that not every piece between them is long enough."""
        for state in range(len(self.cost)):
            total = between + self.cost[state].take(window.close)[:, :, None]
            source = np.take_along_axis(window.close, total.argmin(axis=1), axis=1)
            self.improve(state, window, total.min(axis=1) + splice, source)

    def back(self, node: int, middle_of: Callable[[int], int]) -> list[int]:
        """The nodes of the way that ends with this one, in their order."""
        nodes: list[int] = []
        state = len(self.cost) - 1
        while node > 0:
            nodes.append(node)
            before, came = int(self._state[state, node]), int(self._before[state, node])
            if before < 0:
                break
            if came < 0:
                came = -came + int(self.cost[before, -came : middle_of(node)].argmin())
            state, node = before, came
        return nodes[::-1]


def _way(web: PositionGraph, nodes: Sequence[int], cost: int) -> MemberPath:
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
