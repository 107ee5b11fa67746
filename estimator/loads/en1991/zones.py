"""Where the zones F to J of EN 1991-1-4, 7.2 lie on one roof plane, for every wind direction at once.

Widths are measured on plan; up the slope a plan distance d covers d / cos(alpha). e is the smaller of b and 2h, b the
building's dimension across the wind. A place has one zone per direction; places with the same zones under all of them
form one zone here, named by the letters with the direction: F0-I180-G90. Zone sizes from memory of the figures.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from estimator.loads.en1991.wind.cpe import ZoneCpe, zone_coefficients
from estimator.loads.en1991.wind.cpe_tables import (
    DUOPITCH_0,
    DUOPITCH_90,
    FLAT,
    MONOPITCH_0,
    MONOPITCH_90,
    MONOPITCH_180,
)
from estimator.loads.zoning.plane import Plane
from estimator.loads.zoning.polygons import HalfPlane, Polygon, cut
from estimator.loads.zoning.zone_map import Piece, ZoneMap

Field = tuple[str, tuple[HalfPlane, ...]]


@dataclass(frozen=True, slots=True)
class WindFrom:
    """One wind direction: its name, and the fields of its zones, which together cover the plane."""

    direction: str
    fields: tuple[Field, ...]


@dataclass(frozen=True, slots=True)
class EnZones:
    """The zones of a plane, and for each of them the coefficients of every direction."""

    zone_map: ZoneMap
    members: tuple[tuple[str, tuple[ZoneCpe, ...]], ...]


def strip_width(b_mm: float, h_mm: float) -> float:
    """The distance e: the smaller of b and 2h, mm. Source: EN 1991-1-4:2005 Figures 7.6 to 7.8 [found].

    >>> strip_width(55000, 6000)
    12000
    """
    return min(b_mm, 2 * h_mm)


def lay_zones_en(plane: Plane, h_mm: float, along_mm: float, across_mm: float) -> EnZones:
    """Zones and coefficients of a plane.

    Args:
        plane: the roof plane; flat, gable (duopitch) or monoslope (monopitch).
        h_mm: height of the ridge.
        along_mm: the building's dimension along the eave (b for wind on the eave).
        across_mm: its other dimension (b for wind on the gable).

    """
    e_eave, e_gable = strip_width(along_mm, h_mm), strip_width(across_mm, h_mm)
    flat = abs(plane.slope_deg) < 5
    if flat:
        tables = {"any": _flat_coefficients()}
        winds = _flat(plane, e_eave, e_gable)
    elif plane.form == "monoslope":
        tables = {
            t.direction: zone_coefficients(t, plane.slope_deg) for t in (MONOPITCH_0, MONOPITCH_180, MONOPITCH_90)
        }
        winds = _monopitch(plane, e_eave, e_gable)
    else:
        first = zone_coefficients(DUOPITCH_0, plane.slope_deg)
        other_eave = tuple(replace(zone, direction="180") for zone in first)
        tables = {"0": first, "180": other_eave, "90": zone_coefficients(DUOPITCH_90, plane.slope_deg)}
        winds = _duopitch(plane, e_eave, e_gable)
    known = {(d, z.zone): z for d, zones in tables.items() for z in zones}
    return _overlay(plane.outline(), winds, known, "any" if flat else "")


def _flat_coefficients() -> tuple[ZoneCpe, ...]:
    """The flat roof's zones; the pressure of zone I, which some wind brings to any place, counts everywhere."""
    zones = zone_coefficients(FLAT, 0.0)
    return tuple(replace(zone, pressure=zones[-1].pressure) for zone in zones)


def _line(a: float, b: float, c: float) -> HalfPlane:
    return HalfPlane(a, b, c)


def _corner_strip(from_edge: HalfPlane, beyond: HalfPlane, ends: tuple[HalfPlane, HalfPlane]) -> list[Field]:
    """F at both ends of a strip, G between, and what lies beyond the strip left open."""
    first, second = ends
    return [
        ("F", (from_edge, first)),
        ("F", (from_edge, second, _not(first))),
        ("G", (from_edge, _not(first), _not(second))),
        ("H", (beyond,)),
    ]


def _not(line: HalfPlane) -> HalfPlane:
    return HalfPlane(-line.a, -line.b, -line.c)


def _from_left(plane: Plane, d: float) -> HalfPlane:
    return _line(1, 0, d)


def _from_right(plane: Plane, d: float) -> HalfPlane:
    return _line(-1, 0, d - plane.eave_mm)


def _from_eave(plane: Plane, d: float) -> HalfPlane:
    return _line(0, plane.cosine, d)


def _from_top(plane: Plane, d: float) -> HalfPlane:
    return _line(0, -plane.cosine, d - plane.run_mm)


def _along_edge(plane: Plane, near: HalfPlane, e: float) -> list[Field]:
    return _corner_strip(near, _not(near), (_from_left(plane, e / 4), _from_right(plane, e / 4)))


def _duopitch(plane: Plane, e_eave: float, e_gable: float) -> list[WindFrom]:
    """Wind on this plane's eave, on the other eave, and on either gable."""
    ridge = _from_top(plane, e_eave / 10)
    winds = [
        WindFrom("0", tuple(_along_edge(plane, _from_eave(plane, e_eave / 10), e_eave))),
        WindFrom("180", (("J", (ridge,)), ("I", (_not(ridge),)))),
    ]
    corner = _from_eave(plane, e_gable / 4)
    for side in (_from_left, _from_right):
        near, half = side(plane, e_gable / 10), side(plane, e_gable / 2)
        fields: tuple[Field, ...] = (
            ("F", (near, corner)),
            ("G", (near, _not(corner))),
            ("H", (_not(near), half)),
            ("I", (_not(half),)),
        )
        winds.append(WindFrom("90", fields))
    return winds


def _monopitch(plane: Plane, e_eave: float, e_gable: float) -> list[WindFrom]:
    """Wind on the low eave, on the high eave, and on either gable."""
    winds = [
        WindFrom("0", tuple(_along_edge(plane, _from_eave(plane, e_eave / 10), e_eave))),
        WindFrom("180", tuple(_along_edge(plane, _from_top(plane, e_eave / 10), e_eave))),
    ]
    low, high = _from_eave(plane, e_gable / 4), _from_top(plane, e_gable / 4)
    for side in (_from_left, _from_right):
        near, half = side(plane, e_gable / 10), side(plane, e_gable / 2)
        fields: tuple[Field, ...] = (
            ("Fup", (near, high)),
            ("Flow", (near, low, _not(high))),
            ("G", (near, _not(low), _not(high))),
            ("H", (_not(near), half)),
            ("I", (_not(half),)),
        )
        winds.append(WindFrom("90", fields))
    return winds


def _flat(plane: Plane, e_eave: float, e_gable: float) -> list[WindFrom]:
    """Wind on each edge of the roof; the ridge of a nearly flat gable roof is no edge."""
    edges = [(_from_eave, (_from_left, _from_right), e_eave)]
    if plane.form != "gable":
        edges.append((_from_top, (_from_left, _from_right), e_eave))
    edges += [(side, (_from_eave, _from_top), e_gable) for side in (_from_left, _from_right)]
    winds = []
    for edge, ends, e in edges:
        near, half = edge(plane, e / 10), edge(plane, e / 2)
        first, second = (end(plane, e / 4) for end in ends)
        fields = _corner_strip(near, _not(near), (first, second))[:3]
        winds.append(WindFrom("any", (*fields, ("H", (_not(near), half)), ("I", (_not(half),)))))
    return winds


def _overlay(outline: Polygon, winds: Iterable[WindFrom], known: dict[tuple[str, str], ZoneCpe], plain: str) -> EnZones:
    """Cut the plane by every direction's zones and gather the pieces with the same zones."""
    parts: list[tuple[Polygon, frozenset[tuple[str, str]]]] = [(outline, frozenset())]
    for wind in winds:
        parts = [
            (piece, met | {(wind.direction, zone)})
            for polygon, met in parts
            for zone, lines in wind.fields
            if (piece := cut(polygon, *lines))
        ]
    named = [(_governing(met, known), polygon) for polygon, met in parts]
    members = {_name(zones, plain): zones for zones, _ in named}
    pieces = [Piece(_name(zones, plain), polygon) for zones, polygon in named]
    pieces.sort(key=lambda piece: _severity(members[piece.zone]))
    order = dict.fromkeys(piece.zone for piece in pieces)
    return EnZones(ZoneMap(outline, tuple(pieces)), tuple((zone, members[zone]) for zone in order))


def _governing(met: frozenset[tuple[str, str]], known: dict[tuple[str, str], ZoneCpe]) -> tuple[ZoneCpe, ...]:
    """Per direction the zones that count: those no other zone of that direction outdoes at every area."""
    found = []
    for direction in ("any", "0", "180", "90"):
        zones = [known[key] for key in sorted(met) if key[0] == direction]
        found += [z for z in zones if not any(_outdone(z, other) for other in zones if other is not z)]
    return tuple(found)


def _outdone(zone: ZoneCpe, other: ZoneCpe) -> bool:
    here, there = zone.suction.at([1.0, 10.0]), other.suction.at([1.0, 10.0])
    more_pressure = float(other.pressure.at(1.0)) >= float(zone.pressure.at(1.0))
    worse = bool((there <= here).all()) and more_pressure
    equal = bool((there == here).all())
    return worse and (not equal or other.zone < zone.zone)


def _severity(zones: tuple[ZoneCpe, ...]) -> float:
    return max(float(-zone.suction.at(1.0)) for zone in zones)


def _name(zones: tuple[ZoneCpe, ...], plain: str) -> str:
    if plain:
        return "".join(dict.fromkeys(zone.zone for zone in zones))
    return "-".join(f"{zone.zone}{zone.direction}" for zone in zones)
