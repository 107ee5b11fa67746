"""What was asked for: a customer's site with its roof planes and array layouts, and the choices for the mounting.

Lengths in mm on the roof plane (x along the eave, y up the slope), masses in kg, loads in Pa, angles in degrees,
speeds in m/s, strengths in N/mm2. ``None`` among the choices means: the tool chooses, and says what and why.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field, fields, is_dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from estimator.arrangements import ARRANGEMENTS as ARRANGEMENTS
from estimator.arrangements import Arrangement as Arrangement
from estimator.arrangements import RailDirection as RailDirection
from estimator.places import Place
from estimator.site_loads import NO_LOADS, Loads
from estimator.units import DisplayUnits as DisplayUnits

Orientation = Literal["portrait", "landscape"]
Material = Literal["aluminium", "steel"]
SheetMaterial = Literal["steel", "aluminium", "foam_core_steel", "foam_core_aluminium"]

MATERIALS: tuple[Material, ...] = ("aluminium", "steel")


_TOWN_FIRST = frozenset({"US", "CA", "GB", "AU", "MX", "IE"})


@dataclass(frozen=True, slots=True)
class Address:
    """Where somebody is; ``country`` is an ISO 3166-1 alpha-2 code."""

    lines: tuple[str, ...] = ()
    postcode: str = ""
    city: str = ""
    region: str = ""
    country: str = ""

    @property
    def town(self) -> str:
        """Town, region and postcode as their country writes them, roughly; common practice, no source."""
        if self.country in _TOWN_FIRST:
            return " ".join(
                part for part in (self.city + "," * bool(self.city and self.region), self.region, self.postcode) if part
            )
        town = " ".join(part for part in (self.postcode, self.city) if part)
        return f"{town}, {self.region}" if self.region and town else town or self.region


@dataclass(frozen=True, slots=True)
class Customer:
    """Who asked. ``tier`` names a discount tier of the pricebook.

    ``tax_number`` is the customer's for value added or sales tax; ``tax_exemption`` what exempts from tax, such as the
    number of a certificate.
    """

    name: str
    contact: str = ""
    email: str = ""
    address: Address = Address()
    tier: str = ""
    tax_number: str = ""
    tax_exemption: str = ""


@dataclass(frozen=True, slots=True)
class ClampingZone:
    """Where a clamp may hold a module, as shares of the side's length measured from a corner; None: nowhere on it."""

    long_side: tuple[float, float] | None = None
    short_side: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Module:
    """One solar module; ``length_mm`` is its longer side. Rated loads are design loads as tested, if known."""

    name: str
    length_mm: float
    width_mm: float
    thickness_mm: float
    mass_kg: float
    power_w: float
    clamping_zone: ClampingZone | None = None
    rated_uplift_pa: float | None = None
    rated_downward_pa: float | None = None


@dataclass(frozen=True, slots=True)
class Ribs:
    """The ribs of a sheet: pitch, first centre line, and the trapezoid's shape."""

    spacing_mm: float
    first_at_mm: float
    height_mm: float
    crown_width_mm: float
    web_angle_deg: float


@dataclass(frozen=True, slots=True)
class Sheet:
    """The roof sheet an attachment holds on to. ``thickness_mm`` is the base metal's (the face sheet's on a core)."""

    material: SheetMaterial
    thickness_mm: float
    ultimate_strength_mpa: float | None = None
    yield_strength_mpa: float | None = None


@dataclass(frozen=True, slots=True)
class KeepClear:
    """Strips along the edges of a roof plane that stay free, mm."""

    eave_mm: float = 0.0
    ridge_mm: float = 0.0
    left_mm: float = 0.0
    right_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Obstruction:
    """A rectangle on the roof plane that nothing may overlap, mm."""

    name: str
    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class Array:
    """A rectangular block of modules; ``omit`` holds the (row, column) cells left out, row 0 at the eave.

    ``wider_gaps`` holds gaps that are not ``gap_x_mm``: after how many columns from the left, and how wide, mm;
    ``wider_row_gaps`` those that are not ``gap_y_mm``, after how many rows from the eave.
    """

    name: str
    x_mm: float
    y_mm: float
    rows: int
    columns: int
    orientation: Orientation
    gap_x_mm: float
    gap_y_mm: float
    omit: frozenset[tuple[int, int]] = frozenset()
    wider_gaps: tuple[tuple[int, float], ...] = ()
    wider_row_gaps: tuple[tuple[int, float], ...] = ()

    def left_of(self, column: int, module_x_mm: float) -> float:
        """The left edge of a column, numbered from 0, mm along the eave.

        >>> Array("A", 100.0, 0.0, 1, 4, "portrait", 20.0, 20.0, wider_gaps=((2, 80.0),)).left_of(2, 1000.0)
        2200.0
        """
        wider = sum(width - self.gap_x_mm for after, width in self.wider_gaps if after <= column)
        return self.x_mm + column * (module_x_mm + self.gap_x_mm) + wider

    def bottom_of(self, row: int, module_y_mm: float) -> float:
        """The lower edge of a row, numbered from 0, mm up the slope.

        >>> Array("A", 0.0, 50.0, 4, 1, "portrait", 20.0, 20.0, wider_row_gaps=((2, 80.0),)).bottom_of(2, 1700.0)
        3550.0
        """
        wider = sum(width - self.gap_y_mm for after, width in self.wider_row_gaps if after <= row)
        return self.y_mm + row * (module_y_mm + self.gap_y_mm) + wider

    def wide_gaps(self, direction: Literal["row", "column"], first: int, last: int) -> int:
        """How many gaps between the first and the last of some columns (of a row) or rows (of a column) are wider.

        >>> Array("A", 0.0, 0.0, 1, 9, "portrait", 20.0, 20.0, wider_gaps=((3, 80.0), (6, 80.0))).wide_gaps("row", 0, 5)
        1
        """
        usual, wider = (self.gap_x_mm, self.wider_gaps) if direction == "row" else (self.gap_y_mm, self.wider_row_gaps)
        return sum(first < after <= last and width > usual for after, width in wider)


@dataclass(frozen=True, slots=True)
class Purlins:
    """What the sheet rests on: lines along the eave, their spacing up the slope, the first one's height on it, mm."""

    spacing_mm: float
    first_at_mm: float = 0.0

    def count(self, slope_length_mm: float) -> int:
        """How many lie on the plane.

        >>> Purlins(1500.0, 200.0).count(6200.0)
        5
        """
        return max(1, int((slope_length_mm - self.first_at_mm) / self.spacing_mm + 1e-9) + 1)

    def at(self, line: int) -> float:
        """The height on the slope of a line, numbered from 0."""
        return self.first_at_mm + line * self.spacing_mm


@dataclass(frozen=True, slots=True)
class Roof:
    """One sloping face of a building."""

    name: str
    eave_length_mm: float
    slope_length_mm: float
    slope_deg: float
    ribs: Ribs
    sheet: Sheet
    arrays: tuple[Array, ...]
    keep_clear: KeepClear = KeepClear()
    obstructions: tuple[Obstruction, ...] = ()
    purlins: Purlins | None = None


@dataclass(frozen=True, slots=True)
class Site:
    """Where the work is. ``freight_zone`` names a zone of the pricebook's freight table."""

    address: Address = Address()
    needed_on: str = ""
    freight_zone: str = ""
    loads: Loads = NO_LOADS


@dataclass(frozen=True, slots=True)
class Mounting:
    """Choices for the mounting; what is given wins and is marked as given, ``None`` lets the tool choose.

    ``spans_given_by`` names who answers for span and cantilever where no loads are computed.
    """

    arrangement: Arrangement | None = None
    rail_direction: RailDirection | None = None
    rails_per_row: int = 2
    rail_overhang_mm: float | None = None
    clamping_position: float | None = None
    material: Material | None = None
    stagger: bool = False
    max_span_mm: float | None = None
    max_cantilever_mm: float | None = None
    bracket: str | None = None
    rail: str | None = None
    stock_lengths_mm: tuple[float, ...] | None = None
    spans_given_by: str = ""


@dataclass(frozen=True, slots=True)
class Job:
    """A posted job, its shape and ranges checked already."""

    reference: str
    title: str
    customer: Customer
    site: Site
    module: Module
    roofs: tuple[Roof, ...]
    mounting: Mounting
    display_units: DisplayUnits = "metric"
    language: str = "en"
    notes: str = ""


@dataclass(frozen=True, slots=True)
class Choices:
    """Choices of the estimator for one quote of a job; they win over the job's own choices and the book's defaults."""

    arrangement: Arrangement | None = None
    material: Material | None = None
    margin: Decimal | None = None
    discount: Decimal | None = None
    line_discounts: tuple[tuple[str, Decimal], ...] = ()
    contingency: Decimal | None = None
    labour: bool = True
    freight: bool = True
    validity_days: int | None = None
    overrides: tuple[CheckOverride, ...] = ()
    line_changes: tuple[LineChange, ...] = ()
    offcuts: tuple[OffcutOnHand, ...] = ()
    notes: str = field(default="")
    prepared_by: str = ""
    options: tuple[OptionChoice, ...] = ()
    alternates: tuple[Alternate, ...] = ()


@dataclass(frozen=True, slots=True)
class OptionChoice:
    """Another way to build the job, priced beside the quoted one; what is None is chosen as for the quoted one."""

    title: str = ""
    arrangement: Arrangement | None = None
    material: Material | None = None
    bracket: str | None = None
    rail: str | None = None


@dataclass(frozen=True, slots=True)
class Alternate:
    """Something the customer may add: so many of a part; ``included`` puts it into the total."""

    part: str
    quantity: int
    included: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class CheckOverride:
    """An estimator's word that one failed check, named by code and place, may stand; the quote prints the reason.

    ``option`` is the letter of the option whose check it is; empty for every option that has such a check.
    """

    code: str
    place: Place
    reason: str
    by: str = ""
    option: str = ""


@dataclass(frozen=True, slots=True)
class LineChange:
    """An estimator's change to one part's line: another ordered quantity or unit price, a line added or struck."""

    part: str
    ordered: int | None = None
    unit_price: Decimal | None = None
    struck: bool = False
    reason: str = ""


@dataclass(frozen=True, slots=True)
class OffcutOnHand:
    """A bar left from an earlier job, offered to the cut plan at its own price."""

    rail: str
    length_mm: float
    price: Decimal
    count: int = 1


def day_of(text: str) -> date | None:
    """A date as ISO 8601 writes it; nothing for any other text.

    >>> day_of("2027-03-15"), day_of("in spring")
    (datetime.date(2027, 3, 15), None)
    """
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def fingerprint(*records: object) -> str:
    """SHA-256 of records by their fields' values: the same input gives the same hash on any machine.

    >>> fingerprint(Address(country="US")) == fingerprint(Address(country="US"))
    True
    """
    return hashlib.sha256("|".join(_canonical(record) for record in records).encode()).hexdigest()


def _canonical(value: object) -> str:
    if is_dataclass(value) and not isinstance(value, type):
        return "{" + ",".join(f"{each.name}:{_canonical(getattr(value, each.name))}" for each in fields(value)) + "}"
    if isinstance(value, frozenset):
        return "(" + ",".join(sorted(_canonical(each) for each in value)) + ")"
    if isinstance(value, tuple):
        return "[" + ",".join(_canonical(each) for each in value) + "]"
    return repr(value)
