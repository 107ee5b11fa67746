"""Counts by name, and the net parts the assembly rules make of them, each with its derivation."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Counts:
    """The counts of a job, a roof or an array. ``run_length`` in mm, ``power`` in W, ``bars`` by stock length in mm."""

    modules: int = 0
    row_segments: int = 0
    column_segments: int = 0
    runs: int = 0
    run_length: float = 0.0
    attachments: int = 0
    mid_clamps: int = 0
    end_clamps: int = 0
    pieces: int = 0
    cuts: int = 0
    splices: int = 0
    expansion_splices: int = 0
    bars: Mapping[str, int] = field(default_factory=dict)
    arrays: int = 0
    roofs: int = 0
    power: float = 0.0


@dataclass(frozen=True, slots=True)
class ArrayCounts:
    """The counts of one array; bars belong to the job only, so they are empty here."""

    roof: int
    array: int
    name: str
    counts: Counts


@dataclass(frozen=True, slots=True)
class RoofCounts:
    """The counts of one roof and of its arrays."""

    roof: int
    name: str
    counts: Counts
    arrays: tuple[ArrayCounts, ...]


@dataclass(frozen=True, slots=True)
class JobCounts:
    """The counts of the job: those of its roofs summed, and the bars of the cut plan."""

    counts: Counts
    roofs: tuple[RoofCounts, ...]


@dataclass(frozen=True, slots=True)
class RuleShare:
    """What one rule asks of one part: count for each ``per`` of a basis; ``places`` share it over roof and array."""

    rule: str
    count: Fraction
    for_each: str
    per: int
    basis: Fraction
    asked: Fraction
    places: tuple[tuple[str, Fraction], ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class NetLine:
    """A part and how many the rules (or, for bars, the cut plan) ask, rounded up to a whole part once."""

    part: str
    role: str
    net: int
    shares: tuple[RuleShare, ...]
