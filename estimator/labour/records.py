"""Hours by activity and their price."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.money import Money
from estimator.sentences import Sentence


@dataclass(frozen=True, slots=True)
class LabourLine:
    """One activity: minutes for each ``per`` of a basis; price rounded to the minor unit."""

    activity: str
    description: str
    basis: str
    basis_count: Decimal
    minutes_each: Decimal
    hours: Decimal
    rate: Decimal
    price: Money
    cost: Money
    why: Sentence


@dataclass(frozen=True, slots=True)
class Labour:
    """All activities, their hours and price."""

    lines: tuple[LabourLine, ...]
    hours: Decimal
    price: Money
    cost: Money
