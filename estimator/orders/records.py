"""What to buy, per supplier, for one or more accepted quotes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Literal

from estimator.cutting.records import CutPlan, Saw
from estimator.errors import Finding
from estimator.estimate import Estimate
from estimator.job import Address, DisplayUnits
from estimator.money import Money, Rounding
from estimator.pricebook import POINTS, BookLocale, Seller, Supplier
from estimator.sentences import Sentence


@dataclass(frozen=True, slots=True)
class OrderedQuote:
    """An accepted quote as purchasing takes it up."""

    number: str
    revision: int
    estimate: Estimate


@dataclass(frozen=True, slots=True)
class OffcutsOnHand:
    """Bars left from earlier jobs, as purchasing tells them; without a price they count for what the book says."""

    rail: str
    length_mm: float
    count: int = 1
    price: Decimal | None = None


@dataclass(frozen=True, slots=True)
class OffcutHeap:
    """The off-cuts of one rail and length that an order may be cut from, and how many of them it takes.

    ``price`` is what one counts for. In a change of an order ``count`` has what the order took before in it.
    """

    rail: str
    part: str
    length_mm: float
    price: Decimal
    count: int
    used: int = 0

    @property
    def left(self) -> int:
        """How many stay in the yard; fewer than none where the quotes' own plans take more than there are."""
        return self.count - self.used


Changing = Literal["", "more", "less", "returned"]
"""What becomes of a line that was ordered before; empty where nothing was."""


@dataclass(frozen=True, slots=True)
class QuoteShare:
    """How many of a part one quote requires."""

    quote: str
    required: int


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One part to order: required over all quotes, less stock, rounded to packs once.

    ``unit_cost`` is the book's cost at the break of the ordered quantity; ``order_by`` meets the earliest day on which
    a site needs pieces of this line; ``stands`` says who decided that less than the counts require, or far more, is
    ordered. In a change of an order ``before`` pieces are on order already and ``ordered`` is the difference, below
    nothing where less is wanted; ``share_changes`` tell by how much each quote's requirement differs, and
    ``stock_before`` how many of ``from_stock`` the order took before.
    ``sawn`` says what off-cuts of the yard are cut into.
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
    why: tuple[Sentence, ...]
    stands: tuple[Sentence, ...] = ()
    before: int | None = None
    before_cost: Money | None = None
    change: Changing = ""
    share_changes: tuple[QuoteShare, ...] = ()
    stock_before: int = 0
    sawn: tuple[Sentence, ...] = ()

    @property
    def after(self) -> int:
        """Pieces on order once this line is ordered."""
        return self.ordered + (self.before or 0)


@dataclass(frozen=True, slots=True)
class QuoteSite:
    """Where one quote's parts go, by when, for which job, and what its notes tell those who work there."""

    quote: str
    job: str
    address: Address
    needed_on: date | None
    notes: str = ""


NOWHERE = Address()
OUR_STOCK = Supplier("", "")
"""Stands for a supplier where the house's own stock gives the parts."""


@dataclass(frozen=True, slots=True)
class OrderList:
    """Everything one supplier is to deliver; ``total`` is the sum of the rounded lines.

    ``rounding`` is how the book rounds a line; ``packaging_share`` what packaging adds to the parts' mass by the book
    (None where nothing is known); ``invented`` marks demonstration prices; lengths are shown in ``units``.
    ``texts`` are those of the book in further languages; ``locale`` says how its country writes numbers.
    ``changes`` names the orders that this one changes: its quantities are then differences.
    ``ship_place`` is ``ship_to`` in its parts; ``sites`` say where each quote's parts go, and when they are needed.
    """

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
    units: DisplayUnits = "metric"
    rounding: Rounding = "half_up"
    packaging_share: float | None = None
    invented: bool = False
    texts: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    locale: BookLocale = POINTS
    ship_place: Address = NOWHERE
    sites: tuple[QuoteSite, ...] = ()
    changes: tuple[str, ...] = ()

    @property
    def arriving(self) -> tuple[OrderLine, ...]:
        """The lines that bring something: without what is cancelled or returned."""
        return tuple(line for line in self.lines if line.ordered > 0)


@dataclass(frozen=True, slots=True)
class Bars:
    """Bars of one part: how many are required, and their length in mm."""

    part: str
    length_mm: float
    count: int


@dataclass(frozen=True, slots=True)
class CutCost:
    """What one way of cutting takes: bars and their length (mm), what is left to be used again, and the money.

    Off-cuts that lie in the yard are neither bars nor their length; what they count for is in ``bars_cost``.
    ``bars_cost`` is what the bars cost as they are bought (packs, breaks); ``offcut_value`` is the book's value of the
    off-cuts long enough to keep; ``splices`` are rigid ones.
    """

    bars: int
    length_mm: float
    reusable_mm: float
    splices: int
    bars_cost: Money
    offcut_value: Money

    @property
    def net(self) -> Money:
        """Bars less the value of the off-cuts kept."""
        return self.bars_cost - self.offcut_value


@dataclass(frozen=True, slots=True)
class CutSheet:
    """What the saw must know of rails cut together besides their plan.

    ``profile`` is the rail's name; ``jobs`` names the job of each quote by its reference, else by its title; ``texts``
    are those of the book in further languages.
    """

    house: Seller
    profile: str
    mass_kg_per_m: float
    saw: Saw
    jobs: tuple[str, ...]
    units: DisplayUnits
    invented: bool
    texts: Mapping[str, Mapping[str, str]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class CommonCut:
    """One rail of several quotes cut together. ``used`` is False where cutting apart costs no more; ``why`` says so.

    The places of ``plan`` name their quotes; ``run_offsets`` says where each quote's runs begin in it.
    ``joints_moved``: the joints are not those of the quotes' setting-out sheets, which this plan then replaces.
    ``sheet`` is for the saw list (None in orders kept before there was one).
    """

    rail: str
    quotes: tuple[str, ...]
    bars: tuple[Bars, ...]
    plan: CutPlan
    run_offsets: tuple[int, ...]
    joints_moved: bool
    together: CutCost
    apart: CutCost
    used: bool
    why: tuple[str, ...]
    sheet: CutSheet | None = None

    @property
    def saving(self) -> Money:
        """Money saved over separate plans: bars, less the value of off-cuts kept; nothing where it is not used."""
        return self.apart.net - (self.together.net if self.used else self.apart.net)

    @property
    def bars_saved(self) -> int:
        """Bars fewer than by separate plans; below nothing where fewer long ones gave way to more short ones."""
        return self.apart.bars - self.together.bars if self.used else 0

    @property
    def length_saved_mm(self) -> float:
        """Length of rail fewer than by separate plans, mm."""
        return self.apart.length_mm - self.together.length_mm if self.used else 0.0


@dataclass(frozen=True, slots=True)
class OrderLists:
    """One list per supplier, what purchasing must know, what comes from the house's own yard, and common cut plans.

    ``from_stock`` has the parts of which nothing is ordered, since stock gives them all; None where there are none. In
    a change of an order these are the parts of which stock alone gives more, or gets some back. Off-cuts of the
    yard are among them, as parts that stock gives. ``offcuts`` are the heaps that purchasing told.
    """

    lists: tuple[OrderList, ...]
    findings: tuple[Finding, ...]
    left_in_stock: tuple[tuple[str, int], ...]
    from_yard: tuple[OrderLine, ...] = ()
    together: tuple[CommonCut, ...] = ()
    from_stock: OrderList | None = None
    offcuts: tuple[OffcutHeap, ...] = ()

    @property
    def moving(self) -> tuple[OrderList, ...]:
        """Everything that goes to a site: what suppliers send, and what stock gives alone."""
        return (*self.lists, *([self.from_stock] if self.from_stock else ()))
