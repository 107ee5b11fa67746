"""A small pricebook for tests: dimensions of the bracket and its joint are the trade's common values, prices invented.

Common practice, no source: four self-piercing screws a bracket, crowns up to 3 in, ribs usually 1.25 in high, 3.75 in
from the crown to the top of a side rail, 2.75 in to the seat of the foot laid flat, a rail 1.75 in high, a little over
1100 lbf in 26-gauge steel, an aluminium bracket 34 % lighter than a stainless one, an air gap of 100 to 110 mm.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from estimator.job import ARRANGEMENTS, Arrangement, Material
from estimator.pricebook import (
    AssemblyRule,
    BarStock,
    Basis,
    Book,
    Bracket,
    Clamp,
    Condition,
    Defaults,
    FreightRate,
    LabourActivity,
    Part,
    Rail,
    Seller,
    Splice,
    StrengthTest,
    Supplier,
    Tax,
)

INCH = 25.4
LBF_N = 4.4482216152605
MATERIALS: tuple[tuple[Material, str], ...] = (("aluminium", "AL"), ("steel", "ST"))
STEEL_BRACKET_KG = 0.500
ALUMINIUM_BRACKET_KG = 0.330  # 34 % lighter than the stainless one; common practice, no source
BAR_LENGTHS = (4200.0, 6000.0)
AIR_GAP_MM = (100.0, 110.0)  # under a module; common practice, no source
KG_PER_M = {"aluminium": 0.810, "steel": 1.884}  # 300 mm2 at 2.70 kg/dm3; 240 mm2 at 7.85 kg/dm3
ALL = frozenset(ARRANGEMENTS)
DIRECT: frozenset[Arrangement] = frozenset({"direct"})
SHEETS = frozenset({"steel", "aluminium", "foam_core_steel", "foam_core_aluminium"})


def a_part(part: str, role: str, material: Material | None, mass_kg: float, cost: str, pack: int = 1) -> Part:
    return Part(part, role, f"{role} {part}", material, "C62", mass_kg, Decimal(cost), "S-1", f"X-{part}", pack)


def a_bracket(code: str = "AL", **changes: object) -> Bracket:
    part = f"B-{code}"
    test = StrengthTest(
        part, "steel", 0.4555, 448.0, "uplift", 1110 * LBF_N, safety_factor=3.0, source="fixture",
        characteristic_n=900 * LBF_N, arrangement="rail_on_side", rail_direction="across_ribs",
    )  # fmt: skip
    downward = replace(test, direction="downward", ultimate_n=1500 * LBF_N, characteristic_n=1250 * LBF_N)
    across = (test, downward)
    along = tuple(replace(each, rail_direction="along_ribs") for each in across)
    bracket = Bracket(
        part=part,
        name=f"rib bracket {code}",
        material="aluminium" if code == "AL" else "steel",
        heights_mm={"rail_on_side": 3.75 * INCH, "rail_on_top": 2.75 * INCH, "direct": 2.75 * INCH},
        crown_width_mm=(20.0, 3 * INCH),
        rib_height_mm=(19.0, 60.0),
        web_angle_deg=(45.0, 80.0),
        sheet_materials=SHEETS,
        sheet_thickness_mm=(0.4, 1.2),
        max_span_mm=1300.0,
        tests=(*across, *along),
    )
    return replace(bracket, **changes)  # type: ignore[arg-type]


def a_rail(code: str = "AL", **changes: object) -> Rail:
    material: Material = "aluminium" if code == "AL" else "steel"
    area = 300.0 if material == "aluminium" else 240.0
    rail = Rail(
        rail=f"R-{code}",
        name=f"rail {code}",
        material=material,
        arrangements=frozenset({"rail_on_side", "rail_on_top"}),
        height_mm=1.75 * INCH,
        mass_kg_per_m=KG_PER_M[material],
        area_mm2=area,
        inertia_mm4=80_000.0,
        section_modulus_mm3=3_600.0,
        elastic_modulus_mpa=69_600.0 if material == "aluminium" else 210_000.0,
        yield_strength_mpa=170.0 if material == "aluminium" else 280.0,
        ultimate_strength_mpa=205.0 if material == "aluminium" else 360.0,
        allowable_stress_mpa=105.0 if material == "aluminium" else 165.0,
        design_strength_mpa=155.0 if material == "aluminium" else 255.0,
        deflection_ratio=120.0,
        expansion_per_k=23.4e-6 if material == "aluminium" else 12e-6,
        max_span_mm=1250.0,
        max_cantilever_mm=350.0,
        stocks=tuple(BarStock(f"R-{code}-{length:.0f}", length) for length in BAR_LENGTHS),
        max_continuous_length_mm=30_000.0,
        splice_clear_of_attachment_mm=50.0,
        min_piece_length_mm=400.0,
        min_attachments_per_piece=1,
        kerf_mm=3.0,
        reusable_offcut_length_mm=1000.0,
        offcut_value_per_m=Decimal("2.00"),
    )
    return replace(rail, **changes)  # type: ignore[arg-type]


def a_rule(name: str, what: str, count: str, for_each: Basis, per: int = 1, **when: object) -> AssemblyRule:
    """``what`` is "part:..." or "role:..."."""
    kind, _, value = what.partition(":")
    part, role = (value, "") if kind == "part" else ("", value)
    return AssemblyRule(name, part, role, Fraction(count), for_each, per, Condition(**when))  # type: ignore[arg-type]


def fixture_rules() -> tuple[AssemblyRule, ...]:
    rules = (
        a_rule("bracket", "role:bracket", "1", "attachments"),
        a_rule("screws", "role:screw", "4", "attachments"),
        a_rule("bracket nut", "part:N-1", "1", "attachments"),
        a_rule("extra nut without rail", "part:N-1", "1", "attachments", arrangements=DIRECT),
        a_rule("mid clamps", "role:mid_clamp", "1", "mid_clamps"),
        a_rule("end clamps", "role:end_clamp", "1", "end_clamps"),
        a_rule("splices", "role:splice", "1", "splices"),
        a_rule("expansion splices", "role:expansion_splice", "1", "expansion_splices"),
        a_rule("jumpers", "part:J-1", "1", "expansion_splices"),
        a_rule("cable clips", "part:CC-1", "2", "modules"),
        a_rule("labels", "part:L-1", "1", "modules", 10),
        a_rule("earth lugs", "part:E-1", "1", "arrays"),
    )
    return tuple(replace(rule, row=number) for number, rule in enumerate(rules, start=2))


def _parts_of(material: Material, code: str) -> list[Part]:
    bracket_kg = ALUMINIUM_BRACKET_KG if material == "aluminium" else STEEL_BRACKET_KG
    parts = [
        a_part(f"B-{code}", "bracket", material, bracket_kg, "4.10" if code == "AL" else "3.60", 25),
        a_part(f"SC-{code}", "screw", material, 0.008, "0.11", 100),
        a_part(f"MC-{code}", "mid_clamp", material, 0.060, "0.95", 50),
        a_part(f"EC-{code}", "end_clamp", material, 0.065, "1.05", 50),
        a_part(f"SP-{code}", "splice", material, 0.300, "3.20"),
        a_part(f"XP-{code}", "expansion_splice", material, 0.320, "4.80"),
    ]
    for length in BAR_LENGTHS:
        cost = str(round(Decimal(length) / 1000 * Decimal("6.50"), 2))
        parts.append(a_part(f"R-{code}-{length:.0f}", "rail", material, KG_PER_M[material] * length / 1000, cost))
    return parts


def fixture_parts() -> dict[str, Part]:
    parts = [part for material, code in MATERIALS for part in _parts_of(material, code)]
    parts += [
        a_part("N-1", "nut", None, 0.012, "0.14", 100),
        a_part("J-1", "jumper", None, 0.045, "1.90"),
        a_part("CC-1", "cable_clip", None, 0.004, "0.12", 100),
        a_part("L-1", "label", None, 0.002, "0.30"),
        a_part("E-1", "earth_lug", None, 0.050, "2.40", 10),
    ]
    return {part.part: part for part in parts}


def fixture_clamps() -> tuple[Clamp, ...]:
    return tuple(
        Clamp(f"{'MC' if kind == 'mid_clamp' else 'EC'}-{code}", kind, material, (30.0, 46.0), ALL, bonding=True)
        for material, code in MATERIALS
        for kind in ("mid_clamp", "end_clamp")
    )


def fixture_splices() -> tuple[Splice, ...]:
    rigid = [Splice(f"SP-{code}", f"R-{code}", "splice", bonding=True, minutes=Decimal(4)) for _, code in MATERIALS]
    moving = [Splice(f"XP-{code}", f"R-{code}", "expansion_splice", gap_mm=20.0) for _, code in MATERIALS]
    return (*rigid, *moving)


def fixture_labour() -> tuple[LabourActivity, ...]:
    always = Condition()
    return (
        LabourActivity("brackets", "set and screw brackets", Decimal(4), "attachments", 1, always),
        LabourActivity("modules", "lay and clamp modules", Decimal(9), "modules", 1, always),
        LabourActivity("splices", "join rails", Decimal(4), "splices", 1, always),
    )


def fixture_freight() -> tuple[FreightRate, ...]:
    return (
        FreightRate("near", 0.0, Decimal("40.00"), Decimal("0.25"), Decimal("60.00")),
        FreightRate("near", 500.0, Decimal("80.00"), Decimal("0.18"), Decimal("60.00")),
    )


def a_book(**changes: object) -> Book:
    book = Book(
        id="fixture",
        edition="2026-01",
        title="Fixture book",
        currency="EUR",
        valid_from=date(2026, 1, 1),
        valid_until=date(2026, 12, 31),
        price_places=4,
        rounding="half_up",
        pricing_method="margin",
        pricing_rate=Decimal("0.30"),
        tiers={"trade": Decimal("0.05")},
        tax=Tax("VAT", Decimal("0.20"), frozenset({"parts", "freight", "labour"})),
        labour_rate=Decimal("48.00"),
        labour_cost_rate=Decimal("36.00"),
        spares={},
        defaults=Defaults(air_gap_window_mm=AIR_GAP_MM, freight_zone="near"),
        seller=Seller("Fixture House"),
        terms=("Prices hold until the date shown.",),
        parts=fixture_parts(),
        brackets={f"B-{code}": a_bracket(code) for _, code in MATERIALS},
        rails={f"R-{code}": a_rail(code) for _, code in MATERIALS},
        clamps=fixture_clamps(),
        splices=fixture_splices(),
        rules=fixture_rules(),
        suppliers={"S-1": Supplier("S-1", "Fixture Supplier")},
        freight=fixture_freight(),
        labour=fixture_labour(),
        packaging_share=0.05,
        sha256="0" * 64,
        invented=True,
    )
    return replace(book, **changes)  # type: ignore[arg-type]
