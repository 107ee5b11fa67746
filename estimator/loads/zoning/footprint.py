"""The building under a roof plane, and which way it lies."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.errors import Fault
from estimator.job import Roof
from estimator.sentences import figure, say
from estimator.site_loads import Building

OVERHANG_MM = 610.0
"""How far a roof edge may stand out over the building's own outline, each side [common practice, no source]."""


@dataclass(frozen=True, slots=True)
class Footprint:
    """The building seen from a plane: its dimension along the plane's eave, and the other one, mm."""

    along_mm: float
    across_mm: float

    @property
    def least_mm(self) -> float:
        """The least horizontal dimension."""
        return min(self.along_mm, self.across_mm)


def footprint(building: Building, roof: Roof, run_mm: float) -> Footprint | Fault:
    """Which way the building lies under a plane; the fault where the plane does not fit on it either way.

    The eave is taken to run along the building's length unless only the other way fits. A roof edge may stand out over
    the building by the overhang each side.
    """
    length, width = building.length_mm or 0.0, building.width_mm or 0.0
    for along, across in ((length, width), (width, length)):
        if roof.eave_length_mm <= along + 2 * OVERHANG_MM and run_mm <= across + 2 * OVERHANG_MM:
            return Footprint(along, across)
    return Fault(
        "/site/loads/building",
        say(
            "building {length} x {width} is smaller than roof {name}: {eave_length_mm} along the eave, "
            "{run_mm} on plan up the slope",
            length=figure(length, ".0f", " mm", "length"),
            width=figure(width, ".0f", " mm", "length"),
            name=roof.name,
            eave_length_mm=figure(roof.eave_length_mm, ".0f", " mm", "length"),
            run_mm=figure(run_mm, ".0f", " mm", "length"),
        ),
        say(
            "at least the roof's own size, less an overhang of {overhang_mm} each side",
            overhang_mm=figure(OVERHANG_MM, ".0f", " mm", "length"),
        ),
    )
