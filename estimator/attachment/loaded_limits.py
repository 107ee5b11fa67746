"""The limits of each run under load: its zones' spans, and shorter ones where a real reaction asked for them."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from itertools import pairwise

from estimator.attachment.limit_steps import LimitSteps
from estimator.attachment.limits import GIVEN
from estimator.attachment.loaded_records import LineCheck, RoofStrength, ZoneSpan
from estimator.attachment.loaded_spans import SpanCaps, zone_span
from estimator.attachment.loaded_zones import ZoneLines
from estimator.attachment.records import Limits, MountingChoice, Run
from estimator.attachment.spacing import Limit
from estimator.job import Job
from estimator.loads import Pressures

HOLDS = 1.0 + 1e-9
SHORTER = 0.95
LEAST_SPAN_MM = 100.0

RunKey = tuple[int, int, int, int, int]
Cap = tuple[float, float, float]
"""From, to, and the longest span that may touch that part of the run, mm."""


def run_key(run: Run) -> RunKey:
    """What tells a run from every other of the job, whatever stands on it."""
    return run.roof, run.array, run.segment, run.line, run.position


@dataclass(slots=True)
class LimitsUnderLoad:
    """Limits of every run of a job; remembers the zones it has worked out and the caps asked for."""

    job: Job
    choice: MountingChoice
    limits: Limits
    pressures: tuple[Pressures, ...]
    strengths: tuple[RoofStrength, ...]
    lines: tuple[ZoneLines, ...]
    spans: dict[tuple[int, str, float], ZoneSpan] = field(default_factory=dict)
    caps: dict[RunKey, list[Cap]] = field(default_factory=dict)
    steps: dict[object, tuple[Limit, Limit]] = field(default_factory=dict)

    def along(self, run: Run) -> tuple[Limit, Limit]:
        """Span and cantilever limits along one run."""
        crossed = self.lines[run.roof].under(run)
        caps = self.caps.get(run_key(run), [])
        key = (run.roof, round(run.tributary_mm, 3), crossed, tuple(caps))
        if key not in self.steps:
            zones = [self.zone(run.roof, zone, run.tributary_mm) for zone in crossed[1]]
            spans = LimitSteps(crossed[0], tuple(z.span_mm or z.free_mm for z in zones))
            cantilevers = LimitSteps(crossed[0], tuple(z.cantilever_mm for z in zones))
            self.steps[key] = (_plain(capped(spans, caps)), _plain(cantilevers))
        return self.steps[key]

    def zone(self, roof: int, zone: str, tributary_mm: float) -> ZoneSpan:
        """The longest span in one zone for lines of one tributary width."""
        key = (roof, zone, round(tributary_mm, 3))
        if key not in self.spans:
            across = self.choice.rail_direction == "across_ribs"
            pitch = self.job.roofs[roof].ribs.spacing_mm if across else None
            self.spans[key] = zone_span(
                roof, zone, tributary_mm, pitch, self.pressures[roof], self.strengths[roof], span_caps(self.limits)
            )
        return self.spans[key]

    def tighten(self, run: Run, check: LineCheck) -> bool:
        """Ask for shorter spans round whatever does not hold on a run; False where that cannot help any more."""
        if self.limits.span_source == GIVEN:
            return False
        known = self.caps.setdefault(run_key(run), [])
        fresh = [cap for cap in self._shorter(run, check) if cap not in known]
        known += fresh
        return bool(fresh)

    def _shorter(self, run: Run, check: LineCheck) -> list[Cap]:
        spans = check.fields[1:-1]
        wide: set[int] = set()
        for number, attachment in enumerate(check.attachments):
            if attachment.utilisation > HOLDS:
                wide |= {number - 1, number} & set(range(len(spans)))
        for number, span in enumerate(check.fields):
            if max(span.bending, span.deflection) > HOLDS:
                wide |= {min(max(number - 1, 0), len(spans) - 1)}
        found = []
        for first, last in _neighbours(sorted(wide)):
            longest = max(span.end_mm - span.start_mm for span in spans[first : last + 1])
            shorter = self._next_shorter(run, longest)
            if shorter is not None:
                found.append((spans[first].start_mm, spans[last].end_mm, shorter))
        return found

    def _next_shorter(self, run: Run, span_mm: float) -> float | None:
        if run.axis == "y":
            return span_mm * SHORTER if span_mm * SHORTER >= LEAST_SPAN_MM else None
        pitch = self.job.roofs[run.roof].ribs.spacing_mm
        return span_mm - pitch if span_mm > 1.5 * pitch else None


def span_caps(limits: Limits) -> SpanCaps:
    """What stands beside the loads."""
    return SpanCaps(
        limits.max_span_mm,
        limits.span_source,
        limits.span_source == GIVEN,
        limits.max_cantilever_mm,
        limits.cantilever_source,
        limits.cantilever_source == GIVEN,
    )


def _neighbours(numbers: list[int]) -> list[tuple[int, int]]:
    """Stretches of consecutive numbers, each as its first and last.

    >>> _neighbours([0, 1, 4, 5, 6, 9])
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


def _plain(steps: LimitSteps) -> Limit:
    """A number where the limit is the same all along."""
    return steps.limits_mm[0] if len(set(steps.limits_mm)) == 1 else steps


def fails(check: LineCheck) -> bool:
    """Whether anything on a line does not hold."""
    return check.worst > HOLDS
