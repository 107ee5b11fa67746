"""Runs placed so that everything on them holds: place, check, shorten where a reaction asks for it, and again."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from estimator.attachment.geometry.limit_steps import TOLERANCE_MM, as_steps
from estimator.attachment.geometry.setting_out import set_out
from estimator.attachment.geometry.spacing.ribs_under_run import RibsUnderRun
from estimator.attachment.records import Run, SettingOut
from estimator.attachment.under_load.lines.check import check_lines, may_hold
from estimator.attachment.under_load.lines.known import KnownChecks
from estimator.attachment.under_load.placing.exact import Allowance, Choice, fewest_that_hold, pinned
from estimator.attachment.under_load.placing.limits import LimitsUnderLoad, run_key
from estimator.attachment.under_load.placing.tighten import RunCaps, fails
from estimator.attachment.under_load.records import Line
from estimator.layout import Layout
from estimator.layout.work import Work

MOST_ROUNDS = 40
CHECKED_TOGETHER = 8

Placed = tuple[SettingOut, tuple[int, ...]]
"""A setting-out, and the place of each run's check among the known ones (-1: it has fewer than two attachments)."""


def place_under_load(layout: Layout, under_load: LimitsUnderLoad, known: KnownChecks) -> Placed:
    """The setting-out in which as much holds as the ribs allow, with the fewest attachments that were found to do."""
    placed, places = _once(layout, under_load, known)
    least = [len(run.attachments_mm) for run in placed.runs]
    for _ in range(MOST_ROUNDS):
        failing = _failing(places, known)
        if not any([under_load.tighten(placed.runs[n], known.checks[places[n]]) for n in failing]):  # noqa: C419
            break
        placed, places = _once(layout, under_load, known)
    if under_load.caps and _pin_fewest(layout, (under_load, known.work), placed, least, _failing(places, known)):
        placed, places = _once(layout, under_load, known)
    failing = _failing(places, known)
    before = {n: under_load.caps.get(run_key(placed.runs[n]), RunCaps()) for n in failing}
    if not any([under_load.use_every_rib(placed.runs[n]) for n in failing]):  # noqa: C419
        return placed, places
    crowded, places = _once(layout, under_load, known)
    for n in _failing(places, known):
        under_load.caps[run_key(crowded.runs[n])] = before.get(n, RunCaps())
    return _once(layout, under_load, known)


def _once(layout: Layout, under_load: LimitsUnderLoad, known: KnownChecks) -> Placed:
    limits, along = under_load.limits, under_load.along
    placed = set_out(under_load.job, layout, under_load.choice, limits, along, known=under_load.laid)
    return placed, known.check((run.roof, line_of(run, under_load)) for run in placed.runs)


def _failing(places: Sequence[int], known: KnownChecks) -> list[int]:
    bad = {place for place in set(places) if place >= 0 and fails(known.checks[place])}
    return [n for n, place in enumerate(places) if place in bad]


def line_of(run: Run, under_load: LimitsUnderLoad) -> Line | None:
    """A run with the zones it lies in, rounded so that runs alike are the same; None with fewer than two supports."""
    if len(run.attachments_mm) < 2:
        return None
    borders, names = under_load.lines[run.roof].under(run)
    tributary, reverse = round(run.tributary_mm, 6), round(run.reversed_mm, 6)
    return Line(round(run.length_mm, 6), run.attachments_mm, tributary, borders, names, reverse)


def _pin_fewest(
    layout: Layout, under: tuple[LimitsUnderLoad, Work], placed: SettingOut, least: list[int], failing: list[int]
) -> bool:
    """Runs whose spans were shortened: whether fewer ribs hold, or any where shortening did not help."""
    under_load, work = under
    search = _RunSearch(under_load, {roof.roof: roof.ribs_x for roof in layout.roofs}, work)
    still = set(failing)
    found = False
    for n, run in enumerate(placed.runs):
        if run.axis == "x" and run_key(run) in under_load.caps and (n in still or len(run.attachments_mm) > least[n]):
            best = search.fewest(run, least[n], None if n in still else len(run.attachments_mm))
            if best is not None:
                under_load.caps[run_key(run)] = pinned(best, run.length_mm)
                found = True
    return found


@dataclass(slots=True)
class _RunSearch:
    """Exhaustive search over the ribs under runs, runs alike once."""

    under_load: LimitsUnderLoad
    ribs: dict[int, tuple[float, ...]]
    work: Work
    allowance: Allowance = field(default_factory=Allowance)
    known: dict[object, tuple[float, ...] | None] = field(default_factory=dict)

    def fewest(self, run: Run, least: int, below: int | None) -> tuple[float, ...] | None:
        """Places of the fewest attachments, from ``least`` on and fewer than ``below``, that hold on a run."""
        line = line_of(run, self.under_load)
        offsets = self._offsets(run)
        if line is None or len(offsets) < 2:
            return None
        key = (run.roof, replace(line, attachments_mm=offsets), least, below)
        if key not in self.known:
            self.known[key] = self._solve(run, line, offsets, range(least, below or len(offsets) + 1))
        return self.known[key]

    def _offsets(self, run: Run) -> tuple[float, ...]:
        ribs = self.ribs[run.roof]
        first = bisect_left(ribs, run.start_x - TOLERANCE_MM)
        end = bisect_right(ribs, run.start_x + run.length_mm + TOLERANCE_MM)
        return tuple(min(max(round(rib - run.start_x, 6), 0.0), run.length_mm) for rib in ribs[first:end])

    def _solve(self, run: Run, line: Line, offsets: tuple[float, ...], counts: range) -> tuple[float, ...] | None:
        limits = self.under_load.zone_limits(run)
        spans, cantilevers = as_steps(limits[0]), as_steps(limits[1])
        first, last = cantilevers.least(0.0, offsets[0]), cantilevers.least(offsets[-1], run.length_mm)
        if offsets[0] > first + TOLERANCE_MM or run.length_mm - offsets[-1] > last + TOLERANCE_MM:
            return None
        ribs = RibsUnderRun.under(offsets, run.length_mm, spans, cantilevers)

        def first_good(choices: Sequence[Choice]) -> Choice | None:
            self.work.solve(sum(map(len, choices)))
            return self._first_that_holds(run.roof, line, offsets, choices)

        best = fewest_that_hold(ribs, counts, first_good, self.allowance)
        return None if best is None else tuple(offsets[i] for i in best)

    def _first_that_holds(
        self, roof: int, line: Line, offsets: tuple[float, ...], choices: Sequence[Choice]
    ) -> Choice | None:
        """The first of some choices with which everything holds; first what attachments carry, the rest of few."""
        pressures, strength = self.under_load.pressures[roof], self.under_load.strengths[roof]
        lines = [replace(line, attachments_mm=tuple(offsets[i] for i in choice)) for choice in choices]
        good = [number for number, may in enumerate(may_hold(lines, pressures, strength)) if may]
        for start in range(0, len(good), CHECKED_TOGETHER):
            some = good[start : start + CHECKED_TOGETHER]
            checks = check_lines([lines[number] for number in some], pressures, strength)
            for number, check in zip(some, checks, strict=True):
                if not fails(check):
                    return choices[number]
        return None
