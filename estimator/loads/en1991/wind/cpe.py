"""External pressure coefficients of EN 1991-1-4 at any pitch and loaded area.

Straight between the pitches of the table, within the suction branch and within the pressure branch, never from one to
the other; logarithmic in the loaded area between 1 and 10 m2.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from estimator.errors import Fault, LoadsRefused
from estimator.loads.actions.clauses import Clause
from estimator.loads.actions.curves import M2, Coefficient, Curve
from estimator.loads.actions.steps import Mark
from estimator.loads.en1991.wind.cpe_tables import CpeTable, Entry
from estimator.sentences import figure, say


@dataclass(frozen=True, slots=True)
class ZoneCpe:
    """One zone under one wind direction: its suction (never over 0) and its pressure (never under 0)."""

    zone: str
    direction: str
    suction: Coefficient
    pressure: Coefficient


def area_curve(ten: float, one: float) -> Curve:
    """Cpe over the loaded area in m2: cpe,1 up to 1, cpe,10 from 10, logarithmic between.

    Source: EN 1991-1-4:2005 Figure 7.2 [from memory].

    >>> area_curve(-0.9, -2.0).at([1, 2, 2.58, 5, 10]).round(4).tolist()
    [-2.0, -1.6689, -1.5472, -1.2311, -0.9]
    """
    return Curve(1.0, one, 10.0, ten)


def zone_coefficients(table: CpeTable, pitch_deg: float) -> tuple[ZoneCpe, ...]:
    """Every zone of a table at a pitch.

    Errors: LoadsRefused outside the table's pitches, and between -5 and 5 deg, where the flat roof's table applies.

    >>> from estimator.loads.en1991.wind.cpe_tables import DUOPITCH_0
    >>> F = zone_coefficients(DUOPITCH_0, 10.0)[0]
    >>> float(F.suction.at(10).round(4)), float(F.suction.at(1).round(4)), float(F.pressure.at(5).round(4))
    (-1.3, -2.25, 0.1)
    """
    low, high, share = _neighbours(table, pitch_deg)
    source = Clause("EN 1991-1-4", table.name, "table", direction=str(table.direction), pitch_deg=pitch_deg)
    found = []
    for index, zone in enumerate(table.zones):
        suction, pressure = _between(low[1][index], high[1][index], share)
        label = f"{zone} (theta {table.direction})"
        mark, branch_mark = _marks(table, zone, pitch_deg)
        found.append(
            ZoneCpe(
                zone,
                table.direction,
                Coefficient(label, ((1.0, area_curve(*suction)),), M2, mark, source),
                Coefficient(label, ((1.0, area_curve(pressure, pressure)),), M2, branch_mark, source),
            )
        )
    return tuple(found)


def _marks(table: CpeTable, zone: str, pitch_deg: float) -> tuple[Mark, Mark]:
    """Marks of the suction and of the pressure branch.

    Zones I and J of the duopitch table are from memory about 5 deg, and so is their pressure branch everywhere.
    """
    if table.name == "7.4a" and zone in ("I", "J"):
        return ("from memory" if abs(pitch_deg) < 15 else table.mark), "from memory"
    if table.name == "7.4b" and zone == "I" and pitch_deg < 5:
        return "from memory", "from memory"
    return table.mark, table.mark


def _neighbours(
    table: CpeTable, pitch_deg: float
) -> tuple[tuple[float, tuple[Entry, ...]], tuple[float, tuple[Entry, ...]], float]:
    for row in table.rows:
        if row[0] == pitch_deg:
            return row, row, 0.0
    for low, high in pairwise(table.rows):
        if low[0] < pitch_deg < high[0] and not (low[0] == -5 and high[0] == 5):
            return low, high, (pitch_deg - low[0]) / (high[0] - low[0])
    first, last = table.rows[0][0], table.rows[-1][0]
    found = say(
        "EN 1991-1-4 Table {name} at {pitch_deg}: no coefficients",
        name=table.name,
        pitch_deg=figure(pitch_deg, "g", " deg", "angle"),
    )
    allowed = say(
        "{first} to {last}; between -5 and 5 deg the flat roof's Table 7.2",
        first=figure(first, "g"),
        last=figure(last, "g", " deg", "angle"),
    )
    raise LoadsRefused(
        say("{found}; allowed: {allowed}", found=found, allowed=allowed),
        [Fault("/site/loads/roof_form", found, allowed)],
    )


def _between(low: Entry, high: Entry, share: float) -> tuple[tuple[float, float], float]:
    """Suction (for 10 and 1 m2) and pressure; a branch that one neighbour lacks ends there at 0."""
    no_suction = (0.0, 0.0)
    s_low, s_high = low[0] or no_suction, high[0] or no_suction
    p_low, p_high = low[1] or 0.0, high[1] or 0.0
    ten, one = (a + (b - a) * share for a, b in zip(s_low, s_high, strict=True))
    return (ten, one), p_low + (p_high - p_low) * share
