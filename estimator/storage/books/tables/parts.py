"""Suppliers, parts and their quantity breaks."""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import cast

from estimator.job import MATERIALS, Material
from estimator.pricebook import Part, PriceBreak, SpareRule, Supplier
from estimator.sentences import LANGUAGES, figure, say
from estimator.storage.books.rows.cells import listed
from estimator.storage.books.rows.row import Row
from estimator.storage.books.rows.table import TableShape
from estimator.units import DisplayUnits, both_for

SUPPLIERS = TableShape(
    "suppliers.csv",
    ("supplier", "name"),
    (
        "email", "address", "postcode", "city", "country", "account", "minimum_order", "lead_time_days", "language",
        "units",
    ),
    ("supplier",),
)  # fmt: skip
PARTS = TableShape(
    "parts.csv",
    ("part", "role", "description", "material", "unit_mass", "cost", "supplier", "supplier_part"),
    (
        "unit", "volume", "pack_size", "list_price", "spare_rate", "spare_loss_rate", "spare_confidence",
        "lead_time_days", "group", "country_of_origin", "note",
    ),
    ("part",),
)  # fmt: skip
BREAKS = TableShape("price_breaks.csv", ("part", "from_quantity", "cost"), (), ("part", "from_quantity"))

DENSITIES_KG_M3: Mapping[str, tuple[float, float]] = {"aluminium": (2690.0, 2710.0), "steel": (7850.0, 8000.0)}
MASS_TOLERANCE = 0.02
_ROLE = re.compile(r"[a-z][a-z0-9_]{0,39}\Z")
_UNIT = re.compile(r"[A-Z0-9]{2,3}\Z")
_COUNTRY = re.compile(r"([A-Z]{2})?\Z")


def suppliers_of(rows: Sequence[Row]) -> dict[str, Supplier]:
    """The suppliers by their short name."""
    return {row.text("supplier"): _supplier(row) for row in rows}


def _supplier(row: Row) -> Supplier:
    return Supplier(
        supplier=row.needed("supplier"),
        name=row.needed("name"),
        email=row.text("email"),
        address_lines=listed(row.text("address")),
        postcode=row.text("postcode"),
        city=row.text("city"),
        country=_country(row, "country"),
        account=row.text("account"),
        minimum_order=row.money_or_none("minimum_order"),
        lead_time_days=row.whole_or("lead_time_days", 0, 0),
        language=row.one_of("language", LANGUAGES, empty=True),
        units=_units(row),
    )


def _units(row: Row) -> DisplayUnits | None:
    """Units of a supplier's orders; both stand in the order of its country. Empty is as the jobs have it."""
    word = row.one_of("units", ("metric", "us", "both"), empty=True)
    if word == "both":
        return both_for(row.text("country"))
    return "metric" if word == "metric" else "us" if word == "us" else None


def parts_of(rows: Sequence[Row], breaks: Sequence[Row], suppliers: Mapping[str, Supplier]) -> dict[str, Part]:
    """The parts by number, each with its breaks."""
    parts = {row.text("part"): _part(row, suppliers) for row in rows}
    priced = {row.text("part") for row in rows if row.sound}
    for part, found in _breaks(breaks, parts, priced).items():
        parts[part] = replace(parts[part], breaks=found)
    return parts


def _part(row: Row, suppliers: Mapping[str, Supplier]) -> Part:
    material = row.one_of("material", MATERIALS, empty=True)
    mass_kg = row.quantity("unit_mass", "mass", zero=True)
    check_mass(row, "unit_mass", mass_kg, row.quantity_or_none("volume", "volume"), material)
    return Part(
        part=row.needed("part"),
        role=_matching(row, "role", _ROLE, row.needed("role"), "small letters, figures and underscores"),
        description=row.needed("description"),
        material=cast(Material, material) if material else None,
        unit=_matching(row, "unit", _UNIT, row.text("unit") or "C62", "a code of UN/ECE Rec 20, such as C62 or MTR"),
        unit_mass_kg=mass_kg,
        cost=row.money("cost"),
        supplier=row.reference("supplier", suppliers, "supplier"),
        supplier_part=row.needed("supplier_part"),
        pack_size=row.whole_or("pack_size", 1),
        list_price=row.money_or_none("list_price"),
        spare=_spare(row),
        lead_time_days=row.whole_or("lead_time_days", 0, 0),
        group=row.text("group"),
        country_of_origin=_country(row, "country_of_origin"),
        note=row.text("note"),
        row=row.number,
    )


def check_mass(row: Row, column: str, mass_kg: float, volume_mm3: float | None, material: str) -> None:
    """Note a mass that does not follow from the volume and the material's density.

    Source: mass = volume * density; densities 2690 to 2710 kg/m3 for aluminium alloys, 7850 (carbon steel, EN 1991-1-1
    annex A) to 8000 kg/m3 (stainless 1.4301, EN 10088-1: 7900 to 8000); tolerance 2 % (common practice, no source).
    """
    if volume_mm3 is None or material not in DENSITIES_KG_M3 or math.isnan(volume_mm3 + mass_kg):
        return
    low, high = (volume_mm3 * 1e-9 * density for density in DENSITIES_KG_M3[material])
    if not low * (1 - MASS_TOLERANCE) <= mass_kg <= high * (1 + MASS_TOLERANCE):
        allowed = f"{low:.4g} kg" if material == "aluminium" else f"{low:.4g} to {high:.4g} kg"
        row.fault(
            column,
            say(
                "{mass_kg} is not volume times density of {material}",
                mass_kg=figure(mass_kg, ".4g", " kg", "mass"),
                material=material,
            ),
            say("{allowed}, within 2 %", allowed=allowed),
        )


def _spare(row: Row) -> SpareRule | None:
    rate, loss = row.share_or_none("spare_rate"), row.share_or_none("spare_loss_rate")
    confidence = row.share_or_none("spare_confidence")
    if rate is not None and (loss is not None or confidence is not None):
        row.fault("spare_rate", say("a spare rate stands beside a loss rate"), say("one of the two"))
    if (loss is None) != (confidence is None):
        row.fault("spare_confidence", say("a loss rate goes with a confidence"), say("both, or neither"))
    elif loss is not None and confidence is not None and (loss >= 1 or not 0 < confidence < 1):
        row.fault(
            "spare_confidence", say("no spare count follows from these"), say("a loss rate below 1, confidence 0 to 1")
        )
    if rate is None and loss is None:
        return None
    return SpareRule(rate or Decimal(0), loss, confidence)


def _breaks(
    rows: Sequence[Row], parts: Mapping[str, Part], priced: Collection[str]
) -> dict[str, tuple[PriceBreak, ...]]:
    found: dict[str, list[PriceBreak]] = {}
    for row in rows:
        part = row.reference("part", parts, "part")
        each = PriceBreak(row.whole_or("from_quantity", 0, 2), row.money("cost"))
        row.needed("from_quantity")
        if part in priced and row.sound:
            _check_break(row, each, found.get(part, []), parts[part])
            found.setdefault(part, []).append(each)
    return {part: tuple(breaks) for part, breaks in found.items()}


def _check_break(row: Row, each: PriceBreak, before: Sequence[PriceBreak], part: Part) -> None:
    if before and each.from_quantity <= before[-1].from_quantity:
        row.fault(
            "from_quantity",
            say("{from_quantity} does not rise", from_quantity=each.from_quantity),
            say("above {from_quantity}", from_quantity=before[-1].from_quantity),
        )
    cheapest = before[-1].cost if before else part.cost
    if each.cost > cheapest:
        row.fault(
            "cost",
            say("{cost} rises with the quantity", cost=figure(each.cost)),
            say("at most {cheapest}", cheapest=figure(cheapest)),
        )


def _matching(row: Row, column: str, pattern: re.Pattern[str], text: str, allowed: str) -> str:
    if text and not pattern.match(text):
        row.fault(column, say("{text} is not allowed here", text=repr(text)), allowed)
    return text


def _country(row: Row, column: str) -> str:
    return _matching(row, column, _COUNTRY, row.text(column), "two capital letters of ISO 3166-1")
