"""Where the zones of the ASCE 7 figures lie on one roof plane.

The figures measure on plan: along the eave nothing changes, up the slope a plan distance d covers d / cos(theta).
The plane's lower edge is an eave, its upper edge the ridge (gable, hip) or the high eave (flat, monoslope), its left
and right edges are rakes, or on a hip roof the hips that rise at 45 deg on plan from the eave's ends.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from estimator.loads.asce7.wind.gcp_figures import RoofCoefficients
from estimator.loads.zoning.plane import Plane, within_hips
from estimator.loads.zoning.polygons import HalfPlane, cut
from estimator.loads.zoning.zone_map import Piece, ZoneMap

Edge = Callable[[float], HalfPlane]
Strip = tuple[str, tuple[HalfPlane, ...]]


def zone_width(least_mm: float, height_mm: float) -> float:
    """The distance ``a`` of the figures, mm: 10 % of the least dimension or 0.4 h if less; never under 4 % or 3 ft.

    Source: ASCE 7 chapter 30, note to Figures 30.3-2 [found].

    >>> round(zone_width(60 * 304.8, 20 * 304.8) / 304.8, 6), round(zone_width(32 * 304.8, 25 * 304.8) / 304.8, 6)
    (6.0, 3.2)
    """
    return max(min(0.1 * least_mm, 0.4 * height_mm), 0.04 * least_mm, 3 * 304.8)


def lay_zones(plane: Plane, roof: RoofCoefficients, a_mm: float, height_mm: float) -> ZoneMap:
    """The zones of a figure on a plane, the severer on top (by the coefficient of 10 ft2).

    Args:
        plane: the roof plane.
        roof: the coefficients with the layout of their zones.
        a_mm: zone width.
        height_mm: mean roof height h.

    """
    severity = {c.label: float(-c.at(10 * c.area_unit_m2)) for c in roof.uplift}
    outline = plane.outline()
    strips = sorted(_strips(plane, roof.layout, a_mm, height_mm), key=lambda strip: severity[strip[0]])
    pieces = [Piece(_rest(roof.layout), outline)]
    pieces += [Piece(zone, part) for zone, lines in strips if (part := cut(outline, *lines))]
    return ZoneMap(outline, tuple(pieces))


def _rest(layout: str) -> str:
    return "1'" if layout == "perimeter" else "1"


def _strips(plane: Plane, layout: str, a: float, h: float) -> list[Strip]:
    if layout == "perimeter":
        return _perimeter(plane, h)
    if layout.startswith("gable"):
        return _gable(plane, layout, a)
    if layout.startswith("hip"):
        return _hip(plane, layout, a)
    return _monoslope_low(plane, a) if layout == "monoslope low" else _monoslope_steep(plane, a)


def _left(d: float) -> HalfPlane:
    return HalfPlane(1, 0, d)


def _right(plane: Plane, d: float) -> HalfPlane:
    return HalfPlane(-1, 0, d - plane.eave_mm)


def _eave(plane: Plane, d: float) -> HalfPlane:
    return HalfPlane(0, plane.cosine, d)


def _top(plane: Plane, d: float) -> HalfPlane:
    return HalfPlane(0, -plane.cosine, d - plane.run_mm)


def _perimeter(plane: Plane, h: float) -> list[Strip]:
    """Bands of 0.6 h and 1.2 h along every edge that is an edge of the whole roof; L corners 0.6 h long, 0.2 h deep.

    The ridge of a gable or hip roof is no edge of the roof.
    """
    sides: list[Edge] = [_left, partial(_right, plane)]
    levels: list[Edge] = [partial(_eave, plane)]
    if plane.form in ("flat", "monoslope"):
        levels.append(partial(_top, plane))
    strips: list[Strip] = [("1", (edge(1.2 * h),)) for edge in sides + levels]
    strips += [("2", (edge(0.6 * h),)) for edge in sides + levels]
    for side in sides:
        for level_edge in levels:
            strips += [
                ("3", (side(0.6 * h), level_edge(0.2 * h))),
                ("3", (side(0.2 * h), level_edge(0.6 * h))),
            ]
    return strips


def _gable(plane: Plane, layout: str, a: float) -> list[Strip]:
    """7-16: eave, rake and ridge strips with their corners; 7-22: rake strips, with ridge strip or eave corners."""
    rakes = (_left(a), _right(plane, a))
    eave, ridge = _eave(plane, a), _top(plane, a)
    if layout == "gable by eave and ridge":
        strips: list[Strip] = [("2e", (eave,)), ("2r", (ridge,))]
        strips += [("2n", (rake,)) for rake in rakes]
        strips += [("3e", (rake, eave)) for rake in rakes]
        return strips + [("3r", (rake, ridge)) for rake in rakes]
    strips = [("2", (rake,)) for rake in rakes] + [("3", (rake, ridge)) for rake in rakes]
    if layout == "gable by ridge":
        return [*strips, ("2", (ridge,))]
    return strips + [("3", (rake, eave)) for rake in rakes]


def _hip(plane: Plane, layout: str, a: float) -> list[Strip]:
    """Strips along the eave, the hips and the ridge; in 7-16 the eave's corners besides."""
    hips = within_hips(plane, a)
    eave, ridge = _eave(plane, a), _top(plane, a)
    if layout == "hip by eave":
        return [("2", (ridge,)), ("2", (hips[0],)), ("2", (hips[1],)), ("3", (eave,))]
    strips: list[Strip] = [("2e", (eave,)), ("2r", (ridge,)), ("2r", (hips[0],)), ("2r", (hips[1],))]
    return [*strips, ("3", (eave, _left(a))), ("3", (eave, _right(plane, a)))]


def _monoslope_low(plane: Plane, a: float) -> list[Strip]:
    """Strips a along low eave and rakes, 2a along the high eave; corners 2a x 2a low, 2a x 4a high.

    Which way the high corner's longer side lies was not confirmed: both ways are taken.
    """
    sides: tuple[Edge, ...] = (_left, partial(_right, plane))
    strips: list[Strip] = [("2", (_eave(plane, a),)), ("2'", (_top(plane, 2 * a),))]
    for side in sides:
        strips += [("2", (side(a),)), ("3", (side(2 * a), _eave(plane, 2 * a)))]
        strips += [("3'", (side(4 * a), _top(plane, 2 * a))), ("3'", (side(2 * a), _top(plane, 4 * a)))]
    return strips


def _monoslope_steep(plane: Plane, a: float) -> list[Strip]:
    """The layout of this figure was not confirmed: zone 2 is taken 2a wide all round, zone 3 at every corner.

    Corners reach 4a along either edge and 2a in, the largest of the monoslope figures, so never on the unsafe side of
    them [from memory].
    """
    sides: tuple[Edge, ...] = (_left, partial(_right, plane))
    levels: tuple[Edge, ...] = (partial(_eave, plane), partial(_top, plane))
    strips: list[Strip] = [("2", (edge(2 * a),)) for edge in (*sides, *levels)]
    for side in sides:
        for edge in levels:
            strips += [("3", (side(4 * a), edge(2 * a))), ("3", (side(2 * a), edge(4 * a)))]
    return strips
