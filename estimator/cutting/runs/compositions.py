"""Compositions: where a member's joints stand, what pieces that gives, and the plain ways to choose them.

A composition is the tuple of its joints' places, in tenths of a mm from the member's start.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from estimator.cutting.runs.joint_rules import Member, some_joints

Composition = tuple[int, ...]


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
