"""Convex polygons on the roof plane: cutting by straight lines. Points (x, y) in mm, counter-clockwise."""

from __future__ import annotations

from dataclasses import dataclass

Point = tuple[float, float]
Polygon = tuple[Point, ...]

TOLERANCE_MM = 0.001


@dataclass(frozen=True, slots=True)
class HalfPlane:
    """All points with ``a x + b y <= c``."""

    a: float
    b: float
    c: float

    def excess(self, point: Point) -> float:
        """How far beyond the line a point stands (negative inside), in the scale of a and b."""
        return self.a * point[0] + self.b * point[1] - self.c


def rectangle(left: float, bottom: float, right: float, top: float) -> Polygon:
    """The rectangle between two corners."""
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def cut(polygon: Polygon, *lines: HalfPlane) -> Polygon:
    """The part of a convex polygon inside every half plane; empty when nothing is left.

    Source: Sutherland and Hodgman, Reentrant polygon clipping (1974).

    >>> cut(rectangle(0, 0, 4, 4), HalfPlane(1, 0, 1))
    ((0, 0), (1.0, 0.0), (1.0, 4.0), (0, 4))
    """
    for line in lines:
        polygon = _cut_once(polygon, line)
    return polygon if area(polygon) > TOLERANCE_MM else ()


def _cut_once(polygon: Polygon, line: HalfPlane) -> Polygon:
    kept: list[Point] = []
    for here, after in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        e_here, e_after = line.excess(here), line.excess(after)
        if e_here <= 0:
            kept.append(here)
        if (e_here < 0 < e_after) or (e_after < 0 < e_here):
            share = e_here / (e_here - e_after)
            kept.append((here[0] + share * (after[0] - here[0]), here[1] + share * (after[1] - here[1])))
    return tuple(kept)


def sides(polygon: Polygon) -> tuple[HalfPlane, ...]:
    """The half planes whose common part the convex polygon is, scaled so that ``excess`` is a distance in mm."""
    found = []
    for (x1, y1), (x2, y2) in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
        if length > 0:
            a, b = (y2 - y1) / length, (x1 - x2) / length
            found.append(HalfPlane(a, b, a * x1 + b * y1))
    return tuple(found)


def area(polygon: Polygon) -> float:
    """Area of a counter-clockwise polygon, mm2.

    >>> area(rectangle(0, 0, 3, 2))
    6.0
    """
    turns = zip(polygon, polygon[1:] + polygon[:1], strict=True)
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in turns) / 2
