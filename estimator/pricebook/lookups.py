"""Look-ups in a book: the clamp for a frame, the splice for a rail, the part that plays a role."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from estimator.job import Arrangement, Material
from estimator.pricebook.records import Book, Bracket, Clamp, Part, Rail, Splice

TOLERANCE_MM = 0.001


def clamps_for(
    book: Book,
    kind: Literal["mid_clamp", "end_clamp"],
    thickness_mm: float,
    arrangement: Arrangement,
    material: Material,
) -> tuple[Clamp, ...]:
    """The clamps of a kind that take a frame of that thickness (mm), in the book's order; empty where none does.

    A clamp without a material is for both. Source: the frame range of the book's clamp (common practice, no source).
    """
    return tuple(
        clamp
        for clamp in book.clamps
        if clamp.kind == kind
        and clamp.material in (None, material)
        and arrangement in clamp.arrangements
        and clamp.frame_mm[0] - TOLERANCE_MM <= thickness_mm <= clamp.frame_mm[1] + TOLERANCE_MM
    )


def splice_for(book: Book, rail: str, kind: Literal["splice", "expansion_splice"]) -> Splice | None:
    """The splice of a kind that fits a rail; a book that was read holds at most one."""
    return next((each for each in book.splices if each.rail == rail and each.kind == kind), None)


def parts_for_role(parts: Mapping[str, Part], role: str, material: Material) -> tuple[Part, ...]:
    """The parts that can play a role in a job of a material: those of that material, else those without any.

    One part is the answer, none means the role is missing, several that the role is ambiguous.
    """
    playing = [part for part in parts.values() if part.role == role]
    own = tuple(part for part in playing if part.material == material)
    return own or tuple(part for part in playing if part.material is None)


def part_for_role(book: Book, role: str, material: Material) -> Part | None:
    """The one part that plays a role in a job of a material; None where the book has none, or more than one.

    Brackets, rails, clamps and splices are not found this way: they are the mounting's choice.
    """
    playing = parts_for_role(book.parts, role, material)
    return playing[0] if len(playing) == 1 else None


def rails_for(book: Book, bracket: Bracket, arrangement: Arrangement) -> tuple[Rail, ...]:
    """The rails of the bracket's material that it carries in an arrangement; none without rail.

    A bracket that names no rails carries all of its material.
    """
    return tuple(
        rail
        for rail in book.rails.values()
        if rail.material == bracket.material
        and arrangement in rail.arrangements
        and (not bracket.rails or rail.rail in bracket.rails)
    )


def lead_time_of(book: Book, part: str) -> int:
    """Calendar days from order to delivery of a part: its own, else its supplier's."""
    entry = book.parts[part]
    supplier = book.suppliers.get(entry.supplier)
    return entry.lead_time_days or (supplier.lead_time_days if supplier else 0)
