"""One roof plane as zones see it: measured on plan from an eave, between rakes or hips.

The plane's lower edge is an eave, its upper edge the ridge (gable, hip) or the high eave (flat, monoslope), its left
and right edges are rakes, or on a hip roof the hips that rise at 45 deg on plan from the eave's ends.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from estimator.loads.zoning.polygons import HalfPlane, Polygon, cut, rectangle


@dataclass(frozen=True, slots=True)
class Plane:
    """One roof plane, mm along the eave and up the slope, degrees."""

    eave_mm: float
    slope_mm: float
    slope_deg: float
    form: str

    @property
    def cosine(self) -> float:
        """Cosine of the slope."""
        return math.cos(math.radians(self.slope_deg))

    @property
    def run_mm(self) -> float:
        """Length of the plane on plan, eave to upper edge."""
        return self.slope_mm * self.cosine

    def outline(self) -> Polygon:
        """The plane's edge: a rectangle, on a hip roof cut by its hips."""
        whole = rectangle(0.0, 0.0, self.eave_mm, self.slope_mm)
        return cut(whole, *within_hips(self)) if self.form == "hip" else whole


def within_hips(plane: Plane, d: float = 0.0) -> tuple[HalfPlane, HalfPlane]:
    """Inside both hips; with a distance: within that distance, square to the hip on plan, of the left and right hip."""
    if d == 0.0:
        return HalfPlane(-1, plane.cosine, 0.0), HalfPlane(1, plane.cosine, plane.eave_mm)
    reach = d * math.sqrt(2)
    return HalfPlane(1, -plane.cosine, reach), HalfPlane(-1, -plane.cosine, reach - plane.eave_mm)
