"""Brackets with their tests and screws."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, cast, get_args

from estimator.arrangements import DIRECTIONS as RAIL_DIRECTIONS
from estimator.arrangements import PROPERTIES, RailDirection
from estimator.job import MATERIALS, Arrangement, Material, SheetMaterial
from estimator.pricebook import Bracket, Part, ScrewJoint, StrengthTest
from estimator.sentences import say
from estimator.storage.books.rows.row import Row
from estimator.storage.books.rows.table import MAX_TECHNICAL_ROWS, TableShape
from estimator.storage.books.tables.strengths import check_characteristic, check_factors, check_mean, results_in

SHEETS: tuple[str, ...] = get_args(SheetMaterial)
DIRECTIONS = ("uplift", "downward", "along_slope", "across_slope")
Direction = Literal["uplift", "downward", "along_slope", "across_slope"]
BRACKETS = TableShape(
    "brackets.csv",
    (
        "part", "material", "crown_width_min", "crown_width_max", "rib_height_min", "rib_height_max", "web_angle_min",
        "web_angle_max", "sheet_materials", "sheet_thickness_min", "sheet_thickness_max", "max_span",
    ),
    (*(each.height_column for each in PROPERTIES.values()), "name", "feet", "rails", "interaction_exponent"),
    ("part",),
    MAX_TECHNICAL_ROWS,
)  # fmt: skip
TESTS = TableShape(
    "strength_tests.csv",
    ("bracket", "sheet_material", "sheet_thickness", "sheet_strength", "direction", "ultimate"),
    (
        "results", "safety_factor", "resistance_factor", "source", "characteristic", "arrangement", "rail_direction",
        "height",
    ),
    ("bracket", "sheet_material", "sheet_thickness", "direction", "arrangement", "rail_direction"),
)  # fmt: skip
JOINTS = TableShape(
    "screw_joints.csv",
    ("bracket", "count", "diameter", "head_diameter", "thickness", "ultimate_strength", "rule"),
    ("screw_shear", "screw_tension"),
    ("bracket",),
)


@dataclass(frozen=True, slots=True)
class BracketTables:
    """The rows of the three tables."""

    brackets: Sequence[Row]
    tests: Sequence[Row]
    joints: Sequence[Row]


def brackets_of(tables: BracketTables, parts: Mapping[str, Part], rails: Collection[str]) -> dict[str, Bracket]:
    """The brackets by part number, each with its tests and screws."""
    names = {row.text("part") for row in tables.brackets}
    tests = [_test(row, names) for row in tables.tests]
    joints = {row.text("bracket"): _joint(row, names) for row in tables.joints}
    found = {}
    for row in tables.brackets:
        name = row.text("part")
        own = tuple(test for test in tests if test.bracket == name)
        found[name] = _bracket(row, own, joints.get(name), parts, rails)
    return found


def _bracket(
    row: Row,
    tests: tuple[StrengthTest, ...],
    screws: ScrewJoint | None,
    parts: Mapping[str, Part],
    rails: Collection[str],
) -> Bracket:
    part = row.reference("part", parts, "part")
    if not tests and screws is None:
        row.fault(
            "part",
            say("bracket {part} has no strength", part=repr(part)),
            say("rows in strength_tests.csv or screw_joints.csv"),
        )
    return Bracket(
        part=part,
        name=row.text("name") or (parts[part].description if part in parts else part),
        material=cast(Material, row.one_of("material", MATERIALS)),
        heights_mm=_heights(row),
        crown_width_mm=row.span("crown_width", "length"),
        rib_height_mm=row.span("rib_height", "length"),
        web_angle_deg=row.span("web_angle", "angle"),
        sheet_materials=row.some_of("sheet_materials", SHEETS, empty=False),
        sheet_thickness_mm=row.thickness_span("sheet_thickness", "steel"),
        max_span_mm=row.quantity("max_span", "length"),
        feet=row.whole_or("feet", 1, 0),
        rails=row.references("rails", rails, "rail"),
        tests=tests,
        screws=screws,
        interaction_exponent=row.number_or("interaction_exponent", 1.0) or 1.0,
        row=row.number,
    )


def _heights(row: Row) -> dict[Arrangement, float]:
    heights = {}
    for arrangement, held in PROPERTIES.items():
        height = row.quantity_or_none(held.height_column, "length")
        if height is not None:
            heights[arrangement] = height
    if not heights:
        first = next(iter(PROPERTIES.values())).height_column
        row.fault(
            first,
            say("the bracket is made for no arrangement"),
            say("a height in at least one of the {count}", count=len(PROPERTIES)),
        )
    return heights


def _test(row: Row, brackets: Collection[str]) -> StrengthTest:
    sheet = row.one_of("sheet_material", SHEETS)
    ultimate_n = row.quantity("ultimate", "force")
    results_n = results_in(row)
    factors = (row.number_or("safety_factor", None), row.number_or("resistance_factor", None))
    characteristic_n = row.quantity_or_none("characteristic", "force")
    if not row.has("results") and characteristic_n is None and factors == (None, None):
        allowed = say("safety_factor, resistance_factor, characteristic or single results")
        row.fault("safety_factor", say("no allowable load follows"), allowed)
    check_factors(row, factors)
    check_characteristic(row, "characteristic", ultimate_n)
    check_mean(row, ultimate_n, results_n)
    arrangement, along = _used(row)
    return StrengthTest(
        bracket=row.reference("bracket", brackets, "bracket"),
        sheet_material=sheet,
        sheet_thickness_mm=row.thickness("sheet_thickness", sheet),
        sheet_strength_mpa=row.quantity("sheet_strength", "strength"),
        direction=cast(Direction, row.one_of("direction", DIRECTIONS)),
        ultimate_n=ultimate_n,
        results_n=results_n,
        safety_factor=factors[0],
        resistance_factor=factors[1],
        source=row.text("source"),
        characteristic_n=characteristic_n,
        arrangement=arrangement,
        rail_direction=along,
        load_height_mm=row.quantity_or_none("height", "length"),
    )


def _used(row: Row) -> tuple[Arrangement | None, RailDirection | None]:
    """How the bracket was used in the test; empty where the book does not say."""
    arrangement = cast("Arrangement | None", row.one_of("arrangement", tuple(PROPERTIES), empty=True) or None)
    along = cast("RailDirection | None", row.one_of("rail_direction", RAIL_DIRECTIONS, empty=True) or None)
    held = PROPERTIES.get(arrangement) if arrangement else None
    if along and held is not None and not held.has_rail:
        row.fault(
            "rail_direction",
            say("there are no rails in arrangement {arrangement}", arrangement=repr(arrangement)),
            say("an empty cell"),
        )
    return arrangement, along


def _joint(row: Row, brackets: Collection[str]) -> ScrewJoint:
    return ScrewJoint(
        bracket=row.reference("bracket", brackets, "bracket"),
        count=row.whole_or("count", 1) if row.needed("count") else 1,
        diameter_mm=row.quantity("diameter", "length"),
        head_diameter_mm=row.quantity("head_diameter", "length"),
        thickness_mm=row.quantity("thickness", "length"),
        ultimate_strength_mpa=row.quantity("ultimate_strength", "strength"),
        screw_shear_n=row.quantity_or_none("screw_shear", "force"),
        screw_tension_n=row.quantity_or_none("screw_tension", "force"),
        rule=cast(Literal["aisi-s100", "en1993-1-3"], row.one_of("rule", ("aisi-s100", "en1993-1-3"))),
    )
