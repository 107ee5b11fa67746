"""What to buy, per supplier, for one or more accepted quotes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.errors import Finding
from estimator.estimate import Estimate
from estimator.money import Money
from estimator.pricebook import Seller, Supplier


@dataclass(frozen=True, slots=True)
class OrderedQuote:
    """An accepted quote as purchasing takes it up."""

    number: str
    revision: int
    estimate: Estimate


@dataclass(frozen=True, slots=True)
class QuoteShare:
    """How many of a part one quote requires."""

    quote: str
    required: int


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One part to order: required over all quotes, less stock, rounded to packs once.

    ``unit_cost`` is the book's cost at the break of the ordered quantity; ``order_by`` meets the earliest site date.
    """

    part: str
    supplier_part: str
    description: str
    role: str
    unit: str
    country_of_origin: str
    shares: tuple[QuoteShare, ...]
    required: int
    from_stock: int
    pack_size: int
    packs: int
    ordered: int
    unit_cost: Decimal
    cost: Money
    unit_mass_kg: float
    mass_kg: float
    length_mm: float | None
    lead_time_days: int
    order_by: date | None
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OrderList:
    """Everything one supplier is to deliver; ``total`` is the sum of the rounded lines."""

    supplier: Supplier
    buyer: Seller
    currency: str
    lines: tuple[OrderLine, ...]
    total: Money
    mass_kg: float
    needed_on: date | None
    order_by: date | None
    ship_to: tuple[str, ...]
    country: str
    quotes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OrderLists:
    """One list per supplier, and what purchasing must know."""

    lists: tuple[OrderList, ...]
    findings: tuple[Finding, ...]
    left_in_stock: tuple[tuple[str, int], ...]
