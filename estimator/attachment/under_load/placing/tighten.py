"""Shorter spans and cantilevers where a line fails as set out.

Around an attachment that carries too much, the spans beside it are capped one rib below the longer of them; an end
attachment whose cantilever crosses a rib gives up that rib of cantilever first. Every cap only ever shortens, so that
placing again comes to an end. Lengths mm from the run's start.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from itertools import pairwise

from estimator.attachment.geometry.limit_steps import TOLERANCE_MM, LimitSteps
from estimator.attachment.under_load.records import HOLDS, LineCheck

SHORTER = 0.95
LEAST_SPAN_MM = 100.0

Cap = tuple[float, float, float]
"""From, to, and the longest span (or cantilever) that may touch that part of the run, mm."""


@dataclass(slots=True)
class RunCaps:
    """The caps asked for on one run."""

    spans: list[Cap] = field(default_factory=list)
    cantilevers: list[Cap] = field(default_factory=list)

    def add(self, more: RunCaps) -> bool:
        """Take caps over; whether any was new."""
        spans = [cap for cap in more.spans if cap not in self.spans]
        cantilevers = [cap for cap in more.cantilevers if cap not in self.cantilevers]
        self.spans += spans
        self.cantilevers += cantilevers
        return bool(spans or cantilevers)

    @property
    def key(self) -> tuple[tuple[Cap, ...], tuple[Cap, ...]]:
        """Equal for runs capped alike."""
        return tuple(self.spans), tuple(self.cantilevers)


def every_rib(length_mm: float, pitch_mm: float) -> RunCaps:
    """Caps that leave nothing but an attachment on every rib."""
    whole = (0.0, length_mm, pitch_mm)
    return RunCaps([whole], [whole])


def fails(check: LineCheck) -> bool:
    """Whether anything on a line fails."""
    return check.worst > HOLDS


def shorter(check: LineCheck, pitch_mm: float | None) -> RunCaps:
    """Caps that answer what fails on one line; ``pitch_mm`` is None where attachments may stand anywhere."""
    spans = check.fields[1:-1]
    cantilevers = _cantilevers(check, pitch_mm)
    ends = {0: "first" in cantilevers, len(spans): "last" in cantilevers}
    wide: set[int] = set()
    for number, attachment in enumerate(check.attachments):
        if attachment.utilisation > HOLDS and not ends.get(number):
            wide |= {number - 1, number} & set(range(len(spans)))
    for number, span in enumerate(spans):
        if max(span.bending, span.deflection) > HOLDS:
            wide.add(number)
    found = RunCaps(cantilevers=list(cantilevers.values()))
    for first, last in neighbours(sorted(wide)):
        longest = max(span.end_mm - span.start_mm for span in spans[first : last + 1])
        cap = _next_shorter(longest, pitch_mm)
        if cap is not None:
            found.spans.append((spans[first].start_mm, spans[last].end_mm, cap))
    return found


def _cantilevers(check: LineCheck, pitch_mm: float | None) -> dict[str, Cap]:
    """Cantilevers to be shortened: their attachment or they themselves do not hold, and there is a rib to go to."""
    found = {}
    for end, part, attachment in (
        ("first", check.fields[0], check.attachments[0]),
        ("last", check.fields[-1], check.attachments[-1]),
    ):
        length = part.end_mm - part.start_mm
        if max(attachment.utilisation, part.bending, part.deflection) <= HOLDS:
            continue
        if pitch_mm is None and length * SHORTER >= LEAST_SPAN_MM:
            found[end] = (part.start_mm, part.end_mm, length * SHORTER)
        if pitch_mm is not None and length >= pitch_mm - TOLERANCE_MM:
            found[end] = (part.start_mm, part.end_mm, max(0.0, length - pitch_mm))
    return found


def _next_shorter(span_mm: float, pitch_mm: float | None) -> float | None:
    if pitch_mm is None:
        return span_mm * SHORTER if span_mm * SHORTER >= LEAST_SPAN_MM else None
    return span_mm - pitch_mm if span_mm > 1.5 * pitch_mm else None


def neighbours(numbers: list[int]) -> list[tuple[int, int]]:
    """Stretches of consecutive numbers, each as its first and last.

    >>> neighbours([0, 1, 4, 5, 6, 9])
    [(0, 1), (4, 6), (9, 9)]
    """
    if not numbers:
        return []
    breaks = [i for i, (a, b) in enumerate(pairwise(numbers), start=1) if b > a + 1]
    return [(numbers[a], numbers[b - 1]) for a, b in pairwise([0, *breaks, len(numbers)])]


def capped(steps: LimitSteps, caps: list[Cap]) -> LimitSteps:
    """Limits along a run with some parts of it capped further.

    >>> capped(LimitSteps((), (900.0,)), [(100.0, 700.0, 600.0), (400.0, 1300.0, 300.0)])
    LimitSteps(breaks_mm=(100.0, 400.0, 1300.0), limits_mm=(900.0, 600.0, 300.0, 900.0))
    """
    if not caps:
        return steps
    ends = sorted({*steps.breaks_mm, *(end for cap in caps for end in cap[:2])})
    edges = [float("-inf"), *ends, float("inf")]
    limits = []
    for start, end in pairwise(edges):
        inside = [limit for a, b, limit in caps if a < end and b > start]
        place = bisect_right(steps.breaks_mm, start)
        limits.append(min([steps.limits_mm[place], *inside]))
    kept = [i for i, (a, b) in enumerate(pairwise(limits)) if a != b]
    return LimitSteps(tuple(ends[i] for i in kept), tuple(limits[i] for i in [*kept, len(limits) - 1]))
