"""Brackets with their tests and screws."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, cast, get_args

from estimator.arrangements import PROPERTIES
from estimator.job import MATERIALS, Arrangement, Material, SheetMaterial
from estimator.pricebook import Bracket, Part, ScrewJoint, StrengthTest
from estimator.storage.books.cells import CellFault, listed, quantity
from estimator.storage.books.number_signs import in_points
from estimator.storage.books.row import Row
from estimator.storage.books.table import MAX_TECHNICAL_ROWS, TableShape

SHEETS: tuple[str, ...] = get_args(SheetMaterial)
DIRECTIONS = ("uplift", "downward", "along_slope", "across_slope")
Direction = Literal["uplift", "downward", "along_slope", "across_slope"]
BRACKETS = TableShape(
    "brackets.csv",
    (
        "part", "material", *(each.height_column for each in PROPERTIES.values()), "crown_width_min",
        "crown_width_max", "rib_height_min", "rib_height_max", "web_angle_min", "web_angle_max", "sheet_materials",
        "sheet_thickness_min", "sheet_thickness_max", "max_span",
    ),
    ("name", "feet", "rails", "interaction_exponent"),
    ("part",),
    MAX_TECHNICAL_ROWS,
)  # fmt: skip
TESTS = TableShape(
    "strength_tests.csv",
    ("bracket", "sheet_material", "sheet_thickness", "sheet_strength", "direction", "ultimate"),
    ("results", "safety_factor", "resistance_factor", "source"),
    ("bracket", "sheet_material", "sheet_thickness", "direction"),
)
JOINTS = TableShape(
    "screw_joints.csv",
    ("bracket", "count", "diameter", "head_diameter", "thickness", "ultimate_strength", "rule"),
    ("screw_shear", "screw_tension"),
    ("bracket",),
)
FEWEST_RESULTS = 3


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
        row.fault("part", f"bracket {part!r} has no strength", "rows in strength_tests.csv or screw_joints.csv")
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
        row.fault(first, "the bracket is made for no arrangement", f"a height in at least one of the {len(PROPERTIES)}")
    return heights


def _test(row: Row, brackets: Collection[str]) -> StrengthTest:
    sheet = row.one_of("sheet_material", SHEETS)
    ultimate_n = row.quantity("ultimate", "force")
    results_n = _results(row)
    factors = (row.number_or("safety_factor", None), row.number_or("resistance_factor", None))
    _check_test(row, ultimate_n, results_n, factors)
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
    )


def _results(row: Row) -> tuple[float, ...]:
    try:
        return tuple(
            quantity(in_points(text, row.sign), "force", row.reading.units) for text in listed(row.text("results"))
        )
    except CellFault as fault:
        row.fault("results", fault.message, f"{fault.allowed}; several parted by semicolons")
        return ()


def _check_test(row: Row, ultimate_n: float, results_n: tuple[float, ...], factors: tuple[float | None, ...]) -> None:
    """A strength needs single results or a factor; the strength of a test set is its mean (AISI S100-16, K2.1.1)."""
    if not row.has("results") and factors == (None, None):
        row.fault("safety_factor", "no allowable load follows", "safety_factor, resistance_factor or single results")
    if factors[0] is not None and factors[0] < 1:
        row.fault("safety_factor", f"{factors[0]:g} is below 1", "1 or more")
    if factors[1] is not None and factors[1] > 1:
        row.fault("resistance_factor", f"{factors[1]:g} is above 1", "above 0, at most 1")
    if results_n and len(results_n) < FEWEST_RESULTS:
        row.fault("results", f"{len(results_n)} results are too few", f"at least {FEWEST_RESULTS}")
    mean = sum(results_n) / len(results_n) if results_n else ultimate_n
    if abs(mean - ultimate_n) > 0.01 * mean:
        row.fault("ultimate", f"{ultimate_n:.0f} N is not the mean of the results", f"{mean:.0f} N, within 1 %")


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
