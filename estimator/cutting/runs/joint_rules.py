"""Where a rail may be joined: windows between attachments, parts between expansion splices, and what is possible.

A rigid splice stands clear of every attachment, not in a cantilever and not in the middle third of a span, so every
span leaves at most two windows. Source: common practice (splices belong near the points of little bending).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor

from estimator.cutting.records import TENTHS_PER_MM, JointRules, RunToCut

SLACK = 0.01
"""Comparisons allow 0.001 mm, that is 0.01 tenths."""
LEAST_PIECE = 100
"""Tenths of a mm: a shorter stretch between two joints is no piece, whatever the rail's rules leave open."""


@dataclass(frozen=True, slots=True)
class Window:
    """A stretch (tenths of a mm from the member's start, both ends included) of one span where a splice may stand."""

    low: int
    high: int
    span: int


@dataclass(frozen=True, slots=True)
class Member:
    """A stretch of rail made without expansion splice: its length, its windows, and what its pieces must satisfy."""

    length: int
    windows: tuple[Window, ...]
    attachments: int
    min_piece: int
    min_attachments: int


def tenths(length_mm: float) -> int:
    """A length in whole tenths of a millimetre.

    >>> tenths(11620.04)
    116200
    """
    return round(length_mm * TENTHS_PER_MM)


def part_ends(length: int, longest: float | None) -> tuple[int, ...]:
    """Ends of the equal parts into which a run longer than `longest` (mm) is divided, as few as that allows.

    >>> part_ends(300_000, 12_000.0)
    (100000, 200000, 300000)
    """
    if longest is None:
        return (length,)
    most = floor(longest * TENTHS_PER_MM + SLACK)
    count = max(1, -(-length // most))
    return tuple(round(i * length / count) for i in range(1, count + 1))


def members_of(run: RunToCut, rules: JointRules) -> tuple[tuple[int, Member], ...]:
    """The run's members with their starts (tenths of a mm from the run's start)."""
    ends = part_ends(tenths(run.length_mm), rules.max_continuous_length_mm)
    starts = (0, *ends[:-1])
    return tuple(
        (start, _member(run.attachments_mm, start, end, rules)) for start, end in zip(starts, ends, strict=True)
    )


def _member(attachments_mm: Sequence[float], start: int, end: int, rules: JointRules) -> Member:
    stands = [a * TENTHS_PER_MM - start for a in attachments_mm]
    inside = [a for a in stands if -SLACK <= a <= end - start + SLACK]
    least = max(LEAST_PIECE, ceil(rules.min_piece_length_mm * TENTHS_PER_MM - SLACK))
    windows = windows_between(inside, end - start, rules.splice_clear_of_attachment_mm * TENTHS_PER_MM)
    return Member(
        end - start, _away_from_ends(windows, end - start, least), len(inside), least, rules.min_attachments_per_piece
    )


def _away_from_ends(windows: Sequence[Window], length: int, least: int) -> tuple[Window, ...]:
    """The windows without what would leave a first or last piece shorter than the least one."""
    clipped = [Window(max(w.low, least), min(w.high, length - least), w.span) for w in windows]
    return tuple(window for window in clipped if window.low <= window.high)


def windows_between(attachments: Sequence[float], length: int, clear: float) -> tuple[Window, ...]:
    """The windows of all spans, ascending.

    >>> [(w.low, w.high) for w in windows_between([3000.0, 15000.0], 18000, 1000.0)]
    [(4000, 7000), (11000, 14000)]
    """
    windows = []
    for span, (left, right) in enumerate(pairwise(attachments)):
        third = (right - left) / 3
        for low, high in ((left + clear, left + third), (right - third, right - clear)):
            first, last = max(1, ceil(low - SLACK)), min(length - 1, floor(high + SLACK))
            if first <= last:
                windows.append(Window(first, last, span))
    return tuple(windows)


def is_legal(member: Member, joints: Sequence[int], longest: int) -> bool:
    """Whether joints at these places (ascending) obey every rule and leave no piece longer than `longest`.

    >>> is_legal(Member(18000, windows_between([3000.0, 9000.0, 15000.0], 18000, 500.0), 3, 4000, 1), (4000,), 15000)
    True
    """
    windows = windows_at(member, joints)
    if windows is None:
        return False
    places = [0, *joints, member.length]
    lengths = [b - a for a, b in pairwise(places)]
    if not joints:
        return lengths[0] <= longest
    return min(lengths) >= max(1, member.min_piece) and max(lengths) <= longest


def windows_at(member: Member, joints: Sequence[int]) -> tuple[Window, ...] | None:
    """The windows in which joints (ascending) stand so that every piece bears on enough attachments; None if none do.

    Where a joint may stand on an attachment itself two windows meet; then that attachment counts for one piece only.

    >>> stands = [3000.0, 9000.0, 15000.0, 21000.0]
    >>> windows_at(Member(24000, windows_between(stands, 24000, 0.0), 4, 4000, 2), (9000,))
    (Window(low=9000, high=11000, span=1),)
    """
    found: list[Window] = []
    span = -1
    for joint in joints:
        here = [w for w in member.windows if w.low <= joint <= w.high and w.span - span >= member.min_attachments]
        if not here:
            return None
        found.append(here[0])
        span = here[0].span
    if joints and member.attachments - 1 - span < member.min_attachments:
        return None
    return tuple(found)


def shortest_piece(member: Member) -> int:
    """A length (tenths of a mm) that no piece of a joined member falls below: its least one, or what rules leave.

    >>> shortest_piece(Member(24000, (Window(4000, 5000, 0), Window(16000, 17000, 2)), 4, 3000, 2))
    11000
    """
    bearing, windows = member.min_attachments, member.windows
    ends = [window.low for window in windows if window.span + 1 >= bearing]
    ends += [member.length - w.high for w in windows if member.attachments - 1 - w.span >= bearing]
    between = [
        next((after.low - before.high for after in windows[at:] if after.span - before.span >= bearing), None)
        for at, before in enumerate(windows)
    ]
    found = [*ends, *(length for length in between if length is not None)]
    return max(1, member.min_piece, min(found, default=0))


def can_be_made(member: Member, longest: int) -> bool:
    """Whether any legal set of joints leaves no piece longer than `longest`."""
    return some_joints(member, longest) is not None


def some_joints(member: Member, longest: int) -> tuple[int, ...] | None:
    """Legal joints that leave no piece longer than `longest`, or None; exact, over whole stretches of places.

    >>> some_joints(Member(18000, windows_between([3000.0, 9000.0, 15000.0], 18000, 500.0), 3, 4000, 1), 12000)
    (7000,)
    """
    if member.length <= longest:
        return ()
    least = max(1, member.min_piece)
    reached: list[list[tuple[int, int]]] = []
    for window in member.windows:
        reached.append(_joined(_into(window, _starts(member, reached), (least, longest), member.min_attachments)))
    joints: list[int] = []
    place, span = member.length, member.attachments - 1
    while place > 0:
        step = _step_back(member, reached, (place, span), longest)
        if step is None:
            return None
        place, span = step
        joints.append(place)
    return tuple(reversed(joints[:-1]))


def fewest_splices(member: Member, longest: int) -> int | None:
    """The fewest joints with which no piece is longer than `longest`; None where no joints do; exact.

    >>> fewest_splices(Member(18000, windows_between([3000.0, 9000.0, 15000.0], 18000, 500.0), 3, 4000, 1), 12000)
    1
    """
    if member.length <= longest:
        return 0
    least = max(1, member.min_piece)
    here: list[tuple[int, int, int]] = [(-1, 0, 0)]
    for joints in range(len(member.windows) + 1):
        for span, low, high in here:
            end = low <= member.length - least and high >= member.length - longest
            if end and member.attachments - 1 - span >= member.min_attachments:
                return joints
        here = [
            (window.span, first, last)
            for window in member.windows
            for first, last in _joined(_into(window, here, (least, longest), member.min_attachments))
        ]
    return None


def _into(
    window: Window, starts: Sequence[tuple[int, int, int]], lengths: tuple[int, int], bearing: int
) -> list[tuple[int, int]]:
    """The stretches of a window that one piece reaches from any of these stretches."""
    reached = [
        (max(window.low, low + lengths[0]), min(window.high, high + lengths[1]))
        for span, low, high in starts
        if window.span - span >= bearing
    ]
    return [(first, last) for first, last in reached if first <= last]


def _step_back(
    member: Member, reached: list[list[tuple[int, int]]], here: tuple[int, int], longest: int
) -> tuple[int, int] | None:
    """A place from which one piece leads to `here`: the start if it will do, else the nearest to the start."""
    place, span = here
    least = max(1, member.min_piece)
    for from_span, low, high in _starts(member, reached):
        first, last = max(low, place - longest), min(high, place - least)
        if first <= last and span - from_span >= member.min_attachments:
            return first, from_span
    return None


def _starts(member: Member, reached: list[list[tuple[int, int]]]) -> list[tuple[int, int, int]]:
    """Where the next piece may start: (span, low, high), the member's own start first."""
    return [
        (-1, 0, 0),
        *((w.span, low, high) for w, spans in zip(member.windows, reached, strict=False) for low, high in spans),
    ]


def _joined(stretches: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Overlapping and touching stretches put together."""
    result: list[tuple[int, int]] = []
    for low, high in sorted(stretches):
        if result and low <= result[-1][1] + 1:
            result[-1] = (result[-1][0], max(result[-1][1], high))
        else:
            result.append((low, high))
    return result


def shortest_sufficient_bar(member: Member, longest: int) -> int:
    """The least usable bar length above `longest` with which the member can be made."""
    low, high = longest, member.length
    while high - low > 1:
        middle = (low + high) // 2
        if can_be_made(member, middle):
            high = middle
        else:
            low = middle
    return high
