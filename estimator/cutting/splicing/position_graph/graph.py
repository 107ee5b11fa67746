"""Members on a lattice of lengths: where joints may stand, and which sizes lie between any two of them.

Lengths become whole units of a lattice in one of two ways. **Outward**: sizes are rounded down and every node of a
window stands for a stretch of places, so that every real plan is a plan on the lattice; what is proven there holds.
**Inside**: sizes are rounded up, or down by a part of a unit that joints may make good by moving, and every node is one
place; plans found there are cut out in full before they count.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from estimator.cutting.runs.joint_rules import Member, Window
from estimator.cutting.tuning import SPLICING_WORK, WAYS

NO_PLACE = (1 << 31) - 1
Ints = NDArray[np.int64]
Sizes = NDArray[np.int32]


@dataclass(frozen=True, slots=True)
class Lattice:
    """A unit of length, and how lengths become whole units of it.

    `unit` and `kerf` are in tenths of a mm, `longest` is the longest piece in tenths, `rooms` are those of the bars in
    tenths, kerf included. Outward a window is cut into `steps` stretches a unit, inside its places stand `steps` units
    apart, `marks` (lengths in tenths) counted from either end among them. Inside a length whose part of a unit is more
    than `spared` (tenths) is rounded up: with 0 every plan of the lattice is a real one, else joints must be moved.
    """

    unit: int
    kerf: int
    longest: int
    rooms: tuple[int, ...]
    outward: bool
    steps: int = 1
    marks: tuple[int, ...] = ()
    spared: int = 0

    @property
    def widest(self) -> int:
        """The widest bar's room in units."""
        return max(self.rooms) // self.unit

    def size(self, length: int) -> int:
        """Units that a piece of that length takes with its kerf.

        >>> [Lattice(50, 30, 60_000, (60_020,), outward).size(1_005) for outward in (True, False)]
        [20, 21]
        >>> Lattice(50, 30, 60_000, (60_020,), False, spared=40).size(1_005)
        20
        """
        return int(self.sizes(np.array([length], dtype=np.int64))[0])

    def reaches(self) -> Ints:
        """For every size from 0 to the widest the longest piece that takes no more.

        >>> Lattice(50, 30, 60_000, (60_020,), True).reaches()[:3].tolist()
        [19, 69, 119]
        """
        units = np.arange(self.widest + 1, dtype=np.int64) * self.unit
        if self.outward:
            return np.minimum(units + self.unit - 1 - self.kerf, self.longest)
        units = units + self.spared
        for room in self.rooms:
            units[room // self.unit :] = np.maximum(units[room // self.unit :], room)
        return np.minimum(units - self.kerf, self.longest)

    def sizes(self, lengths: Ints) -> Ints:
        """Units of many lengths at once; inside no more than the units of the bar that still holds them."""
        taken = lengths + self.kerf
        if self.outward:
            return taken // self.unit
        units: Ints = (taken + self.unit - 1 - self.spared) // self.unit
        for room in self.rooms:
            np.minimum(units, np.where(taken <= room, room // self.unit, self.widest + 1), out=units)
        return units


@dataclass(frozen=True, slots=True)
class WindowArcs:
    """The nodes of one window, `first` to `last`, and which nodes `before` to `until` a piece may come from.

    From those up to `middle` every piece is long enough. `sizes[i, k]` is the size between node middle + i and node
    first + k; one above the widest where none may lie.
    """

    first: int
    last: int
    before: int
    middle: int
    until: int
    sizes: Sizes


@dataclass(frozen=True, slots=True)
class PositionGraph:
    """All ways to make one member on a lattice: its nodes, and the sizes to, between and after them.

    No legal way has fewer than `fewest` joints (1 where that is not told); the ways of a lattice are held to it.
    `reach` is `up` once more, with one place beyond all at its end. The first node that reaches to a place x or further
    is one of `crowded` from `following[(x + back) >> shift]` on; x may be as low as -back.
    """

    member: Member
    lattice: Lattice
    low: Ints
    up: Ints
    starting: Sizes
    ending: Sizes
    whole: int
    stops: tuple[WindowArcs, ...]
    fewest: int
    shift: int
    back: int
    crowded: int
    following: Ints
    reach: Ints

    @property
    def nodes(self) -> int:
        """How many nodes all windows have together."""
        return len(self.low)

    def stop_of(self, node: int) -> WindowArcs:
        """The stop that a node belongs to."""
        return self.stops[bisect_right(self.stops, node, key=lambda each: each.first) - 1]

    def size(self, before: int, after: int) -> int:
        """The size between two nodes; one above the widest where no piece may lie."""
        stop = self.stop_of(after)
        if not stop.before <= before < stop.until:
            return self.lattice.widest + 1
        if before >= stop.middle:
            return int(stop.sizes[before - stop.middle, after - stop.first])
        nearest = int(self.low[after] - self.up[before])
        return self.lattice.size(nearest) if nearest <= self.lattice.longest else self.lattice.widest + 1

    @property
    def cells(self) -> int:
        """How much one search looks at; each window takes as long as SPLICING_WORK.stop_cells more."""
        close = sum(stop.sizes.size for stop in self.stops)
        far = self.nodes * min(WAYS.steps, self.lattice.widest) * SPLICING_WORK.look_cells
        return SPLICING_WORK.stop_cells * len(self.stops) + 2 * self.nodes + self.fewest * close + far


@dataclass(slots=True)
class _Nodes:
    """Nodes of one window, or of all windows of a span."""

    low: Ints
    up: Ints
    span: int
    first: int = 0


def position_graph(member: Member, lattice: Lattice, fewest: int = 1) -> PositionGraph:
    """All ways to make a member on a lattice; `fewest` is the least number of joints of any legal way.

    Outward, rounded lengths might do with fewer joints than real ones, so there the number is kept to, if it is small.
    """
    groups = _by_span(member, _outward_nodes(member, lattice) if lattice.outward else _inside_nodes(member, lattice))
    at = 0
    for group in groups:
        group.first = at
        at += len(group.low)
    empty = np.zeros(0, dtype=np.int64)
    low = np.concatenate([empty, *(group.low for group in groups)])
    up = np.concatenate([empty, *(group.up for group in groups)])
    forbidden = lattice.widest + 1
    zero = np.zeros(1, dtype=np.int64)
    starting = np.full(at, forbidden, dtype=np.int32)
    ending = np.full(at, forbidden, dtype=np.int32)
    end = np.array([member.length], dtype=np.int64)
    for group in groups:
        here = slice(group.first, group.first + len(group.low))
        if group.span + 1 >= member.min_attachments:
            starting[here] = _between(member, lattice, zero, zero, group.low, group.up)[0]
        if member.attachments - 1 - group.span >= member.min_attachments:
            ending[here] = _between(member, lattice, group.low, group.up, end, end)[:, 0]
    whole = lattice.size(member.length) if member.length <= lattice.longest else forbidden
    stops = tuple(_stop(member, lattice, groups, k, (low, up)) for k in range(len(groups)))
    kept = min(max(1, fewest), WAYS.counted) if lattice.outward else 1
    spacing = lattice.unit // lattice.steps if lattice.outward else lattice.unit * lattice.steps
    shift = max(0, spacing.bit_length() - 1)
    back = (lattice.longest >> shift) + 1 << shift
    steps = np.arange((member.length + back >> shift) + 2, dtype=np.int64)
    following: Ints = np.searchsorted(up, (steps << shift) - back).astype(np.int64)
    crowded = int(np.bincount(up >> shift).max()) if len(up) else 0
    reach = np.append(up, NO_PLACE)
    whole = min(whole, forbidden)
    found = (shift, back, crowded, following, reach)
    return PositionGraph(member, lattice, low, up, starting, ending, whole, stops, kept, *found)


def _parted(member: Member) -> list[Window]:
    """The windows, in parts so short that two joints in one part would leave no piece between them.

    Where every piece has to bear on an attachment no window holds two joints anyway.
    """
    if member.min_attachments > 0:
        return list(member.windows)
    step = max(1, member.min_piece)
    return [
        Window(low, min(low + step - 1, window.high), window.span)
        for window in member.windows
        for low in range(window.low, window.high + 1, step)
    ]


def _by_span(member: Member, groups: Sequence[_Nodes]) -> list[_Nodes]:
    """The windows of a span together, if no piece leads from one to another as each has to bear on an attachment."""
    if not member.min_attachments:
        return list(groups)
    found: list[_Nodes] = []
    for group in groups:
        if found and found[-1].span == group.span:
            last = found[-1]
            last.low, last.up = np.concatenate([last.low, group.low]), np.concatenate([last.up, group.up])
        else:
            found.append(group)
    return found


def _outward_nodes(member: Member, lattice: Lattice) -> list[_Nodes]:
    """Every window cut into stretches a fraction of the unit long; the last one may be shorter."""
    groups = []
    step = max(1, lattice.unit // lattice.steps)
    for window in _parted(member):
        low = np.arange(window.low, window.high + 1, step, dtype=np.int64)
        groups.append(_Nodes(low, np.minimum(low + step - 1, window.high), window.span))
    return groups


def _inside_nodes(member: Member, lattice: Lattice) -> list[_Nodes]:
    """Single places: at even steps, at both ends of every window, and where lengths laid from either end reach."""
    step = lattice.unit * lattice.steps
    chains = np.array(_chains(lattice.marks, member.length), dtype=np.int64)
    special = np.concatenate([chains, member.length - chains])
    groups = []
    for window in _parted(member):
        even = np.arange(-(-window.low // step) * step, window.high + 1, step, dtype=np.int64)
        inside = special[(special >= window.low) & (special <= window.high)]
        place = np.unique(np.concatenate([even, inside, [window.low, window.high]]))
        groups.append(_Nodes(place, place, window.span))
    return groups


def _chains(lengths: Sequence[int], end: int) -> list[int]:
    """Sums below `end` of up to WAYS.chained of these lengths; not all of them where they are many."""
    sums: set[int] = set()
    last = {0}
    for _ in range(WAYS.chained):
        last = {total + length for total in last for length in lengths if total + length < end}
        if len(sums) + len(last) > WAYS.places:
            break
        sums |= last
    return sorted(sums)


def _between(member: Member, lattice: Lattice, low: Ints, up: Ints, to_low: Ints, to_up: Ints) -> Sizes:
    """Sizes from every node to every further one; one above the widest where no piece may lie."""
    nearest = to_low[None, :] - up[:, None]
    furthest = to_up[None, :] - low[:, None]
    least = max(1, member.min_piece)
    sizes = np.minimum(lattice.sizes(np.maximum(nearest, least)), lattice.widest + 1)
    sizes[(nearest > lattice.longest) | (furthest < least)] = lattice.widest + 1
    return sizes.astype(np.int32)


def _stop(member: Member, lattice: Lattice, groups: Sequence[_Nodes], at: int, places: tuple[Ints, Ints]) -> WindowArcs:
    """The sizes into one window from those near enough before it; windows ascend, so these stand in a row."""
    group = groups[at]
    last = group.first + len(group.low)
    reached = bisect_left(groups, int(group.low[0]) - lattice.longest, 0, at, key=lambda other: int(other.up[-1]))
    beyond = bisect_right(groups, group.span - member.min_attachments, 0, at, key=lambda other: other.span)
    while beyond > reached and groups[beyond - 1].low[-1] >= group.up[-1]:
        beyond -= 1
    if reached >= beyond:
        return WindowArcs(group.first, last, 0, 0, 0, np.zeros((0, last - group.first), dtype=np.int32))
    close = beyond
    while close > reached and group.low[0] - groups[close - 1].up[-1] < max(1, member.min_piece):
        close -= 1
    before, until = groups[reached].first, groups[beyond - 1].first + len(groups[beyond - 1].low)
    middle = groups[close].first if close < beyond else until
    low, up = places[0][middle:until], places[1][middle:until]
    return WindowArcs(group.first, last, before, middle, until, _between(member, lattice, low, up, group.low, group.up))
