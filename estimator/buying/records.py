"""What is bought: net counts with spares and packs. The only place where counts are rounded up."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.sentences import Sentence
from estimator.takeoff.records import RuleShare


@dataclass(frozen=True, slots=True)
class BuyLine:
    """One part to buy. ``why`` says in sentences how ``ordered`` was derived; masses in kg."""

    part: str
    role: str
    description: str
    unit: str
    supplier: str
    net: int
    spare: int
    required: int
    pack_size: int
    packs: int
    ordered: int
    unit_mass_kg: float
    mass_kg: float
    shares: tuple[RuleShare, ...]
    why: tuple[Sentence, ...]
