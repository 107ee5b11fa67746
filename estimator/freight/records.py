"""The shipped mass and its charge."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.money import Money
from estimator.sentences import Sentence


@dataclass(frozen=True, slots=True)
class FreightCharge:
    """Freight of one shipment; ``charge`` is rounded to the minor unit. ``why`` says how it came about."""

    zone: str
    parts_mass_kg: float
    packaging_mass_kg: float
    mass_kg: float
    base: Decimal
    per_kg: Decimal
    minimum: Decimal
    charge: Money
    why: tuple[Sentence, ...]
