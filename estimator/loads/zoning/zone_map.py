"""The zones of one roof plane as areas: which zone a point lies in, and which zones a rail passes through.

Zones are convex pieces in order of precedence: where two overlap, the later one counts. A point on a border belongs to
the later, severer one. Lengths mm on the roof plane, x along the eave, y up the slope.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
import numpy.typing as npt

from estimator.loads.zoning.polygons import TOLERANCE_MM, HalfPlane, Polygon, cut, sides

Axis = Literal["x", "y"]
Indices = npt.NDArray[np.int_]

OFF_THE_PLANE = -1


@dataclass(frozen=True, slots=True)
class Piece:
    """One convex piece of a zone."""

    zone: str
    polygon: Polygon


@dataclass(frozen=True, slots=True)
class ZoneStretch:
    """A stretch of a line within one zone, mm along the line's axis."""

    start_mm: float
    end_mm: float
    zone: str


@dataclass(frozen=True, slots=True)
class ZoneMap:
    """The plane's outline and its zones. ``pieces`` stand in order of precedence, and so in the order to draw them."""

    outline: Polygon
    pieces: tuple[Piece, ...]

    @property
    def zones(self) -> tuple[str, ...]:
        """Every zone that has a piece, the least severe first."""
        return tuple(dict.fromkeys(piece.zone for piece in self.pieces))


def whole_plane(outline: Polygon, zone: str) -> ZoneMap:
    """A plane that is all one zone."""
    return ZoneMap(outline, (Piece(zone, outline),))


def zone_at(zone_map: ZoneMap, x_mm: npt.ArrayLike, y_mm: npt.ArrayLike) -> Indices:
    """Index into ``zone_map.zones`` for every point, -1 for points off the plane; x and y broadcast to one shape.

    >>> from estimator.loads.zoning.polygons import rectangle
    >>> whole = rectangle(0, 0, 10, 10)
    >>> edge = ZoneMap(whole, (Piece("1", whole), Piece("2", rectangle(0, 0, 10, 2))))
    >>> zone_at(edge, [5, 5, 50], [1, 5, 5]).tolist()
    [1, 0, -1]
    """
    x, y = np.broadcast_arrays(np.asarray(x_mm, dtype=np.float64), np.asarray(y_mm, dtype=np.float64))
    found = np.full(x.shape, OFF_THE_PLANE, dtype=np.int_)
    order = {zone: index for index, zone in enumerate(zone_map.zones)}
    for piece in zone_map.pieces:
        inside = np.ones(x.shape, dtype=np.bool_)
        for side in sides(piece.polygon):
            inside &= side.a * x + side.b * y <= side.c + TOLERANCE_MM
        found[inside] = order[piece.zone]
    return found


def zones_along(
    zone_map: ZoneMap, axis: Axis, at_mm: float, start_mm: float, end_mm: float, half_band_mm: float = 0.0
) -> tuple[ZoneStretch, ...]:
    """The zones a rail passes through, in order, with the places where they change.

    Args:
        zone_map: the plane's zones.
        axis: "x" for a rail along the eave, "y" for one up the slope.
        at_mm: where it stands on the other axis.
        start_mm: its lower or left end along the axis.
        end_mm: its other end.
        half_band_mm: half the width of roof it carries; the most severe zone that touches the band counts for the whole
            band, which is never on the unsafe side.

    Returns stretches that cover the whole rail; parts off the plane take the zone of the nearest stretch, a rail wholly
    off it the severest there is (that it lies off the plane is a failed check of its own).
    Source: common practice, no source.

    >>> from estimator.loads.zoning.polygons import rectangle
    >>> whole = rectangle(0, 0, 10, 10)
    >>> edge = ZoneMap(whole, (Piece("1", whole), Piece("2", rectangle(0, 0, 3, 10))))
    >>> zones_along(edge, "x", 5.0, 1.0, 8.0)
    (ZoneStretch(start_mm=1.0, end_mm=3.0, zone='2'), ZoneStretch(start_mm=3.0, end_mm=8.0, zone='1'))

    """
    reaches = _reaches(zone_map, axis, at_mm - half_band_mm, at_mm + half_band_mm)
    ends = {start_mm, end_mm}
    ends.update(edge for low, high, _ in reaches for edge in (low, high) if start_mm < edge < end_mm)
    places = sorted(ends)
    found: list[ZoneStretch] = []
    for low, high in pairwise(places):
        if high - low > TOLERANCE_MM:
            middle = (low + high) / 2
            zone = next((zone for a, b, zone in reversed(reaches) if a <= middle <= b), "")
            found.append(ZoneStretch(low, high, zone))
    return _joined(_without_gaps(found, zone_map.zones[-1]))


def _reaches(zone_map: ZoneMap, axis: Axis, low: float, high: float) -> list[tuple[float, float, str]]:
    """How far along the axis each piece reaches within the band, in order of precedence."""
    along, across = (0, 1) if axis == "x" else (1, 0)
    low, high = low - TOLERANCE_MM, high + TOLERANCE_MM
    lines = (
        (HalfPlane(0, 1, high), HalfPlane(0, -1, -low))
        if axis == "x"
        else (HalfPlane(1, 0, high), HalfPlane(-1, 0, -low))
    )
    found = []
    for piece in zone_map.pieces:
        if min(p[across] for p in piece.polygon) <= high and max(p[across] for p in piece.polygon) >= low:
            part = cut(piece.polygon, *lines)
            if part:
                found.append((min(p[along] for p in part), max(p[along] for p in part), piece.zone))
    return found


def _without_gaps(stretches: list[ZoneStretch], severest: str) -> list[ZoneStretch]:
    """Parts off the plane take the zone of the nearest part on it, or the severest where none is."""
    known = [s for s in stretches if s.zone]
    if not known:
        return [ZoneStretch(s.start_mm, s.end_mm, severest) for s in stretches]
    return [
        s if s.zone else ZoneStretch(s.start_mm, s.end_mm, min(known, key=lambda k: _apart(k, s)).zone)
        for s in stretches
    ]


def _apart(first: ZoneStretch, second: ZoneStretch) -> float:
    return max(first.start_mm - second.end_mm, second.start_mm - first.end_mm)


def _joined(stretches: list[ZoneStretch]) -> tuple[ZoneStretch, ...]:
    joined: list[ZoneStretch] = []
    for stretch in stretches:
        if joined and joined[-1].zone == stretch.zone:
            joined[-1] = ZoneStretch(joined[-1].start_mm, stretch.end_mm, stretch.zone)
        else:
            joined.append(stretch)
    return tuple(joined)


@dataclass(frozen=True, slots=True)
class Parted:
    """A map split at a height on the slope: ``upper`` are the zones that lie above it, as the map names them."""

    zone_map: ZoneMap
    upper: frozenset[str]


def lowered_to_touch(zone_map: ZoneMap, from_y_mm: float, reach_mm: float) -> float:
    """The height at which to split a map, lowered into every zone that ends less than ``reach_mm`` below it.

    A rail's band that touches such a zone and the strip above then finds a zone that has both.

    >>> from estimator.loads.zoning.polygons import rectangle
    >>> whole = rectangle(0, 0, 10_000, 9000)
    >>> eave = ZoneMap(whole, (Piece("1", whole), Piece("2", rectangle(0, 0, 10_000, 2000))))
    >>> lowered_to_touch(eave, 3500.0, 2500.0), lowered_to_touch(eave, 6000.0, 2500.0)
    (1999.0, 6000.0)
    """
    tops = sorted((max(y for _, y in piece.polygon) for piece in zone_map.pieces), reverse=True)
    for top in tops:
        if 0.0 <= from_y_mm - top < reach_mm:
            from_y_mm = max(0.0, top - 1.0)
    return from_y_mm


def part_up_slope(zone_map: ZoneMap, from_y_mm: float, suffix: str) -> Parted:
    """Every zone split at a height on the slope, for a strip of deeper snow along the ridge.

    The upper part of a zone is named with the suffix; a zone that lies above the height as a whole keeps its name.

    >>> from estimator.loads.zoning.polygons import rectangle
    >>> parted = part_up_slope(whole_plane(rectangle(0, 0, 10, 10), "1"), 7.0, " ridge snow")
    >>> parted.zone_map.zones, sorted(parted.upper)
    (('1', '1 ridge snow'), ['1 ridge snow'])
    """
    below, above = HalfPlane(0, 1, from_y_mm), HalfPlane(0, -1, -from_y_mm)
    lower = [(piece, part) for piece in zone_map.pieces if (part := cut(piece.polygon, below))]
    crossing = {piece.zone for piece, _ in lower}
    pieces: list[Piece] = []
    upper: set[str] = set()
    for piece in zone_map.pieces:
        pieces += [Piece(piece.zone, part) for whole, part in lower if whole is piece]
        name = piece.zone + suffix if piece.zone in crossing else piece.zone
        if part := cut(piece.polygon, above):
            pieces.append(Piece(name, part))
            upper.add(name)
    return Parted(ZoneMap(zone_map.outline, tuple(pieces)), frozenset(upper))
