"""Where the modules lie: ribs, segments, places. All in mm on the roof plane, x along the eave, y up the slope."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from estimator.errors import Finding


@dataclass(frozen=True, slots=True)
class Segment:
    """A longest stretch of cells side by side in a row (``row``) or up a column (``column``), none left out.

    ``line`` is the row's (column's) number, ``first`` and ``last`` the end cells' numbers along it; the rectangle
    x0, y0, x1, y1 is that of the modules' outer edges.
    """

    direction: Literal["row", "column"]
    line: int
    first: int
    last: int
    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def modules(self) -> int:
        """How many modules lie in the segment."""
        return self.last - self.first + 1


@dataclass(frozen=True, slots=True)
class ArrayLayout:
    """One array laid out: module extents, counts and segments."""

    array: int
    name: str
    module_x_mm: float
    module_y_mm: float
    modules: int
    row_segments: tuple[Segment, ...]
    column_segments: tuple[Segment, ...]


@dataclass(frozen=True, slots=True)
class RoofLayout:
    """One roof plane laid out; ``ribs_x`` are the centre lines that lie on the plane, ascending."""

    roof: int
    name: str
    ribs_x: tuple[float, ...]
    arrays: tuple[ArrayLayout, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """All roofs laid out, with every breach of an edge, strip or obstruction found."""

    roofs: tuple[RoofLayout, ...]
    findings: tuple[Finding, ...]
