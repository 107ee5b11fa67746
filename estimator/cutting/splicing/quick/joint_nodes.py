"""Where joints of many members may stand, laid one after the other in a few long arrays.

Each node is a stretch of one window. **Places** are single points, so that ways over them are real; **stretches** fill
the windows, so that every legal way runs over them and what they prove holds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement

import numpy as np

from estimator.cutting.runs.joint_rules import Member, shortest_piece
from estimator.cutting.splicing.position_graph.graph import Ints
from estimator.cutting.tuning import WAYS


@dataclass(frozen=True, slots=True)
class JointNodes:
    """Nodes by kind, ascending in each: their stretches (tenths from the member's start), spans and kinds.

    Those of kind k stand from `first[k]` to `first[k + 1]`. Length, attachments and rules of every kind follow, and the
    shortest piece that windows and rules leave room for.
    """

    low: Ints
    up: Ints
    span: Ints
    kind: Ints
    first: Ints
    length: Ints
    attachments: Ints
    least: Ints
    bearing: Ints
    shortest: Ints

    @property
    def kinds(self) -> int:
        """How many kinds there are."""
        return len(self.length)


@dataclass(frozen=True, slots=True)
class _Windows:
    """All windows of all members."""

    low: Ints
    high: Ints
    span: Ints
    kind: Ints


def stretches(members: Sequence[Member], step: int) -> JointNodes:
    """Every window in stretches of `step` tenths of a mm; the last one may be shorter."""
    windows = _windows_of(members)
    counts = (windows.high - windows.low) // step + 1
    at = np.repeat(np.arange(len(counts)), counts)
    number = np.arange(len(at), dtype=np.int64) - np.repeat(np.cumsum(counts) - counts, counts)
    low = windows.low[at] + number * step
    return _nodes(members, low, np.minimum(low + step - 1, windows.high[at]), windows.span[at], windows.kind[at])


def places(
    members: Sequence[Member], step: int, kerf: int, marks: Sequence[int], rests: Sequence[int] = ()
) -> JointNodes:
    """Points: ends of windows, whole steps (a kerf counted in) from either end, sums of a few `marks` from either.

    Also each of `rests` from either end, alone and after one of the marks.
    """
    windows = _windows_of(members)
    length = np.array([member.length for member in members], dtype=np.int64)
    sums = {sum(each) for n in range(1, WAYS.marked + 1) for each in combinations_with_replacement(marks, n)}
    sums.update(rest + mark for rest in rests for mark in (0, *marks))
    even = np.arange(step - kerf, int(length.max(initial=0)), step, dtype=np.int64)
    ahead = np.unique(np.concatenate([even[even > 0], np.array(sorted(sums), dtype=np.int64)]))
    apart = int(length.max(initial=0)) + 1
    kinds = np.arange(len(members), dtype=np.int64)[:, None]
    inside = ahead[None, :] < length[:, None]
    found = np.concatenate([kinds * apart + ahead, kinds * apart + length[:, None] - ahead[::-1]], axis=1)
    ends = np.stack([windows.kind * apart + windows.low, windows.kind * apart + windows.high], axis=1)
    place = np.concatenate([found[np.concatenate([inside, inside[:, ::-1]], axis=1)], ends.ravel()])
    place.sort(kind="stable")  # made of ascending rows, which this sort merges
    place = place[np.append(True, place[1:] != place[:-1])]
    start = windows.kind * apart + windows.low
    at = np.searchsorted(start, place, side="right") - 1
    legal = (at >= 0) & (place <= (windows.kind * apart + windows.high)[at])
    place, at = place[legal], at[legal]
    point = place - windows.kind[at] * apart
    return _nodes(members, point, point, windows.span[at], windows.kind[at])


def _windows_of(members: Sequence[Member]) -> _Windows:
    rows = [(w.low, w.high, w.span, kind) for kind, member in enumerate(members) for w in member.windows]
    low, high, span, kind = np.array(rows, dtype=np.int64).reshape(-1, 4).T
    return _Windows(low, high, span, kind)


def _nodes(members: Sequence[Member], low: Ints, up: Ints, span: Ints, kind: Ints) -> JointNodes:
    facts = np.array(
        [(m.length, m.attachments, max(1, m.min_piece), m.min_attachments) for m in members], dtype=np.int64
    ).reshape(-1, 4)
    first = np.searchsorted(kind, np.arange(len(members) + 1))
    length, attachments, least, bearing = facts.T
    shortest = np.array([shortest_piece(member) for member in members], dtype=np.int64)
    return JointNodes(low, up, span, kind, first, length, attachments, least, bearing, shortest)
