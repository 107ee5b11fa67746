"""A limit along a run: the same everywhere, or changing at breakpoints (where the run enters another load zone)."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

TOLERANCE_MM = 0.001


@dataclass(frozen=True, slots=True)
class LimitSteps:
    """``limits_mm[i]`` holds from ``breaks_mm[i - 1]`` to ``breaks_mm[i]``, mm from the run's start, ascending.

    >>> LimitSteps((1000.0,), (600.0, 1200.0)).least(1000.0, 2000.0)
    1200.0
    """

    breaks_mm: tuple[float, ...]
    limits_mm: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.limits_mm) != len(self.breaks_mm) + 1:
            raise ValueError("one limit more than breakpoints is needed")

    def least(self, start_mm: float, end_mm: float) -> float:
        """The smallest limit over a stretch; a stretch that only touches a zone is not in it."""
        first = bisect_right(self.breaks_mm, start_mm + TOLERANCE_MM)
        last = max(first, bisect_left(self.breaks_mm, end_mm - TOLERANCE_MM))
        return min(self.limits_mm[first : last + 1])

    def scaled(self, share: float) -> LimitSteps:
        """The same steps with every limit multiplied."""
        return LimitSteps(self.breaks_mm, tuple(limit * share for limit in self.limits_mm))

    def at_least(self, floor_mm: float) -> LimitSteps:
        """The same steps with no limit below ``floor_mm``."""
        return LimitSteps(self.breaks_mm, tuple(max(limit, floor_mm) for limit in self.limits_mm))


def as_steps(limits: float | LimitSteps) -> LimitSteps:
    """A plain number holds along the whole run."""
    return limits if isinstance(limits, LimitSteps) else LimitSteps((), (float(limits),))
