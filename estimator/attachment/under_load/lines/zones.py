"""Which load zones a line passes through, every height of a roof looked up once."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass, field
from typing import Literal

from estimator.attachment.geometry.limit_steps import TOLERANCE_MM
from estimator.attachment.records import Run
from estimator.loads import Pressures, ZoneStretch, with_inner, zones_along

FAR_MM = 1e6

Cells = frozenset[tuple[int, int]]
Crossed = tuple[tuple[float, ...], tuple[str, ...]]
"""Where the zone changes, mm from the line's start, and the zones, one more."""


@dataclass(slots=True)
class ZoneLines:
    """The zones of one roof along any line on it."""

    pressures: Pressures
    known: dict[tuple[str, float, float], tuple[tuple[float, ...], tuple[str, ...]]] = field(default_factory=dict)
    runs: dict[tuple[int, str, int, float, float, float, float], Crossed] = field(default_factory=dict)

    def along(self, axis: Literal["x", "y"], at_mm: float, half_band_mm: float, start: float, length: float) -> Crossed:
        """Zones of a stretch of a line; the most severe zone that touches its band counts for the whole band."""
        key = (axis, round(at_mm, 3), round(half_band_mm, 3))
        if key not in self.known:
            found = zones_along(self.pressures.zone_map, axis, at_mm, -FAR_MM, FAR_MM, half_band_mm)
            self.known[key] = _borders(found)
        ends, zones = self.known[key]
        first = bisect_right(ends, start + TOLERANCE_MM)
        last = max(first, bisect_left(ends, start + length - TOLERANCE_MM))
        return tuple(round(end - start, 3) for end in ends[first:last]), zones[first : last + 1]

    def under(self, run: Run) -> Crossed:
        """Zones under a run, over the width of module surface it carries."""
        start, across = (run.start_x, run.start_y) if run.axis == "x" else (run.start_y, run.start_x)
        key = (run.array, run.axis, run.line, across, start, run.length_mm, run.tributary_mm)
        if key not in self.runs:
            crossed = self.along(run.axis, across, run.tributary_mm / 2, start, run.length_mm)
            self.runs[key] = self._inside(run, start, crossed)
        return self.runs[key]

    def _inside(self, run: Run, start: float, crossed: Crossed) -> Crossed:
        """The zones with those parts told apart that lie under modules no exposed edge reaches."""
        if not self.pressures.inner:
            return crossed
        breaks, inner = self.pressures.inner[run.array].crossed(run.axis, run.line, start, run.length_mm)
        return with_inner(crossed, breaks, inner, self.names)

    @property
    def names(self) -> frozenset[str]:
        """Every zone there is a load for."""
        return frozenset(zone.name for zone in self.pressures.zones)

    def beside(self, array: int, seam: int, column: int, crossed: Crossed, present: Cells) -> Crossed:
        """Zones along a module edge held without rail: inner where every module beside it is."""
        if not self.pressures.inner or not self.pressures.inner[array].seam(seam, column, present):
            return crossed
        return with_inner(crossed, (), (True,), self.names)


def _borders(stretches: tuple[ZoneStretch, ...]) -> tuple[tuple[float, ...], tuple[str, ...]]:
    return tuple(s.end_mm for s in stretches[:-1]), tuple(s.zone for s in stretches)
