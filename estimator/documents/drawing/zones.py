"""The load zones of a roof as the drawing shows them: outlines, each with a short tag where no later zone covers it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from estimator.attachment.load_report import RoofLoads
from estimator.documents.language.texts import Reader
from estimator.loads.zoning.polygons import Point, Polygon
from estimator.loads.zoning.zone_map import Piece, ZoneMap, zone_at

LONGEST_TAG = 4
STEPS = 13


@dataclass(frozen=True, slots=True)
class NamedZone:
    """One piece of a load zone; ``tag`` is its name, or a letter where names are long; ``label_at`` lies within it."""

    name: str
    tag: str
    polygon: Polygon
    label_at: Point | None


def zones_of(loads: RoofLoads | None) -> tuple[NamedZone, ...]:
    """Every piece of every zone; nothing where the job's loads were not computed."""
    if loads is None or not loads.sheet.computed:
        return ()
    names = [zone.zone for zone in loads.sheet.zones]
    short = all(len(name) <= LONGEST_TAG for name in names)
    tags = {name: name if short else letter(number) for number, name in enumerate(names)}
    pieces = [Piece(zone.zone, polygon) for zone in loads.sheet.zones for polygon in zone.polygons]
    return tuple(NamedZone(piece.zone, tags[piece.zone], piece.polygon, _label_at(piece, pieces)) for piece in pieces)


def letter(number: int) -> str:
    """0 is a, 25 is z, 26 is a2.

    >>> letter(0), letter(26)
    ('a', 'a2')
    """
    return chr(ord("a") + number % 26) + (str(number // 26 + 1) if number >= 26 else "")


def _label_at(piece: Piece, pieces: Sequence[Piece]) -> Point | None:
    """A point of the piece that belongs to its own zone, near the middle of its top where there is one."""
    xs, ys = [p[0] for p in piece.polygon], [p[1] for p in piece.polygon]
    points = list(_grid(min(xs), min(ys), max(xs), max(ys)))
    whole = ZoneMap(piece.polygon, tuple(pieces))
    own = ZoneMap(piece.polygon, (piece,))
    at = zone_at(whole, [x for x, _ in points], [y for _, y in points])
    inside = zone_at(own, [x for x, _ in points], [y for _, y in points])
    wanted = whole.zones.index(piece.zone)
    return next((p for p, zone, is_in in zip(points, at, inside, strict=True) if zone == wanted and is_in == 0), None)


def _grid(x0: float, y0: float, x1: float, y1: float) -> Iterator[Point]:
    """Places to write at: the middle column first, then those beside it, each from near the top down."""
    columns = sorted(range(STEPS), key=lambda column: abs(column - (STEPS - 1) / 2))
    for column in columns:
        for row in (*range(1, STEPS), 0):
            yield x0 + (column + 0.5) / STEPS * (x1 - x0), y1 - (row + 0.5) / STEPS * (y1 - y0)


def zone_key(zones: Sequence[NamedZone], reader: Reader) -> str:
    """What the letters stand for; empty where the tags are the zones' own names."""
    named = {zone.tag: zone.name for zone in zones if zone.tag != zone.name}
    if not named:
        return ""
    return reader.texts.t(
        "Load zones: {key}", key="; ".join(f"{tag} {reader.zone(name)}" for tag, name in named.items())
    )
