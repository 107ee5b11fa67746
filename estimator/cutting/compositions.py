"""How one member is best made of pieces, when every length has its price: a shortest path over the windows.

A composition is the tuple of its joints' places. The price of a piece is a step function of its length that never
falls, so within one window only the furthest place of each step has to be looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from estimator.cutting.joints import Member

Composition = tuple[int, ...]
MOST_LABELS = 40


@dataclass(frozen=True, slots=True)
class PriceByLength:
    """Price of a piece by the room it takes in saw units: `price[room]`; `last[room]`, the last at that price.

    A piece of length w takes w + kerf, divided by `unit` and rounded up (`up`), or down where a bound is sought.
    """

    price: tuple[int, ...]
    last: tuple[int, ...]
    unit: int
    kerf: int
    longest: int
    up: bool

    def room(self, length: int) -> int:
        """Room in saw units."""
        size = length + self.kerf
        return min(len(self.price) - 1, -(-size // self.unit) if self.up else size // self.unit)

    def longest_at(self, room: int) -> int:
        """The longest piece that costs no more than one of this room."""
        last = self.last[room]
        if last >= len(self.price) - 1:
            return self.longest
        top = last * self.unit if self.up else (last + 1) * self.unit - 1
        return min(self.longest, top - self.kerf)


def price_by_length(values: NDArray[np.int64], unit: int, kerf: int, longest: int, *, up: bool) -> PriceByLength:
    """The step function from its values per room; they are made never to fall."""
    rising = np.maximum.accumulate(values)
    steps = np.flatnonzero(np.diff(rising) > 0)
    last = np.append(steps, len(rising) - 1)[np.searchsorted(steps, np.arange(len(rising)), side="left")]
    return PriceByLength(tuple(rising.tolist()), tuple(last.tolist()), unit, kerf, longest, up)


@dataclass(slots=True)
class _Label:
    """A way to make the member from its start to `place`."""

    cost: int
    place: int
    span: int
    before: _Label | None


@dataclass(slots=True)
class _Walk:
    """One search over a member's windows: what it costs to get where, and the best way to the end so far."""

    member: Member
    prices: PriceByLength
    splice: int
    least: int
    rate: float
    top: int
    waiting: list[list[_Label]]
    best: _Label | None = None

    def finish(self, label: _Label) -> None:
        """Takes the rest of the member as one piece, if that is legal and cheaper than the best."""
        member, last = self.member, self.member.length - label.place
        if last > self.prices.longest:
            return
        bears = member.attachments - 1 - label.span >= member.min_attachments
        if label.before is not None and (last < self.least or not bears):
            return
        cost = label.cost + self.prices.price[self.prices.room(last)]
        if cost < self.top:
            self.top = cost
            self.best = _Label(cost, member.length, member.attachments, label)

    def go_on(self, label: _Label, at: int) -> None:
        """Adds one more piece after the label in every way that may still be best."""
        self.finish(label)
        reach = label.place + self.prices.longest
        for k in range(at + 1, len(self.member.windows)):
            window = self.member.windows[k]
            if window.low > reach:
                break
            if window.span - label.span >= self.member.min_attachments:
                self._into(label, k, max(window.low, label.place + self.least), min(window.high, reach))

    def _into(self, label: _Label, k: int, place: int, end: int) -> None:
        """A label for the furthest place of every price step between `place` and `end`."""
        prices, span = self.prices, self.member.windows[k].span
        while place <= end:
            room = prices.room(place - label.place)
            furthest = max(place, min(end, label.place + prices.longest_at(room)))
            cost = label.cost + prices.price[room] + self.splice
            if cost + self.rate * (self.member.length - furthest) < self.top:
                self.waiting[k].append(_Label(cost, furthest, span, label))
            place = furthest + 1


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
    least = max(1, member.min_piece) if prices.up else 1
    walk = _Walk(member, prices, splice, least, _least_rate(prices), below, [[] for _ in member.windows])
    walk.go_on(_Label(0, 0, -1, None), -1)
    for at in range(len(member.windows)):
        for label in _useful(walk.waiting[at], exact=prices.up):
            if label.cost + walk.rate * (member.length - label.place) < walk.top:
                walk.go_on(label, at)
        walk.waiting[at] = []
    if walk.best is None:
        return None
    joints = []
    step = walk.best.before
    while step is not None and step.place > 0:
        joints.append(step.place)
        step = step.before
    return walk.best.cost, tuple(reversed(joints))


def _least_rate(prices: PriceByLength) -> float:
    """A price per tenth of a millimetre that no piece undercuts."""
    price = np.array(prices.price, dtype=np.float64)
    room = np.arange(1, len(price) + 1, dtype=np.float64) * prices.unit
    rates = price[1:] / room[1:]
    return float(rates.min()) * (1 - 1e-9) if len(rates) else 0.0


def _useful(labels: list[_Label], *, exact: bool) -> list[_Label]:
    """Labels that no other one beats in cost and reach; too many are thinned out (for a bound: put together)."""
    labels.sort(key=lambda label: (label.cost, -label.place))
    kept: list[_Label] = []
    for label in labels:
        if not kept or label.place > kept[-1].place:
            kept.append(label)
    if len(kept) <= MOST_LABELS:
        return kept
    stride = -(-len(kept) // MOST_LABELS)
    groups = [kept[i : i + stride] for i in range(0, len(kept), stride)]
    if exact:
        return [group[0] for group in groups]
    return [_Label(group[0].cost, group[-1].place, group[0].span, group[0].before) for group in groups]


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
