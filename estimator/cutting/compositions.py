"""How one member is best made of pieces, when every length has its price: a shortest path over the windows.

A composition is the tuple of its joints' places. The price of a piece never falls with its length, so of all places in
one window reached at the same cost only the furthest has to be followed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from estimator.cutting.joints import Member, some_joints

Composition = tuple[int, ...]
Ints = NDArray[np.int64]
MOST_LABELS = 32
NO_WAY = 1 << 61
FINEST_STEP = 20
TIGHT_STEP = 60


@dataclass(frozen=True, slots=True)
class PriceByLength:
    """Price of a piece by the room it takes in saw units.

    A piece of length w takes w + kerf, divided by `unit` and rounded up (`up`), or down where a bound is sought.
    """

    price: Ints
    unit: int
    kerf: int
    longest: int
    up: bool

    def room(self, length: int) -> int:
        """Room in saw units."""
        size = length + self.kerf
        return min(len(self.price) - 1, -(-size // self.unit) if self.up else size // self.unit)

    def of(self, lengths: Ints) -> Ints:
        """Prices of many lengths at once."""
        size = lengths + self.kerf
        rooms = -(-size // self.unit) if self.up else size // self.unit
        found: Ints = self.price[np.clip(rooms, 0, len(self.price) - 1)]
        return found


def price_by_length(values: Ints, unit: int, kerf: int, longest: int, *, up: bool) -> PriceByLength:
    """The price per room from any values per room; they are made never to fall."""
    return PriceByLength(np.maximum.accumulate(values), unit, kerf, longest, up)


@dataclass(frozen=True, slots=True)
class _Places:
    """The places looked at: each stands for all from `low` to `up`; `starts[w]` is where window w begins."""

    low: Ints
    up: Ints
    starts: tuple[int, ...]


@lru_cache(maxsize=4096)
def _places(member: Member, step: int, *, up: bool) -> _Places:
    """For a choice single places, for a bound short stretches that leave no place out."""
    lows: list[Ints] = []
    ups: list[Ints] = []
    starts = [0]
    for window in member.windows:
        inner = np.arange(-(-(window.low + 1) // step) * step, window.high, step, dtype=np.int64)
        if up:
            single = np.unique(np.concatenate(([window.low, window.high], inner)))
            lows.append(single)
            ups.append(single)
        else:
            lows.append(np.concatenate(([window.low], inner)))
            ups.append(np.concatenate((inner - 1, [window.high])))
        starts.append(starts[-1] + len(lows[-1]))
    empty = np.array([], dtype=np.int64)
    return _Places(np.concatenate([empty, *lows]), np.concatenate([empty, *ups]), tuple(starts))


class _Walk:
    """One search over a member's windows: what it costs to get to each place, and the best way to the end so far."""

    def __init__(self, member: Member, prices: PriceByLength, splice: int, below: int) -> None:
        self.member, self.prices, self.splice = member, prices, splice
        tight = not prices.up and _short_pieces_fit(member)
        self.least = max(1, member.min_piece) if prices.up or tight else 1
        self.thin = not tight
        self.rate = _least_rate(prices)
        self.top = below
        self.end = -2
        self.places = _places(member, place_step(member, prices), up=prices.up)
        self.cost = np.full(len(self.places.low), NO_WAY, dtype=np.int64)
        self.came_from = np.full(len(self.places.low), -1, dtype=np.int64)

    def start(self) -> None:
        """From the member's start: whole, or one piece into any window in reach."""
        zero = np.array([0], dtype=np.int64)
        if self.member.length <= self.prices.longest:
            cost = int(self.prices.of(np.array([self.member.length]))[0])
            if cost < self.top:
                self.top, self.end = cost, -1
        self._extend(zero, zero, np.array([-1], dtype=np.int64), self._from_span(-1, 0))

    def visit(self, window: int) -> None:
        """Goes on from the useful places of a window."""
        first, last = self.places.starts[window], self.places.starts[window + 1]
        at, cost = self._useful(first, last)
        if not at.size:
            return
        place, span = self.places.up[at], self.member.windows[window].span
        if self.member.attachments - 1 - span >= self.member.min_attachments:
            self._finish(place, cost, at)
        self._extend(place, cost, at, self._from_span(span, window + 1))

    def _useful(self, first: int, last: int) -> tuple[Ints, Ints]:
        """Places that none further on undercuts; too many are thinned out (for a bound: put together)."""
        cost = self.cost[first:last]
        ahead = np.minimum.accumulate(cost[::-1])[::-1]
        fine = cost + self.rate * (self.member.length - self.places.up[first:last]) < self.top
        if self.thin:
            fine[:-1] &= cost[:-1] < ahead[1:]
        at = np.flatnonzero(fine & (cost < NO_WAY))
        found = cost[at]
        if self.thin and len(at) > MOST_LABELS:
            groups = np.array_split(np.arange(len(at)), MOST_LABELS)
            if self.prices.up:
                at, found = at[[g[0] for g in groups]], found[[g[0] for g in groups]]
            else:
                at, found = at[[g[-1] for g in groups]], found[[g[0] for g in groups]]
        return at + first, found

    def _finish(self, place: Ints, cost: Ints, at: Ints) -> None:
        last = self.member.length - place
        most = self.member.length - self.places.low[at]
        total = np.where((most >= self.least) & (last <= self.prices.longest), cost + self.prices.of(last), NO_WAY)
        best = int(np.argmin(total))
        if int(total[best]) < self.top:
            self.top, self.end = int(total[best]), int(at[best])

    def _from_span(self, span: int, window: int) -> int:
        """The first place of the first window from `window` on that a piece from `span` may end in."""
        windows = self.member.windows
        while window < len(windows) and windows[window].span - span < self.member.min_attachments:
            window += 1
        return self.places.starts[window]

    def _extend(self, place: Ints, cost: Ints, at: Ints, first: int) -> None:
        last = int(np.searchsorted(self.places.low, int(place.max()) + self.prices.longest, side="right"))
        if first >= last:
            return
        length = self.places.low[None, first:last] - place[:, None]
        allowed = length <= self.prices.longest
        if self.prices.up or not self.thin:
            furthest = self.places.up[None, first:last] - (place if at[0] < 0 else self.places.low[at])[:, None]
            allowed &= furthest >= self.least
        total = np.where(allowed, cost[:, None] + self.prices.of(np.maximum(length, self.least)) + self.splice, NO_WAY)
        best = np.argmin(total, axis=0)
        lowest = total[best, np.arange(last - first)]
        better = np.flatnonzero(lowest < self.cost[first:last])
        self.cost[first + better] = lowest[better]
        self.came_from[first + better] = at[best[better]]

    def joints(self) -> Composition:
        """The joints of the best way found."""
        found = []
        at = self.end
        while at >= 0:
            found.append(int(self.places.up[at]))
            at = int(self.came_from[at])
        return tuple(reversed(found))


def _short_pieces_fit(member: Member) -> bool:
    """Whether the windows alone would let a piece shorter than the least one stand between two joints."""
    return _nearest_joints(member) < member.min_piece


def place_step(member: Member, prices: PriceByLength) -> int:
    """How far apart the places looked at are; in a bound a piece may be priced as one that much shorter."""
    if not prices.up and _short_pieces_fit(member):
        return TIGHT_STEP
    return max(prices.unit, FINEST_STEP)


@lru_cache(maxsize=4096)
def _nearest_joints(member: Member) -> int:
    """How near two neighbouring joints can stand as far as windows and attachments are concerned."""
    nearest = member.length
    for k, window in enumerate(member.windows):
        for later in member.windows[k:]:
            if later.span - window.span >= member.min_attachments:
                nearest = min(nearest, later.low - window.high)
    return nearest


def shortest_piece(member: Member) -> int:
    """A length below which no piece of a spliced member can be.

    >>> from estimator.cutting.joints import Window
    >>> shortest_piece(Member(18000, (Window(4000, 7000, 0), Window(11000, 14000, 1)), 3, 4500, 1))
    4500
    """
    firsts = [w.low for w in member.windows if w.span + 1 >= member.min_attachments]
    lasts = [
        member.length - w.high for w in member.windows if member.attachments - 1 - w.span >= member.min_attachments
    ]
    return max(1, member.min_piece, min([member.length, _nearest_joints(member), *firsts, *lasts]))


def cheapest(member: Member, prices: PriceByLength, splice: int, below: int) -> tuple[int, Composition] | None:
    """The cheapest composition and its cost; with `prices.up` false a lower bound (short pieces are then allowed).

    Args:
        member: what is to be made.
        prices: price of each length, in any whole unit.
        splice: price of one splice in the same unit.
        below: only compositions cheaper than this are looked for.

    Returns:
        Cost and joints, or None where no composition costs less than `below`.

    """
    walk = _Walk(member, prices, splice, below)
    walk.start()
    for window in range(len(member.windows)):
        walk.visit(window)
    return None if walk.end == -2 else (walk.top, walk.joints())


def _least_rate(prices: PriceByLength) -> float:
    """A price per tenth of a millimetre that no piece undercuts."""
    room = np.arange(2, len(prices.price) + 1, dtype=np.float64) * prices.unit
    rates = prices.price[1:] / room
    return float(rates.min()) * (1 - 1e-9) if len(rates) else 0.0


def lengths_of(member: Member, joints: Composition) -> tuple[int, ...]:
    """Piece lengths from the member's start to its end.

    >>> lengths_of(Member(100, (), 0, 0, 0), (30, 60))
    (30, 30, 40)
    """
    places = (0, *joints, member.length)
    return tuple(b - a for a, b in pairwise(places))


def furthest_first(member: Member, longest: int, targets: Sequence[int]) -> list[Composition]:
    """Plain compositions: each piece as long as one target length allows, from the start and from the end."""
    found: dict[Composition, None] = {}
    flipped = mirrored(member)
    for target in targets:
        joints = _stepwise(member, min(target, longest))
        if joints is not None:
            found[joints] = None
        joints = _stepwise(flipped, min(target, longest))
        if joints is not None:
            found[tuple(member.length - j for j in reversed(joints))] = None
    if not found:
        joints = some_joints(member, longest)
        if joints is not None:
            found[joints] = None
    return list(found)


def mirrored(member: Member) -> Member:
    """The member seen from its other end."""
    windows = tuple(
        type(w)(member.length - w.high, member.length - w.low, member.attachments - 2 - w.span)
        for w in reversed(member.windows)
    )
    return Member(member.length, windows, member.attachments, member.min_piece, member.min_attachments)


def _stepwise(member: Member, target: int) -> Composition | None:
    """Joints as far as `target` reaches each time, stepping back where the end would become too short."""
    joints: list[int] = []
    place, span = 0, -1
    least = max(1, member.min_piece)
    while member.length - place > target:
        options = [
            (min(w.high, place + target, member.length - least), w.span)
            for w in member.windows
            if w.span - span >= member.min_attachments
            and member.attachments - 1 - w.span >= member.min_attachments
            and w.low <= min(place + target, member.length - least)
            and min(w.high, place + target, member.length - least) - place >= least
        ]
        if not options:
            return None
        place, span = max(options)
        joints.append(place)
    return tuple(joints)
