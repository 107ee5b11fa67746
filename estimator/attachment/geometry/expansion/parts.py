"""Where expansion splices divide a rail: in gaps between modules, so that every part is a rail of its own.

A rail too long to go without an expansion joint is divided before anything is placed on it. A joint stands in the
middle of a gap between two modules, never under one: a module held by both parts would be pulled. At that gap an end
clamp stands on each rail end instead of one mid clamp on both, so the gap has to be as wide as the joint and two end
clamps need. Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from estimator.attachment.geometry.limit_steps import TOLERANCE_MM
from estimator.mounting.records import MountingChoice

Cells = tuple[tuple[float, float], ...]
"""Where modules side by side begin and end along a rail, mm."""


@dataclass(frozen=True, slots=True)
class ExpansionRule:
    """How a rail is divided: its longest part, the joint's own gap, the least gap between modules (None: not known)."""

    longest_mm: float
    joint_mm: float
    least_gap_mm: float | None

    @staticmethod
    def of(choice: MountingChoice) -> ExpansionRule | None:
        """That of a mounting; None where rails of any length are one."""
        rail, splice = choice.rail, choice.expansion_splice
        if rail is None or splice is None or rail.max_continuous_length_mm is None:
            return None
        return ExpansionRule(rail.max_continuous_length_mm, splice.gap_mm, splice.least_gap_mm)

    def is_narrow(self, gap_mm: float) -> bool:
        """Whether a gap between modules has no room for the joint and two end clamps."""
        least = self.joint_mm if self.least_gap_mm is None else self.least_gap_mm
        return gap_mm < least - TOLERANCE_MM


@dataclass(frozen=True, slots=True)
class RailPart:
    """One part of a rail: the first and last module on it, where it begins and ends, whether a joint follows."""

    first: int
    last: int
    start_mm: float
    length_mm: float
    joined: bool

    @property
    def end_mm(self) -> float:
        """Where the part ends."""
        return self.start_mm + self.length_mm


def rail_parts(cells: Cells, overhang_mm: float, rule: ExpansionRule | None) -> tuple[RailPart, ...]:
    """A rail under modules side by side, divided where it has to be.

    Args:
        cells: where the modules begin and end along the rail, ascending.
        overhang_mm: how far the rail reaches past the first and the last module.
        rule: how rails are divided; None: they are not.

    Gaps that are wide enough are taken before those that are not, then as few parts as can be, then parts as even as
    can be. A rail that no gaps divide well enough is divided as well as they allow.

    >>> rule = ExpansionRule(2500.0, 20.0, 80.0)
    >>> cells = ((0.0, 1000.0), (1020.0, 2020.0), (2100.0, 3100.0), (3120.0, 4120.0))
    >>> [(part.first, part.last, part.start_mm, part.end_mm) for part in rail_parts(cells, 50.0, rule)]
    [(0, 1, -50.0, 2050.0), (2, 3, 2070.0, 4170.0)]
    """
    start, length = cells[0][0] - overhang_mm, cells[-1][1] - cells[0][0] + 2 * overhang_mm
    if rule is None or length <= rule.longest_mm + TOLERANCE_MM or len(cells) == 1:
        return (RailPart(0, len(cells) - 1, start, length, joined=False),)
    ends = _best_ends(_edges(cells, overhang_mm, rule.joint_mm), _gaps(cells), rule)
    firsts = (0, *(last + 1 for last in ends))
    edges = _edges(cells, overhang_mm, rule.joint_mm)
    return tuple(
        RailPart(first, last, edges[first][0], round(edges[last][1] - edges[first][0], 6), joined=last < len(cells) - 1)
        for first, last in zip(firsts, (*ends, len(cells) - 1), strict=True)
    )


def _gaps(cells: Cells) -> tuple[float, ...]:
    return tuple(after[0] - before[1] for before, after in pairwise(cells))


def _edges(cells: Cells, overhang_mm: float, joint_mm: float) -> Sequence[tuple[float, float]]:
    """For every module where a part would begin if it were its first one, and end if it were its last."""
    middles = [(before[1] + after[0]) / 2 for before, after in pairwise(cells)]
    starts = (cells[0][0] - overhang_mm, *(middle + joint_mm / 2 for middle in middles))
    ends = (*(middle - joint_mm / 2 for middle in middles), cells[-1][1] + overhang_mm)
    return tuple(zip(starts, ends, strict=True))


def _best_ends(edges: Sequence[tuple[float, float]], gaps: Sequence[float], rule: ExpansionRule) -> tuple[int, ...]:
    """The modules after which joints stand: least length too much, fewest narrow gaps, fewest parts, most even.

    From the shortest last part on: once it alone is too long by more than the best found is in all, all longer are.
    """
    count = len(edges)
    best: list[tuple[tuple[float, int, int, float], int]] = []
    for last in range(count):
        narrow = int(last < count - 1 and rule.is_narrow(gaps[last]))
        here: tuple[tuple[float, int, int, float], int] | None = None
        for first in range(last, -1, -1):
            length = edges[last][1] - edges[first][0]
            too_much = max(0.0, length - rule.longest_mm - TOLERANCE_MM)
            if here is not None and too_much > here[0][0]:
                break
            cost = best[first - 1][0] if first else (0.0, 0, 0, 0.0)
            found = (cost[0] + too_much, cost[1] + narrow, cost[2] + 1, round(cost[3] + length**2, 3)), first - 1
            here = found if here is None else min(here, found)
        assert here is not None
        best.append(here)
    ends = []
    at = best[count - 1][1]
    while at >= 0:
        ends.append(at)
        at = best[at][1]
    return tuple(reversed(ends))
