"""Rails with their bars, splices and clamps."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from decimal import Decimal
from typing import Literal, cast

from estimator.arrangements import WITH_RAIL
from estimator.job import ARRANGEMENTS, MATERIALS, Arrangement, Material
from estimator.pricebook import BarStock, Clamp, Part, Rail, Splice
from estimator.sentences import figure, say
from estimator.storage.books.rows.row import Row
from estimator.storage.books.rows.table import MAX_TECHNICAL_ROWS, TableShape
from estimator.storage.books.tables.parts import MASS_TOLERANCE, check_mass
from estimator.storage.books.tables.strengths import check_characteristic, check_factors, results_in

RAILS = TableShape(
    "rails.csv",
    (
        "rail", "material", "arrangements", "height", "mass_per_length", "area", "inertia", "section_modulus",
        "elastic_modulus", "yield_strength", "ultimate_strength", "allowable_stress", "design_strength",
        "deflection_ratio", "expansion_um_per_m_k", "max_span", "max_cantilever",
    ),
    (
        "name", "max_continuous_length", "splice_clear_of_attachment", "min_piece_length", "min_attachments_per_piece",
        "kerf", "end_trim", "reusable_offcut_length", "offcut_value_per_m", "weak_inertia", "weak_section_modulus",
    ),
    ("rail",),
    MAX_TECHNICAL_ROWS,
)  # fmt: skip
STOCK = TableShape("rail_stock.csv", ("rail", "part", "length"), ("available",), ("part",))
CLAMPS = TableShape(
    "clamps.csv",
    ("part", "kind", "frame_min", "frame_max"),
    ("material", "arrangements", "bonding", "allowable", "characteristic", "results"),
    ("part",),
    MAX_TECHNICAL_ROWS,
)
SPLICES = TableShape(
    "splices.csv",
    ("part", "rail", "kind"),
    (
        "bonding", "gap", "minutes", "least_gap", "moment", "shear", "moment_characteristic", "shear_characteristic",
        "safety_factor", "resistance_factor",
    ),
    ("part", "rail"),
    MAX_TECHNICAL_ROWS,
)  # fmt: skip


def rails_of(rows: Sequence[Row], stock: Sequence[Row], parts: Mapping[str, Part]) -> dict[str, Rail]:
    """The rails by name, each with the bars it comes in."""
    names = {row.text("rail") for row in rows}
    masses = {row.text("rail"): row.quantity("mass_per_length", "mass_per_length") for row in rows}
    bars: dict[str, list[BarStock]] = {}
    for row in stock:
        bars.setdefault(row.reference("rail", names, "rail"), []).append(_bar(row, parts, masses))
    return {row.text("rail"): _rail(row, tuple(bars.get(row.text("rail"), ()))) for row in rows}


def _bar(row: Row, parts: Mapping[str, Part], masses: Mapping[str, float]) -> BarStock:
    part, length_mm = row.reference("part", parts, "part"), row.quantity("length", "length")
    if row.sound and part in parts:
        mass_kg = masses.get(row.text("rail"), 0.0) * length_mm / 1000
        if abs(parts[part].unit_mass_kg - mass_kg) > MASS_TOLERANCE * mass_kg:
            found = say(
                "part {part} weighs {unit_mass_kg}, a bar of this rail another mass",
                part=repr(part),
                unit_mass_kg=figure(parts[part].unit_mass_kg, ".4g", " kg", "mass"),
            )
            row.fault("length", found, say("{mass_kg}, within 2 %", mass_kg=figure(mass_kg, ".4g", " kg", "mass")))
    return BarStock(part, length_mm, row.whole_or("available", 0, 0) if row.has("available") else None)


def _rail(row: Row, stocks: tuple[BarStock, ...]) -> Rail:
    if not stocks:
        row.fault(
            "rail", say("rail {text} comes in no bars", text=repr(row.text("rail"))), say("rows in rail_stock.csv")
        )
    rail = Rail(
        rail=row.needed("rail"),
        name=row.text("name") or row.text("rail"),
        material=cast(Material, row.one_of("material", MATERIALS)),
        arrangements=_arrangements(row, WITH_RAIL, empty=False),
        height_mm=row.quantity("height", "length"),
        mass_kg_per_m=row.quantity("mass_per_length", "mass_per_length"),
        area_mm2=row.quantity("area", "area"),
        inertia_mm4=row.quantity("inertia", "inertia"),
        section_modulus_mm3=row.quantity("section_modulus", "section_modulus"),
        elastic_modulus_mpa=row.quantity("elastic_modulus", "strength"),
        yield_strength_mpa=row.quantity("yield_strength", "strength"),
        ultimate_strength_mpa=row.quantity("ultimate_strength", "strength"),
        allowable_stress_mpa=row.quantity("allowable_stress", "strength"),
        design_strength_mpa=row.quantity("design_strength", "strength"),
        deflection_ratio=float(row.decimal("deflection_ratio")),
        expansion_per_k=float(row.decimal("expansion_um_per_m_k")) / 1e6,
        max_span_mm=row.quantity("max_span", "length"),
        max_cantilever_mm=row.quantity("max_cantilever", "length"),
        stocks=stocks,
        max_continuous_length_mm=row.quantity_or_none("max_continuous_length", "length"),
        splice_clear_of_attachment_mm=row.quantity_or("splice_clear_of_attachment", "length", 0.0),
        min_piece_length_mm=row.quantity_or("min_piece_length", "length", 0.0),
        min_attachments_per_piece=row.whole_or("min_attachments_per_piece", 1, 0),
        kerf_mm=row.quantity_or("kerf", "length", 0.0),
        end_trim_mm=row.quantity_or("end_trim", "length", 0.0),
        reusable_offcut_length_mm=row.quantity_or_none("reusable_offcut_length", "length"),
        offcut_value_per_m=row.money_or_none("offcut_value_per_m"),
        row=row.number,
        weak_inertia_mm4=row.quantity_or_none("weak_inertia", "inertia"),
        weak_section_modulus_mm3=row.quantity_or_none("weak_section_modulus", "section_modulus"),
    )
    if row.sound:
        _check_rail(row, rail)
    return rail


def _check_rail(row: Row, rail: Rail) -> None:
    """What must hold for any section.

    Source: mass = area * density; W = I / c with c at least half the height (mechanics of materials).
    """
    check_mass(row, "mass_per_length", rail.mass_kg_per_m, rail.area_mm2 * 1000, rail.material)
    most = 2 * rail.inertia_mm4 / rail.height_mm
    if rail.section_modulus_mm3 > most * (1 + MASS_TOLERANCE):
        found = say(
            "{section_modulus_mm3} mm3 is more than the inertia over half the height",
            section_modulus_mm3=figure(rail.section_modulus_mm3, ".0f"),
        )
        row.fault("section_modulus", found, say("at most {most} mm3", most=figure(most, ".0f")))
    _check_weak_axis(row, rail)
    if rail.yield_strength_mpa > rail.ultimate_strength_mpa:
        row.fault("yield_strength", say("the yield strength is above the ultimate strength"), say("below it"))
    if rail.allowable_stress_mpa > rail.yield_strength_mpa:
        row.fault("allowable_stress", say("the allowable stress is above the yield strength"), say("below it"))
    if rail.design_strength_mpa > rail.ultimate_strength_mpa:
        row.fault("design_strength", say("the design strength is above the ultimate strength"), say("below it"))
    if rail.deflection_ratio < 1:
        row.fault("deflection_ratio", say("a deflection limit is span over a number"), say("such as 180"))


def _check_weak_axis(row: Row, rail: Rail) -> None:
    """Inertia and section modulus about the weak axis come together; the section's width is not known."""
    inertia, modulus = rail.weak_inertia_mm4, rail.weak_section_modulus_mm3
    if (inertia is None) != (modulus is None):
        row.fault(
            "weak_section_modulus",
            say("of the weak axis only one value is given"),
            say("weak_inertia, too, or neither"),
        )
    elif inertia is not None and modulus is not None and modulus > inertia:
        row.fault(
            "weak_section_modulus",
            say("{modulus} mm3 asks for a section less than 2 mm wide", modulus=figure(modulus, ".0f")),
            say("a smaller one"),
        )


def clamps_of(rows: Sequence[Row], parts: Mapping[str, Part]) -> tuple[Clamp, ...]:
    """The clamps in the table's order."""
    return tuple(_clamp(row, parts) for row in rows)


def _clamp(row: Row, parts: Mapping[str, Part]) -> Clamp:
    material = row.one_of("material", MATERIALS, empty=True)
    return Clamp(
        part=row.reference("part", parts, "part"),
        kind=cast(Literal["mid_clamp", "end_clamp"], row.one_of("kind", ("mid_clamp", "end_clamp"))),
        material=cast(Material, material) if material else None,
        frame_mm=row.span("frame", "length"),
        arrangements=_arrangements(row, ARRANGEMENTS, empty=True) or frozenset(ARRANGEMENTS),
        bonding=row.yes("bonding"),
        allowable_n=row.quantity_or_none("allowable", "force"),
        row=row.number,
        characteristic_n=row.quantity_or_none("characteristic", "force"),
        results_n=results_in(row),
    )


def splices_of(rows: Sequence[Row], parts: Mapping[str, Part], rails: Collection[str]) -> tuple[Splice, ...]:
    """The splices in the table's order."""
    return tuple(_splice(row, parts, rails) for row in rows)


def _splice(row: Row, parts: Mapping[str, Part], rails: Collection[str]) -> Splice:
    return Splice(
        part=row.reference("part", parts, "part"),
        rail=row.reference("rail", rails, "rail"),
        kind=cast(Literal["splice", "expansion_splice"], row.one_of("kind", ("splice", "expansion_splice"))),
        bonding=row.yes("bonding"),
        gap_mm=row.quantity_or("gap", "length", 0.0),
        minutes=row.decimal("minutes") if row.has("minutes") else Decimal(0),
        row=row.number,
        least_gap_mm=row.quantity_or_none("least_gap", "length"),
        **_tested(row),
    )


def _tested(row: Row) -> dict[str, float | None]:
    """What a rigid joint was tested for; factors without a strength, or on a joint that moves, are faults."""
    found = {
        "moment_n_mm": row.quantity_or_none("moment", "moment"),
        "shear_n": row.quantity_or_none("shear", "force"),
        "moment_characteristic_n_mm": row.quantity_or_none("moment_characteristic", "moment"),
        "shear_characteristic_n": row.quantity_or_none("shear_characteristic", "force"),
        "safety_factor": row.number_or("safety_factor", None),
        "resistance_factor": row.number_or("resistance_factor", None),
    }
    if row.text("kind") == "expansion_splice" and any(value is not None for value in found.values()):
        row.fault(
            "kind",
            say("a joint that moves carries neither moment nor shear"),
            say("tested strengths on rigid splices only"),
        )
    elif (found["moment_n_mm"] is None) != (found["shear_n"] is None):
        row.fault("moment", say("a splice was tested for moment alone or for shear alone"), say("both, or neither"))
    for name in ("moment", "shear"):
        check_characteristic(row, f"{name}_characteristic", found["moment_n_mm" if name == "moment" else "shear_n"])
    check_factors(row, (found["safety_factor"], found["resistance_factor"]))
    return found


def _arrangements(row: Row, allowed: Sequence[str], *, empty: bool) -> frozenset[Arrangement]:
    return frozenset(cast(Arrangement, each) for each in row.some_of("arrangements", allowed, empty=empty))
