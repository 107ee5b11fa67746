"""The limits of each run under load: its zones' spans, and shorter ones where a real reaction asked for them."""

from __future__ import annotations

from collections.abc import Hashable, MutableMapping
from dataclasses import dataclass, field, replace
from typing import Any

from estimator.attachment.geometry.limit_steps import LimitSteps
from estimator.attachment.geometry.spacing.one_run import Limit
from estimator.attachment.records import Limits, Run
from estimator.attachment.under_load.lines.zones import ZoneLines
from estimator.attachment.under_load.placing.spans import SpanCaps, zone_span
from estimator.attachment.under_load.placing.tighten import RunCaps, capped, every_rib, shorter
from estimator.attachment.under_load.records import LineCheck, RoofStrength, ZoneSpan
from estimator.job import Job
from estimator.loads import Pressures
from estimator.mounting.records import MountingChoice

RunKey = tuple[int, int, int, int, int, int]


def run_key(run: Run) -> RunKey:
    """What tells a run from every other of the job, whatever stands on it."""
    return run.roof, run.array, run.segment, run.line, run.position, run.part


@dataclass(slots=True)
class LimitsUnderLoad:
    """Limits of every run of a job; remembers the zones it has worked out and the caps asked for.

    ``laid`` is what mountings of one geometry have in common.
    """

    job: Job
    choice: MountingChoice
    limits: Limits
    pressures: tuple[Pressures, ...]
    strengths: tuple[RoofStrength, ...]
    lines: tuple[ZoneLines, ...]
    spans: dict[tuple[int, str, float], ZoneSpan] = field(default_factory=dict)
    caps: dict[RunKey, RunCaps] = field(default_factory=dict)
    steps: dict[object, tuple[Limit, Limit]] = field(default_factory=dict)
    laid: MutableMapping[Hashable, Any] = field(default_factory=dict)

    def along(self, run: Run) -> tuple[Limit, Limit]:
        """Span and cantilever limits along one run."""
        crossed = self.lines[run.roof].under(run)
        caps = self.caps.get(run_key(run), RunCaps())
        key = (run.roof, round(run.tributary_mm, 3), crossed, caps.key)
        if key not in self.steps:
            zones = [self.zone(run.roof, zone, run.tributary_mm) for zone in crossed[1]]
            spans = LimitSteps(crossed[0], tuple(z.span_mm or z.free_mm for z in zones))
            cantilevers = LimitSteps(crossed[0], tuple(z.cantilever_mm for z in zones))
            self.steps[key] = (_plain(capped(spans, caps.spans)), _plain(capped(cantilevers, caps.cantilevers)))
        return self.steps[key]

    def zone_limits(self, run: Run) -> tuple[Limit, Limit]:
        """Limits along one run by its zones alone, without what real reactions asked for."""
        return replace(self, caps={}).along(run)

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
        """Ask for shorter spans round whatever fails on a run; False where that cannot help any more."""
        if self.limits.span_given:
            return False
        asked = shorter(check, self._pitch(run))
        if self.limits.cantilever_given:
            asked.cantilevers.clear()
        return self.caps.setdefault(run_key(run), RunCaps()).add(asked)

    def use_every_rib(self, run: Run) -> bool:
        """An attachment on every rib; False where the spans were given or attachments may stand anywhere."""
        pitch = self._pitch(run)
        if pitch is None or self.limits.span_given or self.limits.cantilever_given:
            return False
        self.caps[run_key(run)] = every_rib(run.length_mm, pitch)
        return True

    def _pitch(self, run: Run) -> float | None:
        return None if run.axis == "y" else self.job.roofs[run.roof].ribs.spacing_mm


def span_caps(limits: Limits) -> SpanCaps:
    """What stands beside the loads."""
    return SpanCaps(
        limits.max_span_mm,
        limits.span_source,
        limits.span_given,
        limits.max_cantilever_mm,
        limits.cantilever_source,
        limits.cantilever_given,
    )


def _plain(steps: LimitSteps) -> Limit:
    """A number where the limit is the same all along."""
    return steps.limits_mm[0] if len(set(steps.limits_mm)) == 1 else steps
