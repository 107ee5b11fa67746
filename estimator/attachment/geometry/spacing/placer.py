"""Attachments on every run: identical runs are solved once; a run that cannot be built is told, not dropped."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from estimator.attachment.geometry.limit_steps import TOLERANCE_MM, LimitSteps, as_steps
from estimator.attachment.geometry.spacing.one_run import Limit, LimitFailure, NoPlacement, place_evenly, place_on_ribs
from estimator.attachment.records import Run

LimitsAlong = Callable[[Run], tuple[Limit, Limit]]
"""For a run without attachments: its span and its cantilever limits, one number each or changing along it."""


@dataclass(frozen=True, slots=True)
class UnplacedRun:
    """A run for which no choice of ribs keeps its limits."""

    run: Run
    failures: tuple[LimitFailure, ...]


Solution = tuple[tuple[int, ...], tuple[float, ...], tuple[LimitFailure, ...]]
"""Ribs chosen (indices of the ribs under the run), their places from the run's start, and what fails."""


@dataclass(slots=True)
class Placer:
    """Places attachments on the runs of one roof, remembering what it has solved."""

    ribs: tuple[float, ...]
    limits_along: LimitsAlong
    stagger: bool = False
    solved: dict[object, Solution] = field(default_factory=dict)
    used_below: frozenset[int] = frozenset()

    def place_across(self, runs: list[Run], unplaced: list[UnplacedRun], first_key: int) -> list[Run]:
        """The runs of one array along x, in order from the eave up, with their attachments."""
        placed: list[Run] = []
        used: set[int] = set()
        self.used_below = frozenset()
        level: tuple[int, int] | None = None
        for run in runs:
            if (run.line, run.position) != level and self.stagger:
                self.used_below, used, level = frozenset(used), set(), (run.line, run.position)
            first, solution = self._across(run)
            used.update(first + number for number in solution[0])
            if solution[2]:
                unplaced.append(UnplacedRun(run, solution[2]))
            placed.append(replace(run, key=first_key + len(placed), attachments_mm=solution[1]))
        return placed

    def place_along(self, runs: list[Run], first_key: int) -> list[Run]:
        """The runs of one array along y, each on its rib, with evenly spaced attachments."""
        placed: list[Run] = []
        for run in runs:
            spans, cantilevers = self.limits_along(run)
            key = (round(run.length_mm, 3), spans, cantilevers)
            if key not in self.solved:
                places = place_evenly(run.length_mm, spans, cantilevers)
                self.solved[key] = ((), tuple(round(place, 6) for place in places), ())
            placed.append(replace(run, key=first_key + len(placed), attachments_mm=self.solved[key][1]))
        return placed

    def _across(self, run: Run) -> tuple[int, Solution]:
        first = bisect_left(self.ribs, run.start_x - TOLERANCE_MM)
        end = bisect_right(self.ribs, run.start_x + run.length_mm + TOLERANCE_MM)
        avoid = frozenset(number - first for number in self.used_below if first <= number < end)
        spans, cantilevers = self.limits_along(run)
        phase = round(self.ribs[first] - run.start_x, 3) if first < end else 0.0
        key = (round(run.length_mm, 3), phase, end - first, spans, cantilevers, avoid)
        if key not in self.solved:
            offsets = tuple(min(max(round(rib - run.start_x, 6), 0.0), run.length_mm) for rib in self.ribs[first:end])
            self.solved[key] = _solve(offsets, run.length_mm, spans, cantilevers, avoid)
        return first, self.solved[key]


def _solve(
    offsets: tuple[float, ...], length: float, spans: Limit, cantilevers: Limit, avoid: frozenset[int]
) -> Solution:
    chosen = place_on_ribs(offsets, length, spans, cantilevers, avoid)
    failures: tuple[LimitFailure, ...] = ()
    if isinstance(chosen, NoPlacement):
        failures = chosen.failures
        chosen = _as_near_as_ribs_allow(offsets, length, as_steps(spans), as_steps(cantilevers))
    return chosen, tuple(offsets[number] for number in chosen), failures


def _as_near_as_ribs_allow(
    offsets: tuple[float, ...], length: float, spans: LimitSteps, cantilevers: LimitSteps
) -> tuple[int, ...]:
    """The choice with each failing limit stretched to what the ribs leave, so that the rest can still be seen."""
    chosen = place_on_ribs(offsets, length, spans, cantilevers)
    while isinstance(chosen, NoPlacement):
        for failure in chosen.failures:
            if failure.limit == "ribs":
                return tuple(range(len(offsets)))
            if failure.limit == "span":
                spans = spans.at_least(failure.found_mm)
            else:
                cantilevers = cantilevers.at_least(failure.found_mm)
        chosen = place_on_ribs(offsets, length, spans, cantilevers)
    return chosen
