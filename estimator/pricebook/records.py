"""What can be bought, at what price, by which rules: the records of one edition of a pricebook.

Lengths mm, masses kg, forces N, strengths and moduli N/mm2, money Decimal in the book's currency.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from estimator.job import Arrangement, Material, RailDirection
from estimator.money import Rounding
from estimator.pricebook.locale import POINTS, BookLocale
from estimator.pricebook.quote_terms import NO_TERMS, QuoteTerms
from estimator.pricebook.tax import Tax
from estimator.units import DisplayUnits

Range = tuple[float, float]
Basis = Literal[
    "attachments",
    "modules",
    "row_segments",
    "column_segments",
    "runs",
    "run_length",
    "mid_clamps",
    "end_clamps",
    "pieces",
    "cuts",
    "splices",
    "expansion_splices",
    "bars",
    "arrays",
    "roofs",
    "power",
    "job",
]
"""What an assembly rule or a labour activity can count: the counts by name, and ``job`` (1)."""

STRUCTURAL_ROLES = ("bracket", "screw", "rail", "splice", "expansion_splice", "mid_clamp", "end_clamp")
KNOWN_ROLES = frozenset({
    *STRUCTURAL_ROLES, "foot", "nut", "rail_bolt", "bonding_jumper", "earth_lug", "cable_clip", "end_cap", "label_pack",
})  # fmt: skip
"""Roles as the tool's own books write them. A house may have others; one that is nearly one of these is misspelt."""


@dataclass(frozen=True, slots=True)
class PriceBreak:
    """The unit cost from an ordered quantity on."""

    from_quantity: int
    cost: Decimal


@dataclass(frozen=True, slots=True)
class SpareRule:
    """How many spare parts a line takes: a share of the net count, or a loss rate with a confidence (binomial)."""

    rate: Decimal = Decimal(0)
    loss_rate: Decimal | None = None
    confidence: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """One thing on the price list. ``unit`` is a UN/ECE Rec 20 code (C62 one, MTR metre)."""

    part: str
    role: str
    description: str
    material: Material | None
    unit: str
    unit_mass_kg: float
    cost: Decimal
    supplier: str
    supplier_part: str
    pack_size: int = 1
    breaks: tuple[PriceBreak, ...] = ()
    list_price: Decimal | None = None
    spare: SpareRule | None = None
    lead_time_days: int = 0
    group: str = ""
    country_of_origin: str = ""
    note: str = ""
    row: int = 0


@dataclass(frozen=True, slots=True)
class StrengthTest:
    """A tested strength of a bracket in one sheet; ``results_n`` are the single tests where the book gives them.

    ``direction``: ``uplift`` and ``downward`` normal to the roof, ``along_slope`` and ``across_slope`` in its plane.
    ``arrangement``, ``rail_direction`` and ``load_height_mm`` (above the rib) tell how the bracket was loaded; None
    where the book does not say. ``characteristic_n`` is the 5 % fractile, as EN 1990 counts with it.
    """

    bracket: str
    sheet_material: str
    sheet_thickness_mm: float
    sheet_strength_mpa: float
    direction: Literal["uplift", "downward", "along_slope", "across_slope"]
    ultimate_n: float
    results_n: tuple[float, ...] = ()
    safety_factor: float | None = None
    resistance_factor: float | None = None
    source: str = ""
    characteristic_n: float | None = None
    arrangement: Arrangement | None = None
    rail_direction: RailDirection | None = None
    load_height_mm: float | None = None


@dataclass(frozen=True, slots=True)
class ScrewJoint:
    """The screws of a bracket where the book gives screws instead of tests.

    ``thickness_mm`` and ``ultimate_strength_mpa`` are of the bracket's leg under the screw heads.
    """

    bracket: str
    count: int
    diameter_mm: float
    head_diameter_mm: float
    thickness_mm: float
    ultimate_strength_mpa: float
    screw_shear_n: float | None = None
    screw_tension_n: float | None = None
    rule: Literal["aisi-s100", "en1993-1-3"] = "aisi-s100"


@dataclass(frozen=True, slots=True)
class Bracket:
    """A rib bracket: which ribs and sheets it fits, its height in each arrangement, its strength.

    ``heights_mm``: above the crown, to the top of the rail for ``rail_on_side``, to the seat of the rail for
    ``rail_on_top``, to the underside of the module for ``direct``; an arrangement not in it is not offered.
    """

    part: str
    name: str
    material: Material
    heights_mm: Mapping[Arrangement, float]
    crown_width_mm: Range
    rib_height_mm: Range
    web_angle_deg: Range
    sheet_materials: frozenset[str]
    sheet_thickness_mm: Range
    max_span_mm: float
    feet: int = 1
    rails: frozenset[str] = frozenset()
    tests: tuple[StrengthTest, ...] = ()
    screws: ScrewJoint | None = None
    interaction_exponent: float = 1.0
    row: int = 0


@dataclass(frozen=True, slots=True)
class BarStock:
    """One stock length of a rail, sold as its own part."""

    part: str
    length_mm: float
    available: int | None = None


@dataclass(frozen=True, slots=True)
class Rail:
    """A rail profile: section properties, limits, splicing and cutting rules, and the bars it comes in.

    ``inertia_mm4`` and ``section_modulus_mm3`` are about the strong axis, in the plane of the roof; the ``weak_`` ones
    about the axis square to the roof, None where the book does not give them.
    """

    rail: str
    name: str
    material: Material
    arrangements: frozenset[Arrangement]
    height_mm: float
    mass_kg_per_m: float
    area_mm2: float
    inertia_mm4: float
    section_modulus_mm3: float
    elastic_modulus_mpa: float
    yield_strength_mpa: float
    ultimate_strength_mpa: float
    allowable_stress_mpa: float
    design_strength_mpa: float
    deflection_ratio: float
    expansion_per_k: float
    max_span_mm: float
    max_cantilever_mm: float
    stocks: tuple[BarStock, ...]
    max_continuous_length_mm: float | None = None
    splice_clear_of_attachment_mm: float = 0.0
    min_piece_length_mm: float = 0.0
    min_attachments_per_piece: int = 1
    kerf_mm: float = 0.0
    end_trim_mm: float = 0.0
    reusable_offcut_length_mm: float | None = None
    offcut_value_per_m: Decimal | None = None
    row: int = 0
    weak_inertia_mm4: float | None = None
    weak_section_modulus_mm3: float | None = None


@dataclass(frozen=True, slots=True)
class Clamp:
    """A clamp and the module frames it takes."""

    part: str
    kind: Literal["mid_clamp", "end_clamp"]
    material: Material | None
    frame_mm: Range
    arrangements: frozenset[Arrangement]
    bonding: bool = False
    allowable_n: float | None = None
    row: int = 0
    characteristic_n: float | None = None
    results_n: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Splice:
    """What joins two pieces of a rail: rigidly, or letting them move (``gap_mm``).

    ``least_gap_mm`` is the least gap between the modules on either side of a joint that moves: what the joint takes and
    two end clamps need. ``moment_n_mm`` and ``shear_n`` are tested strengths of a rigid joint, means of the tests, with
    their characteristic values and factors; None where it was not tested.
    """

    part: str
    rail: str
    kind: Literal["splice", "expansion_splice"]
    bonding: bool = False
    gap_mm: float = 0.0
    minutes: Decimal = Decimal(0)
    row: int = 0
    least_gap_mm: float | None = None
    moment_n_mm: float | None = None
    shear_n: float | None = None
    moment_characteristic_n_mm: float | None = None
    shear_characteristic_n: float | None = None
    safety_factor: float | None = None
    resistance_factor: float | None = None


@dataclass(frozen=True, slots=True)
class Condition:
    """When a rule applies: empty sets apply always."""

    arrangements: frozenset[Arrangement] = frozenset()
    materials: frozenset[Material] = frozenset()
    rail_directions: frozenset[RailDirection] = frozenset()
    sheet_materials: frozenset[str] = frozenset()
    brackets: frozenset[str] = frozenset()
    rails: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class AssemblyRule:
    """``count`` of a part (or of the part with that role and the job's material) for each ``per`` of ``for_each``."""

    rule: str
    part: str
    role: str
    count: Fraction
    for_each: Basis
    per: int
    when: Condition
    note: str = ""
    row: int = 0


@dataclass(frozen=True, slots=True)
class Supplier:
    """Who sells parts to the house; its orders are in its ``language`` and ``units`` where these are given."""

    supplier: str
    name: str
    email: str = ""
    address_lines: tuple[str, ...] = ()
    postcode: str = ""
    city: str = ""
    country: str = ""
    account: str = ""
    minimum_order: Decimal | None = None
    lead_time_days: int = 0
    language: str = ""
    units: DisplayUnits | None = None


@dataclass(frozen=True, slots=True)
class FreightRate:
    """The charge of a zone from a shipped mass on: a base, and so much a kilogram, never below the minimum."""

    zone: str
    from_kg: float
    base: Decimal
    per_kg: Decimal
    minimum: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class LabourActivity:
    """Minutes of work for each ``per`` of a count."""

    activity: str
    description: str
    minutes: Decimal
    for_each: Basis
    per: int
    when: Condition
    row: int = 0


@dataclass(frozen=True, slots=True)
class Logo:
    """A house's mark: a PNG or JPEG file as it is, checked when it was read, and its size in pixels."""

    content: bytes
    kind: Literal["png", "jpeg"]
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Seller:
    """The house that quotes, as its documents show it."""

    name: str
    address_lines: tuple[str, ...] = ()
    postcode: str = ""
    city: str = ""
    country: str = ""
    email: str = ""
    phone: str = ""
    tax_number: str = ""
    logo: Logo | None = None


@dataclass(frozen=True, slots=True)
class Defaults:
    """What is used where neither job nor quote says otherwise; ``order_factor_max`` bounds orders by hand."""

    clamping_position: float = 0.22
    rail_overhang_mm: float = 50.0
    rail_direction: RailDirection = "across_ribs"
    air_gap_window_mm: Range = (80.0, 150.0)
    validity_days: int = 30
    freight_zone: str = ""
    contingency: Decimal = Decimal(0)
    order_factor_max: Decimal = Decimal(3)


@dataclass(frozen=True, slots=True)
class Book:
    """One edition of a pricebook, read and found consistent. ``sha256`` is of its files; an edition never changes."""

    id: str
    edition: str
    title: str
    currency: str
    valid_from: date
    valid_until: date
    price_places: int
    rounding: Rounding
    pricing_method: Literal["margin", "markup"]
    pricing_rate: Decimal
    tiers: Mapping[str, Decimal]
    tax: Tax
    labour_rate: Decimal
    labour_cost_rate: Decimal
    spares: Mapping[str, SpareRule]
    defaults: Defaults
    seller: Seller
    terms: tuple[str, ...]
    parts: Mapping[str, Part]
    brackets: Mapping[str, Bracket]
    rails: Mapping[str, Rail]
    clamps: tuple[Clamp, ...]
    splices: tuple[Splice, ...]
    rules: tuple[AssemblyRule, ...]
    suppliers: Mapping[str, Supplier]
    freight: tuple[FreightRate, ...]
    labour: tuple[LabourActivity, ...]
    packaging_share: float
    sha256: str
    invented: bool = False
    texts: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    """The book's texts in further languages: by language, then by the text as the book has it."""
    locale: BookLocale = POINTS
    quote_terms: QuoteTerms = NO_TERMS
