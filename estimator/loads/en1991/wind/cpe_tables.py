"""External pressure coefficients cpe of EN 1991-1-4, tables 7.2 (flat), 7.3 (monopitch), 7.4 (duopitch).

Each row: pitch in degrees, then per zone the suction (cpe,10, cpe,1) and the pressure branch, None where the table has
no such branch. Marks: the duopitch rows F, G, H are confirmed; I and J at 5 deg either side and their 0.0 branches are
from memory; the monopitch rows rest on one transcription, and the severer value stands where it and memory differ.
"""

from __future__ import annotations

from dataclasses import dataclass

from estimator.loads.actions.steps import Mark

Suction = tuple[float, float] | None
Entry = tuple[Suction, float | None]


@dataclass(frozen=True, slots=True)
class CpeTable:
    """One printed table: the zones, and per pitch the entries of every zone."""

    name: str
    direction: str
    mark: Mark
    zones: tuple[str, ...]
    rows: tuple[tuple[float, tuple[Entry, ...]], ...]


def both(ten: float, one: float | None = None, pressure: float | None = None) -> Entry:
    """A zone's entry: suction for 10 m2 and for 1 m2 (the same if only one is printed), and the pressure branch."""
    return (ten, ten if one is None else one), pressure


def only(pressure: float) -> Entry:
    """A zone that only has pressure."""
    return None, pressure


FLAT = CpeTable(
    "7.2", "any", "found", ("F", "G", "H", "I"),
    ((0.0, (both(-1.8, -2.5), both(-1.2, -2.0), both(-0.7, -1.2), both(-0.2, None, 0.2))),),
)  # fmt: skip

DUOPITCH_0 = CpeTable(
    "7.4a", "0", "found", ("F", "G", "H", "I", "J"),
    (
        (-45, (both(-0.6), both(-0.6), both(-0.8), both(-0.7), both(-1.0, -1.5))),
        (-30, (both(-1.1, -2.0), both(-0.8, -1.5), both(-0.8), both(-0.6), both(-0.8, -1.4))),
        (-15, (both(-2.5, -2.8), both(-1.3, -2.0), both(-0.9, -1.2), both(-0.5), both(-0.7, -1.2))),
        (-5, (both(-2.3, -2.5), both(-1.2, -2.0), both(-0.8, -1.2), both(-0.6, None, 0.2), both(-0.6, None, 0.2))),
        (5, (both(-1.7, -2.5, 0.0), both(-1.2, -2.0, 0.0), both(-0.6, -1.2, 0.0), both(-0.6), both(-0.6, None, 0.2))),
        (15, (both(-0.9, -2.0, 0.2), both(-0.8, -1.5, 0.2), both(-0.3, None, 0.2), both(-0.4, None, 0.0),
              both(-1.0, -1.5, 0.0))),
        (30, (both(-0.5, -1.5, 0.7), both(-0.5, -1.5, 0.7), both(-0.2, None, 0.4), both(-0.4, None, 0.0),
              both(-0.5, None, 0.0))),
        (45, (both(0.0, None, 0.7), both(0.0, None, 0.7), both(0.0, None, 0.6), both(-0.2, None, 0.0),
              both(-0.3, None, 0.0))),
        (60, (only(0.7), only(0.7), only(0.7), both(-0.2), both(-0.3))),
        (75, (only(0.8), only(0.8), only(0.8), both(-0.2), both(-0.3))),
    ),
)  # fmt: skip

DUOPITCH_90 = CpeTable(
    "7.4b", "90", "found", ("F", "G", "H", "I"),
    (
        (-45, (both(-1.4, -2.0), both(-1.2, -2.0), both(-1.0, -1.3), both(-0.9, -1.2))),
        (-30, (both(-1.5, -2.1), both(-1.2, -2.0), both(-1.0, -1.3), both(-0.9, -1.2))),
        (-15, (both(-1.9, -2.5), both(-1.2, -2.0), both(-0.8, -1.2), both(-0.8, -1.2))),
        (-5, (both(-1.8, -2.5), both(-1.2, -2.0), both(-0.7, -1.2), both(-0.6, -1.2))),
        (5, (both(-1.6, -2.2), both(-1.3, -2.0), both(-0.7, -1.2), both(-0.6))),
        (15, (both(-1.3, -2.0), both(-1.3, -2.0), both(-0.6, -1.2), both(-0.5))),
        (30, (both(-1.1, -1.5), both(-1.4, -2.0), both(-0.8, -1.2), both(-0.5))),
        (45, (both(-1.1, -1.5), both(-1.4, -2.0), both(-0.9, -1.2), both(-0.5))),
        (60, (both(-1.1, -1.5), both(-1.2, -2.0), both(-0.8, -1.0), both(-0.5))),
        (75, (both(-1.1, -1.5), both(-1.2, -2.0), both(-0.8, -1.0), both(-0.5))),
    ),
)  # fmt: skip

MONOPITCH_0 = CpeTable(
    "7.3a", "0", "found once", ("F", "G", "H"),
    (
        (5, (both(-1.7, -2.5, 0.0), both(-1.2, -2.0, 0.0), both(-0.6, -1.2, 0.0))),
        (15, (both(-0.9, -2.0, 0.2), both(-0.8, -1.5, 0.2), both(-0.3, None, 0.2))),
        (30, (both(-0.5, -1.5, 0.7), both(-0.5, -1.5, 0.7), both(-0.2, None, 0.4))),
        (45, (both(0.0, None, 0.7), both(0.0, None, 0.7), both(0.0, None, 0.6))),
        (60, (only(0.7), only(0.7), only(0.7))),
        (75, (only(0.8), only(0.8), only(0.8))),
    ),
)  # fmt: skip

MONOPITCH_180 = CpeTable(
    "7.3a", "180", "found once", ("F", "G", "H"),
    (
        (5, (both(-2.3, -2.5), both(-1.3, -2.0), both(-0.8, -1.2))),
        (15, (both(-2.5, -2.8), both(-1.3, -2.0), both(-0.9, -1.2))),
        (30, (both(-1.1, -2.3), both(-0.8, -1.5), both(-0.8))),
        (45, (both(-0.6, -1.3), both(-0.5, -1.0), both(-0.8))),
        (60, (both(-0.5, -1.0), both(-0.5, -1.0), both(-0.8))),
        (75, (both(-0.5, -1.0), both(-0.5, -1.0), both(-0.8))),
    ),
)  # fmt: skip

MONOPITCH_90 = CpeTable(
    "7.3b", "90", "found once", ("Fup", "Flow", "G", "H", "I"),
    (
        (5, (both(-2.1, -2.6), both(-2.1, -2.4), both(-1.8, -2.0), both(-0.6, -1.2), both(-0.5))),
        (15, (both(-2.4, -2.9), both(-1.6, -2.4), both(-1.9, -2.5), both(-0.8, -1.2), both(-0.7, -1.2))),
        (30, (both(-2.1, -2.9), both(-1.3, -2.0), both(-1.5, -2.0), both(-1.0, -1.3), both(-0.8, -1.2))),
        (45, (both(-1.5, -2.4), both(-1.3, -2.0), both(-1.4, -2.0), both(-1.0, -1.3), both(-0.9, -1.2))),
        (60, (both(-1.2, -2.0), both(-1.2, -2.0), both(-1.2, -2.0), both(-1.0, -1.3), both(-0.7, -1.2))),
        (75, (both(-1.2, -2.0), both(-1.2, -2.0), both(-1.2, -2.0), both(-1.0, -1.3), both(-0.5))),
    ),
)  # fmt: skip
