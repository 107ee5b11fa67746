"""Where a module may be held: the clamping position moved into its zone, and the ribs that lie in the zones."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from estimator.attachment.geometry.limit_steps import TOLERANCE_MM
from estimator.job import ClampingZone, Module, Orientation

Zone = tuple[float, float]
WHOLE_HALF: Zone = (0.0, 0.5)


def zone_along_x(module: Module, orientation: Orientation) -> Zone:
    """The clamping zone of the side that lies along x, as shares of its length; the whole half where none is given.

    Where none is given for that side, ``permissions`` tells that clamping it is not allowed.
    """
    zones = module.clamping_zone or ClampingZone()
    return (zones.short_side if orientation == "portrait" else zones.long_side) or WHOLE_HALF


def zone_along_y(module: Module, orientation: Orientation) -> Zone:
    """The clamping zone of the side that lies along y."""
    zones = module.clamping_zone or ClampingZone()
    return (zones.long_side if orientation == "portrait" else zones.short_side) or WHOLE_HALF


def into_zone(position: float, zone: Zone) -> float:
    """The value nearest to ``position`` inside the zone.

    >>> into_zone(0.22, (0.25, 0.40)), into_zone(0.22, (0.15, 0.30))
    (0.25, 0.22)
    """
    return min(max(position, zone[0]), zone[1])


@dataclass(frozen=True, slots=True)
class ColumnZones:
    """Where, along x, the two attachments of a column of modules may stand and would best stand, mm on the plane."""

    left: Zone
    right: Zone
    left_best: float
    right_best: float

    @staticmethod
    def of(x0: float, width: float, position: float, zone: Zone) -> ColumnZones:
        """The zones of a module whose left edge is at ``x0``: shares of its width from the left, and mirrored."""
        x1 = x0 + width
        return ColumnZones(
            (x0 + zone[0] * width, x0 + zone[1] * width),
            (x1 - zone[1] * width, x1 - zone[0] * width),
            x0 + position * width,
            x1 - position * width,
        )


def ribs_for_column(ribs: Sequence[float], zones: ColumnZones) -> tuple[int, int] | None:
    """The two ribs nearest to the best places inside their zones; None where a zone has none or both share one.

    On a tie the rib further from the module's middle is taken. Source: common practice, no source.

    A module 1000 wide at 1000: best places 1220 and 1780, ribs every 300 from 150 on:

    >>> ribs = [150.0 + 300.0 * number for number in range(10)]
    >>> chosen = ribs_for_column(ribs, ColumnZones.of(1000.0, 1000.0, 0.22, (0.0, 0.5)))
    >>> [ribs[number] for number in chosen]
    [1350.0, 1650.0]
    """
    left = sorted((_steps(zones.left_best - ribs[i]), ribs[i], i) for i in _inside(ribs, zones.left))
    right = sorted((_steps(zones.right_best - ribs[i]), -ribs[i], i) for i in _inside(ribs, zones.right))
    if not left or not right:
        return None
    if left[0][2] < right[0][2]:
        return left[0][2], right[0][2]
    pairs = [(near, far) for near, far in product(left, right) if near[2] < far[2]]
    if not pairs:
        return None
    near, far = min(pairs, key=lambda pair: (pair[0][0] + pair[1][0], pair))
    return near[2], far[2]


def _steps(distance: float) -> int:
    """A distance in whole steps of the tolerance, so that ties are ties."""
    return round(abs(distance) / TOLERANCE_MM)


def _inside(ribs: Sequence[float], zone: Zone) -> range:
    return range(bisect_left(ribs, zone[0] - TOLERANCE_MM), bisect_right(ribs, zone[1] + TOLERANCE_MM))


def further_ribs(ribs: Sequence[float], zones: ColumnZones, taken: tuple[int, int], wanted: int) -> tuple[int, ...]:
    """``wanted`` ribs inside the zones, ascending: the two taken, then those nearest to the best places.

    Fewer where the zones have no more.
    """
    inside = {*_inside(ribs, zones.left), *_inside(ribs, zones.right)} - set(taken)
    off = {i: min(abs(ribs[i] - zones.left_best), abs(ribs[i] - zones.right_best)) for i in inside}
    more = sorted(inside, key=lambda i: (_steps(off[i]), i))
    return tuple(sorted((*taken, *more[: max(0, wanted - 2)])))


def nearest_ribs(ribs: Sequence[float], zones: ColumnZones) -> tuple[int, int] | None:
    """The ribs nearest to the best places whether in the zones or not: what a plan shows beside its error."""
    if len(ribs) < 2:
        return None
    left = _nearest(ribs, zones.left_best)
    right = _nearest(ribs, zones.right_best)
    if left < right:
        return left, right
    return (left, left + 1) if left + 1 < len(ribs) else (left - 1, left)


def _nearest(ribs: Sequence[float], place: float) -> int:
    after = bisect_left(ribs, place)
    return min((i for i in (after - 1, after) if 0 <= i < len(ribs)), key=lambda i: (_steps(ribs[i] - place), i))


def shift_to_ribs(ribs: Sequence[float], zones: ColumnZones) -> float | None:
    """How far a column would have to move for both zones to hold a rib, mm; positive to the right; None: no way.

    Every pair of ribs that lie as far apart as places of the two zones do is tried, however far away it is.

    A zone 100 wide that ends 40 before a rib: the column has to move 40 to the right.

    >>> shift_to_ribs([500.0, 1000.0], ColumnZones((360.0, 460.0), (860.0, 960.0), 400.0, 900.0))
    40.0
    """
    shifts = []
    for i, rib in enumerate(ribs):
        # where the right zone may lie while this rib is in the left one
        reach = (zones.right[0] + rib - zones.left[1], zones.right[1] + rib - zones.left[0])
        for j in _inside(ribs, reach):
            low = max(rib - zones.left[1], ribs[j] - zones.right[1])
            high = min(rib - zones.left[0], ribs[j] - zones.right[0])
            if i < j and low <= high + TOLERANCE_MM:
                shifts.append(min(max(0.0, low), high))
    return min(shifts, key=lambda shift: (abs(shift), shift), default=None)
