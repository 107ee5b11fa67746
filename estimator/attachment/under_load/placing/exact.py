"""The fewest ribs that hold with their real reactions, by trying every choice the limits leave, where these are few.

Shortening spans where a reaction asks for it finds a placement that holds, now and then with one attachment more than
needed. For such runs every choice of fewer ribs is tried, best first, as long as the choices are few enough.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from estimator.attachment.geometry.spacing.ribs_under_run import RibsUnderRun
from estimator.attachment.under_load.placing.tighten import RunCaps

MOST_FOR_A_RUN = 2_000
MOST_FOR_A_JOB = 10_000
AT_ONCE = 100

Choice = tuple[int, ...]
First = Callable[[Sequence[Choice]], Choice | None]
"""Of choices of ribs the first with which everything on the line holds."""


@dataclass(slots=True)
class Allowance:
    """How many choices may still be tried for the job."""

    left: int = MOST_FOR_A_JOB


def fewest_that_hold(ribs: RibsUnderRun, counts: range, first_that_holds: First, allowance: Allowance) -> Choice | None:
    """The best choice of the fewest of so many ribs that holds; None where none does or there are too many to try.

    Of equally many: the shortest longest span, then the least difference of the cantilevers, then the leftmost.
    """
    for count in counts:
        if not ribs.reaches(count):
            continue
        choices = how_many(ribs, count)
        if choices > min(MOST_FOR_A_RUN, allowance.left):
            return None
        ordered = sorted(every_choice(ribs, count), key=lambda choice: _preference(ribs, choice))
        for start in range(0, len(ordered), AT_ONCE):
            tried = ordered[start : start + AT_ONCE]
            allowance.left -= len(tried)
            found = first_that_holds(tried)
            if found is not None:
                return found
    return None


def how_many(ribs: RibsUnderRun, count: int) -> int:
    """How many choices of ``count`` ribs keep the limits.

    >>> how_many(RibsUnderRun((0.0, 1.0, 2.0, 3.0), 3.0, (2, 3, 3, 3), 1, 2), 3)
    4
    """
    n = len(ribs.offsets)
    ways = [int(i <= ribs.last_start) for i in range(n)]
    for _ in range(count - 1):
        further = [0] * n
        for i, number in enumerate(ways):
            for j in range(i + 1, ribs.furthest[i] + 1):
                further[j] += number
        ways = further
    return sum(ways[ribs.first_end :])


def every_choice(ribs: RibsUnderRun, count: int) -> list[Choice]:
    """Every choice of ``count`` ribs that keeps the limits, from the left.

    >>> every_choice(RibsUnderRun((0.0, 1.0, 2.0, 3.0), 3.0, (2, 3, 3, 3), 1, 2), 3)
    [(0, 1, 2), (0, 1, 3), (0, 2, 3), (1, 2, 3)]
    """
    needed = [ribs.first_end]
    for _ in range(count - 1):
        needed.append(bisect_left(ribs.furthest, needed[-1]))
    needed.reverse()
    found: list[Choice] = [(i,) for i in range(needed[0], ribs.last_start + 1)]
    for least in needed[1:]:
        found = [(*c, j) for c in found for j in range(max(c[-1] + 1, least), ribs.furthest[c[-1]] + 1)]
    return found


def _preference(ribs: RibsUnderRun, choice: Choice) -> tuple[float, float, Choice]:
    at = [ribs.offsets[i] for i in choice]
    longest = max(b - a for a, b in pairwise(at))
    return round(longest, 3), ribs.cantilever_difference(choice[0], choice[-1]), choice


def pinned(places_mm: Sequence[float], length_mm: float) -> RunCaps:
    """Caps that leave no other choice of so few ribs than this one.

    From the first rib on none may stand further right than here, from the last rib back none further left.
    """
    spans = [(a, b, b - a) for a, b in pairwise(places_mm)]
    ends = [(0.0, places_mm[0], places_mm[0]), (places_mm[-1], length_mm, length_mm - places_mm[-1])]
    return RunCaps(spans, [end for end in ends if end[1] > end[0]])
