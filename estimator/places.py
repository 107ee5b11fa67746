"""A place: what a check, a run or a piece is about, as a fact; its words are made where they are read.

Roofs and arrays go by name; rows, columns, rails, attachments, spans and pieces count from 1, rows from the eave,
columns from the left. What is not named is None or empty. Two checks of one code never share a place.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from operator import attrgetter
from typing import Literal

from estimator.sentences import Sentence, joined, say

Side = Literal["left", "right", "eave", "ridge"]
End = Literal["left", "right"]
Role = Literal["bracket", "rail", "clamp"]
Subject = Literal["loads", "mounting", "delivery", "price"]

EVERYWHERE = "all"
"""The zone of pressures given for a whole plane."""
RIDGE_SNOW = " ridge snow"
"""What stands behind a zone's name where snow lies drifted over the ridge."""
INNER = " inner"
"""What stands behind a zone's name, last, for modules in it that no exposed edge of an array reaches."""


@dataclass(frozen=True, slots=True)
class Place:
    """A place on a roof, or whatever else a check is about.

    Args:
        roof: name of the roof plane.
        array: name of the array on it.
        row: from the eave.
        column: from the left.
        section: which unbroken stretch of the row or column, where left-out cells divide it.
        seam: which line between rows that attachments without rail stand on; 1 is below the first row.
        rail: which rail of the row or column.
        attachment: which attachment of the run or module edge.
        span: which span of the run, counted from its start; 0 before the first attachment, the highest behind the last.
        piece: which piece of the run.
        end: end of the run.
        side: edge of the roof plane.
        obstruction: its name, as the drawing has it.
        zone: name of the load zone.
        subject: what of the whole job it is about, where it is about no roof.
        role: what the part named is for.
        part: number of a part of the pricebook, or name of a rail.
        supplier: name of a supplier.
        aspect: what of it, where several things at one place are checked; a code in snake case.
        quote: number of the quote, where several are looked at together.
        told: the place in words alone, as it was kept before places were facts.

    """

    roof: str = ""
    array: str = ""
    row: int | None = None
    column: int | None = None
    section: int | None = None
    seam: int | None = None
    rail: int | None = None
    attachment: int | None = None
    span: int | None = None
    piece: int | None = None
    end: End | None = None
    side: Side | None = None
    obstruction: str = ""
    zone: str = ""
    subject: Subject | None = None
    role: Role | None = None
    part: str = ""
    supplier: str = ""
    aspect: str = ""
    quote: str = ""
    told: str = ""

    @property
    def words(self) -> Sentence:
        """The place as it is read: "South / A / row 1, part 2 / rail 1".

        >>> str(Place(roof="South", array="A", row=1, section=2, rail=1)), str(Place(roof="South"))
        ('South / A / row 1, part 2 / rail 1', 'South roof')
        """
        if self.told:
            return self.told if isinstance(self.told, Sentence) else joined("", (self.told,))
        parts = tuple(_parts(self))
        if parts == (self.roof,):
            return say("{roof} roof", roof=self.roof)
        return joined(" / ", parts)

    def __str__(self) -> str:
        """The words in English."""
        return str(self.words)

    def __bool__(self) -> bool:
        """Whether anything is named."""
        return self != NOWHERE

    def facts(self) -> dict[str, str | int]:
        """What is named, by name, in the order of the fields.

        >>> Place(roof="South", row=3).facts()
        {'roof': 'South', 'row': 3}
        """
        named = zip(_NAMES, _FACTS(self), strict=True)
        return {name: value if type(value) is int else str(value) for name, value in named if value or value == 0}


NOWHERE = Place()
_NAMES = tuple(each.name for each in fields(Place))
_FACTS = attrgetter(*_NAMES)

_NUMBERED: Mapping[str, Sentence] = {
    "row": say("row {number}"),
    "column": say("column {number}"),
    "section": say("part {number}"),
    "seam": say("seam {number}"),
    "rail": say("rail {number}"),
    "attachment": say("attachment {number}"),
    "span": say("span {number}"),
    "piece": say("piece {number}"),
}
_SUBJECTS: Mapping[Subject, Sentence] = {
    "loads": say("site loads"),
    "mounting": say("mounting"),
    "delivery": say("delivery"),
    "price": say("price"),
}
_ENDS: Mapping[End, Sentence] = {
    "left": say("left end"),
    "right": say("right end"),
}
_SIDES: Mapping[Side, Sentence] = {
    "left": say("left"),
    "right": say("right"),
    "eave": say("eave"),
    "ridge": say("ridge"),
}
_ROLES: Mapping[Role, Sentence] = {"bracket": say("bracket"), "rail": say("rail"), "clamp": say("clamp")}
ASPECTS: Mapping[str, Sentence] = {
    "clamping_zone": say("clamping zone"),
    "long_side": say("long side"),
    "short_side": say("short side"),
    "crown_width": say("crown"),
    "rib_height": say("rib height"),
    "web_angle": say("web angle"),
    "sheet_material": say("sheet material"),
    "sheet_thickness": say("sheet thickness"),
    "uplift": say("uplift"),
    "downward": say("downward load"),
    "modules_by_rows": say("modules by rows"),
    "modules_by_columns": say("modules by columns"),
    "runs": say("runs"),
    "attachments": say("attachments"),
    "clamps": say("clamps"),
    "pieces": say("pieces"),
    "cuts": say("cuts"),
    "splices": say("splices"),
    "expansion_splices": say("expansion splices"),
    "bars": say("bars"),
    "roofs": say("roofs"),
    "arrays": say("arrays"),
}


def zone_words(zone: str) -> Sentence:
    """A zone's name: as the standard has it, the words beside it ready for other languages.

    >>> zone_words("2e ridge snow"), zone_words("1")
    ('2e ridge snow', '1')
    >>> zone_words("2r ridge snow inner")
    '2r ridge snow inner'
    """
    if zone == EVERYWHERE:
        return say("all")
    if zone.endswith(INNER):
        return say("{zone} inner", zone=zone_words(zone.removesuffix(INNER)))
    if zone.endswith(RIDGE_SNOW):
        return say("{zone} ridge snow", zone=zone.removesuffix(RIDGE_SNOW))
    return joined("", (zone,))


def _parts(place: Place) -> Iterator[str]:
    """The words of a place from the large to the small."""
    subject = _SUBJECTS[place.subject] if place.subject else ""
    yield from filter(None, (place.quote, place.supplier, subject, place.roof, place.array))
    yield from _on_array(place)
    if place.zone:
        yield say("zone {zone}", zone=zone_words(place.zone))
    if place.side:
        yield _SIDES[place.side]
    if place.obstruction:
        yield place.obstruction
    if place.part or place.role:
        yield _part(place)
    if place.aspect:
        yield ASPECTS.get(place.aspect, place.aspect)


def _part(place: Place) -> str:
    if not place.part:
        return _ROLES[place.role] if place.role else ""
    if place.role == "bracket":
        return say("bracket {bracket}", bracket=place.part)
    if place.role == "rail":
        return say("rail {rail}", rail=place.part)
    return say("clamp {clamp}", clamp=place.part) if place.role == "clamp" else place.part


def _on_array(place: Place) -> Iterator[Sentence]:
    """Seam, row, column and what stands on them."""
    if place.seam is not None:
        yield _numbered("seam", place.seam)
    line = [(name, getattr(place, name)) for name in ("row", "column", "section")]
    named = [_numbered(name, number) for name, number in line if number is not None]
    if named:
        yield joined(", ", named)
    for name in ("rail", "attachment", "span", "piece"):
        number = getattr(place, name)
        if number is not None:
            yield _numbered(name, number)
    if place.end:
        yield _ENDS[place.end]


def _numbered(name: str, number: int) -> Sentence:
    return Sentence(_NUMBERED[name].template, (("number", str(number)),))
