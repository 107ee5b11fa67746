"""Whether the assembly rules count every structural part of every mounting, once, and every role with one part."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import get_args

from estimator.arrangements import PROPERTIES
from estimator.errors import Fault, FilePlace
from estimator.job import MATERIALS, Arrangement, Material, RailDirection
from estimator.pricebook.conditions import applies, applies_to_sheet
from estimator.pricebook.lookups import parts_for_role, rails_for
from estimator.pricebook.records import AssemblyRule, Basis, Book, Bracket
from estimator.sentences import say

CHOSEN_ROLES = frozenset({"bracket", "rail", "splice", "expansion_splice", "mid_clamp", "end_clamp"})
"""Roles whose part the mounting chooses, so that several parts may hold them."""

FEET_ROLES = frozenset({"bracket", "foot"})
WANTED: tuple[tuple[str, Basis], ...] = (
    ("bracket", "attachments"),
    ("screw", "attachments"),
    ("mid_clamp", "mid_clamps"),
    ("end_clamp", "end_clamps"),
    ("splice", "splices"),
    ("expansion_splice", "expansion_splices"),
)
FILE = "assembly_rules.csv"


@dataclass(frozen=True, slots=True)
class _Mounting:
    """One way to mount that the book offers, on one sheet."""

    bracket: Bracket
    arrangement: Arrangement
    rail_direction: RailDirection
    rail: str | None
    sheet: str

    def __str__(self) -> str:
        rail = f" with rail {self.rail} {self.rail_direction}" if self.rail else ""
        return f"bracket {self.bracket.part}, {self.arrangement}{rail}, on {self.sheet}"


def rule_faults(book: Book, faulty: frozenset[str]) -> Iterator[Fault]:
    """Faults of the rules against every mounting the book offers, each said once.

    Source: the same counts as in a takeoff by hand: one bracket, its screws, the clamps and splices (common practice,
    no source). A second foot on a bracket that has one lengthens the moment arm: it is refused (common practice, no
    source).
    """
    yield from _unplayable_roles(book, faulty)
    said: set[tuple[str, str]] = set()
    roles = {role for role, _ in WANTED} | FEET_ROLES
    asked = [rule for rule in book.rules if _role(book, rule) in roles]
    for mounting in _mountings(book):
        ruling = [rule for rule in asked if _rules(rule, mounting)]
        for key, fault in (*_missing(book, ruling, mounting), *_second_feet(book, ruling, mounting)):
            if key not in said:
                said.add(key)
                yield fault


def _unplayable_roles(book: Book, faulty: frozenset[str]) -> Iterator[Fault]:
    for rule in book.rules:
        if not rule.role or rule.role in CHOSEN_ROLES or "parts.csv" in faulty:
            continue
        for material in sorted(rule.when.materials or MATERIALS):
            playing = parts_for_role(book.parts, rule.role, material)
            at = FilePlace(FILE, rule.row, "role")
            if not playing:
                yield Fault(
                    at,
                    say("no part plays {role} in {material}", role=repr(rule.role), material=material),
                    say("a part of that role, or a material"),
                )
            elif len(playing) > 1:
                names = ", ".join(part.part for part in playing)
                yield Fault(
                    at,
                    say(
                        "several parts play {role} in {material}: {names}",
                        role=repr(rule.role),
                        material=material,
                        names=names,
                    ),
                    say("one; or name the part"),
                )


def _mountings(book: Book) -> Iterator[_Mounting]:
    """Every way to mount that the rules can tell apart: of the rails that no rule names, one stands for all."""
    named_rails = frozenset[str]().union(*(rule.when.rails for rule in book.rules))
    for bracket in book.brackets.values():
        for arrangement in bracket.heights_mm:
            offered = [rail.rail for rail in rails_for(book, bracket, arrangement)]
            rails = [rail for rail in offered if rail in named_rails]
            rails += [rail for rail in offered if rail not in named_rails][:1]
            named: list[str | None] = [*rails] if PROPERTIES[arrangement].has_rail else [None]
            directions: tuple[RailDirection, ...] = get_args(RailDirection) if rails else ("across_ribs",)
            for sheet in sorted(bracket.sheet_materials):
                for rail in named:
                    for direction in directions:
                        yield _Mounting(bracket, arrangement, direction, rail, sheet)


def _rules(rule: AssemblyRule, mounting: _Mounting) -> bool:
    material: Material = mounting.bracket.material
    return applies_to_sheet(rule.when, mounting.sheet) and applies(
        rule.when, mounting.arrangement, material, mounting.rail_direction, mounting.bracket.part, mounting.rail
    )


def _role(book: Book, rule: AssemblyRule) -> str:
    if rule.role:
        return rule.role
    return book.parts[rule.part].role if rule.part in book.parts else ""


def _missing(book: Book, ruling: list[AssemblyRule], mounting: _Mounting) -> Iterator[tuple[tuple[str, str], Fault]]:
    counted: dict[tuple[str, str], Fraction] = {}
    for rule in ruling:
        key = (_role(book, rule), rule.for_each)
        counted[key] = counted.get(key, Fraction(0)) + rule.count / rule.per
    for role, basis in WANTED:
        rail_only = role in ("splice", "expansion_splice")
        if counted.get((role, basis), 0) < 1 and not (rail_only and mounting.rail is None):
            message = say(
                "no rule counts {role}s, one or more for each of {basis}: {mounting}",
                role=role.replace("_", " "),
                basis=basis,
                mounting=str(mounting),
            )
            yield (
                (role, mounting.bracket.part),
                Fault(
                    FilePlace(FILE), message, say("a row with role {role}, for_each {basis}", role=role, basis=basis)
                ),
            )


def _second_feet(
    book: Book, ruling: list[AssemblyRule], mounting: _Mounting
) -> Iterator[tuple[tuple[str, str], Fault]]:
    """Each rule that takes the feet of an attachment past one, in the table's order."""
    feet = Fraction(0) if mounting.bracket.feet else Fraction(-1)
    for rule in sorted(ruling, key=lambda each: (_role(book, each) != "bracket", each.row)):
        if _role(book, rule) not in FEET_ROLES:
            continue
        feet += rule.count / rule.per if rule.for_each == "attachments" else 1
        if feet > 1:
            message = say(
                "a second foot for an attachment: {foot} on a bracket that comes with a foot ({mounting})",
                foot=repr(rule.part or rule.role),
                mounting=str(mounting),
            )
            fault = Fault(FilePlace(FILE, rule.row, "count"), message, say("one foot for each attachment"))
            yield (f"second foot {rule.row}", mounting.bracket.part), fault
