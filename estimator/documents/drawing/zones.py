"""The load zones of a roof as the drawing shows them: outlines, each with a short tag where no later zone covers it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from estimator.attachment.load_report import RoofLoads
from estimator.documents.language.texts import Reader, mark
from estimator.loads.zoning.polygons import Point, Polygon
from estimator.loads.zoning.zone_map import Piece, ZoneMap, zone_at

LONGEST_TAG = 4
STEPS = 13
_EN_NAME = re.compile(r"[F-J](up|low)?\d+")
_ASCE_NAME = re.compile(r"[1-3]['enr]?( |$)")
EN_WORDS = mark(
    "Zone letters of EN 1991-1-4: F and G lie along the edge that the wind meets, F at its corners, H behind them, "
    "J behind the ridge, I is the rest; the number after a letter is the wind's direction in degrees."
)
"""Source: EN 1991-1-4, figures 7.6 to 7.9, from memory."""
ASCE_WORDS = mark(
    "Zone numbers of ASCE 7: 1 is the field of the roof, 2 lies along its edges, 3 at its corners; "
    "e after a number is at the eave, r at the ridge."
)
"""Source: ASCE 7, chapter 30, figures of components and cladding, from memory."""


@dataclass(frozen=True, slots=True)
class NamedZone:
    """One piece of a load zone; ``tag`` is its name, or a letter where names are long.

    ``points`` lie in the piece where no later zone covers it, the best places for its tag first.
    """

    name: str
    tag: str
    polygon: Polygon
    points: tuple[Point, ...]


def zones_of(loads: RoofLoads | None) -> tuple[NamedZone, ...]:
    """Every piece of every zone; nothing where the job's loads were not computed."""
    if loads is None or not loads.sheet.computed:
        return ()
    names = [zone.zone for zone in loads.sheet.zones if zone.polygons]
    short = all(len(name) <= LONGEST_TAG for name in names)
    tags = {name: name if short else letter(number) for number, name in enumerate(names)}
    pieces = [Piece(zone.zone, polygon) for zone in loads.sheet.zones for polygon in zone.polygons]
    return tuple(NamedZone(piece.zone, tags[piece.zone], piece.polygon, _points(piece, pieces)) for piece in pieces)


def letter(number: int) -> str:
    """0 is a, 25 is z, 26 is a2.

    >>> letter(0), letter(26)
    ('a', 'a2')
    """
    return chr(ord("a") + number % 26) + (str(number // 26 + 1) if number >= 26 else "")


def _points(piece: Piece, pieces: Sequence[Piece]) -> tuple[Point, ...]:
    """Points of the piece that belong to its own zone, those near the middle of its top first."""
    xs, ys = [p[0] for p in piece.polygon], [p[1] for p in piece.polygon]
    points = list(_grid(min(xs), min(ys), max(xs), max(ys)))
    whole = ZoneMap(piece.polygon, tuple(pieces))
    own = ZoneMap(piece.polygon, (piece,))
    at = zone_at(whole, [x for x, _ in points], [y for _, y in points])
    inside = zone_at(own, [x for x, _ in points], [y for _, y in points])
    wanted = whole.zones.index(piece.zone)
    return tuple(p for p, zone, is_in in zip(points, at, inside, strict=True) if zone == wanted and is_in == 0)


def _grid(x0: float, y0: float, x1: float, y1: float) -> Iterator[Point]:
    """Places to write at: the middle column first, then those beside it, each from near the top down."""
    columns = sorted(range(STEPS), key=lambda column: abs(column - (STEPS - 1) / 2))
    for column in columns:
        for row in (*range(1, STEPS), 0):
            yield x0 + (column + 0.5) / STEPS * (x1 - x0), y1 - (row + 0.5) / STEPS * (y1 - y0)


def zone_key(zones: Sequence[NamedZone], reader: Reader) -> tuple[str, ...]:
    """What the letters stand for, where tags are not the zones' own names; and what the names mean, in words."""
    named = {zone.tag: zone.name for zone in zones if zone.tag != zone.name}
    t = reader.texts.t
    told = []
    if named:
        key = "; ".join(f"{tag} {reader.zone(name)}" for tag, name in named.items())
        told.append(t("Load zones: {key}", key=key))
    if any(_EN_NAME.match(zone.name) for zone in zones):
        told.append(t(EN_WORDS))
    if any(_ASCE_NAME.match(zone.name) for zone in zones):
        told.append(t(ASCE_WORDS))
    return tuple(told)
