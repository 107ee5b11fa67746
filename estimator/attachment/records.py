"""What stands where: the rail runs with their attachments, and the attachments without rail.

Lengths mm; distances along a run from its start (left end, or lower end for runs up the slope).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from estimator.errors import Finding
from estimator.mounting.records import Clearance
from estimator.places import Place
from estimator.sentences import Sentence


@dataclass(frozen=True, slots=True)
class Limits:
    """The span and cantilever limits in force, where each comes from in words, and whether the job gives it."""

    max_span_mm: float
    max_cantilever_mm: float
    span_source: Sentence
    cantilever_source: Sentence
    span_given: bool = False
    cantilever_given: bool = False


@dataclass(frozen=True, slots=True)
class Run:
    """One rail line under a segment. ``line`` is the row (or column) number, ``position`` the rail's place in it.

    A rail that expansion splices divide is a run for each part (``part`` from 0); ``joined`` tells that an expansion
    splice joins its end to the next. ``wide_gaps`` are the gaps between its modules that are wider than the
    others, where two end clamps stand instead of a mid clamp. ``attachments_mm`` are distances from the start;
    ``utilisations`` go with them where loads were computed.
    ``tributary_mm`` is the width of module surface the run carries, ``reversed_mm`` that whose load reaches it with the
    other sign (modules on three lines close together lift off the middle one); ``zones`` name the load zone per
    attachment.
    """

    key: int
    place: Place
    roof: int
    array: int
    segment: int
    line: int
    position: int
    axis: Literal["x", "y"]
    start_x: float
    start_y: float
    length_mm: float
    modules: int
    tributary_mm: float
    attachments_mm: tuple[float, ...]
    utilisations: tuple[float, ...] = ()
    zones: tuple[str, ...] = ()
    reversed_mm: float = 0.0
    part: int = 0
    joined: bool = False
    wide_gaps: int = 0

    @property
    def mid_clamps(self) -> int:
        """One between neighbouring modules, but where the gap is wider than the others."""
        return self.modules - 1 - self.wide_gaps

    @property
    def end_clamps(self) -> int:
        """One at each end, and two at every wider gap."""
        return 2 + 2 * self.wide_gaps


@dataclass(frozen=True, slots=True)
class Seat:
    """One attachment without rail, on a seam line: ``seam`` 0 below row 0; it holds a mid or an end clamp."""

    roof: int
    array: int
    seam: int
    column: int
    x: float
    y: float
    clamp: Literal["mid_clamp", "end_clamp"]
    utilisation: float | None = None
    zone: str = ""


@dataclass(frozen=True, slots=True)
class SettingOut:
    """Every run and every attachment of the job, the limits they were placed by, and what fails."""

    runs: tuple[Run, ...]
    seats: tuple[Seat, ...]
    limits: Limits
    clearances: tuple[Clearance, ...]
    findings: tuple[Finding, ...]
