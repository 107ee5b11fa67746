"""Assembly rules, labour activities and freight rates."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import cast, get_args

from estimator.job import ARRANGEMENTS, MATERIALS, Arrangement, Material, RailDirection
from estimator.pricebook import KNOWN_ROLES, AssemblyRule, Basis, Condition, FreightRate, LabourActivity, Part
from estimator.sentences import figure, say
from estimator.storage.books.rows.row import Row
from estimator.storage.books.rows.table import MAX_TECHNICAL_ROWS, TableShape
from estimator.storage.books.tables.brackets import SHEETS

BASES: tuple[str, ...] = get_args(Basis)
_CONDITIONS = ("arrangement", "material", "rail_direction", "sheet_material", "bracket", "rail")
RULES = TableShape(
    "assembly_rules.csv",
    ("rule", "part", "role", "count", "for_each"),
    ("per", *_CONDITIONS, "note"),
    ("rule",),
    MAX_TECHNICAL_ROWS,
)
LABOUR = TableShape(
    "labour.csv",
    ("activity", "description", "minutes", "for_each"),
    ("per", *_CONDITIONS),
    ("activity",),
    MAX_TECHNICAL_ROWS,
)
FREIGHT = TableShape("freight.csv", ("zone", "from_mass", "base", "per_kg"), ("minimum",), ("zone", "from_mass"))


@dataclass(frozen=True, slots=True)
class Known:
    """The names a condition or a rule may refer to."""

    parts: Mapping[str, Part]
    brackets: Collection[str]
    rails: Collection[str]


def rules_of(rows: Sequence[Row], known: Known) -> tuple[AssemblyRule, ...]:
    """The assembly rules in the table's order."""
    return tuple(_rule(row, known) for row in rows)


def _rule(row: Row, known: Known) -> AssemblyRule:
    part = row.reference("part", known.parts, "part", empty=True)
    roles = {each.role for each in known.parts.values()} | KNOWN_ROLES
    role = row.reference("role", roles, "role", empty=True)
    if bool(part) == bool(role) and {"part", "role"} <= set(row.cells):
        row.fault("role", say("a rule counts one part or one role"), say("part or role, and only one of them"))
    if role == "rail" or (part in known.parts and known.parts[part].role == "rail"):
        row.fault("role" if role else "part", say("rails are counted by the cut plan"), say("any other role"))
    return AssemblyRule(
        rule=row.needed("rule"),
        part=part,
        role=role,
        count=row.count("count"),
        for_each=cast(Basis, row.one_of("for_each", BASES)),
        per=row.whole_or("per", 1),
        when=_condition(row, known),
        note=row.text("note"),
        row=row.number,
    )


def _condition(row: Row, known: Known) -> Condition:
    directions = row.some_of("rail_direction", get_args(RailDirection))
    return Condition(
        arrangements=frozenset(cast(Arrangement, each) for each in row.some_of("arrangement", ARRANGEMENTS)),
        materials=frozenset(cast(Material, each) for each in row.some_of("material", MATERIALS)),
        rail_directions=frozenset(cast(RailDirection, each) for each in directions),
        sheet_materials=row.some_of("sheet_material", SHEETS),
        brackets=row.references("bracket", known.brackets, "bracket"),
        rails=row.references("rail", known.rails, "rail"),
    )


def labour_of(rows: Sequence[Row], known: Known) -> tuple[LabourActivity, ...]:
    """The labour activities in the table's order."""
    return tuple(
        LabourActivity(
            activity=row.needed("activity"),
            description=row.needed("description"),
            minutes=row.decimal("minutes"),
            for_each=cast(Basis, row.one_of("for_each", BASES)),
            per=row.whole_or("per", 1),
            when=_condition(row, known),
            row=row.number,
        )
        for row in rows
    )


def freight_of(rows: Sequence[Row]) -> tuple[FreightRate, ...]:
    """The freight rates in the table's order; each zone begins at 0 and rises."""
    rates: list[FreightRate] = []
    for row in rows:
        minimum = row.money_or_none("minimum")
        rate = FreightRate(
            zone=row.needed("zone"),
            from_kg=row.quantity("from_mass", "mass", zero=True),
            base=row.money("base"),
            per_kg=row.money("per_kg"),
            **({} if minimum is None else {"minimum": minimum}),
        )
        _check_rate(row, rate, [each.from_kg for each in rates if each.zone == rate.zone])
        rates.append(rate)
    return tuple(rates)


def _check_rate(row: Row, rate: FreightRate, before: Sequence[float]) -> None:
    if not before and rate.from_kg > 0:
        row.fault(
            "from_mass",
            say(
                "zone {zone} begins at {from_kg}",
                zone=repr(rate.zone),
                from_kg=figure(rate.from_kg, "g", " kg", "mass"),
            ),
            say("a zone's first row begins at 0"),
        )
    if before and rate.from_kg <= before[-1]:
        row.fault(
            "from_mass",
            say("{from_kg} does not rise", from_kg=figure(rate.from_kg, "g", " kg", "mass")),
            say("above {before}", before=figure(before[-1], "g", " kg", "mass")),
        )
