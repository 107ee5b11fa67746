"""The spine: one pure function, job and pricebook and date in, the whole estimate out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from estimator.attachment.records import Clearance, MountingChoice, SettingOut
from estimator.cutting.records import CutPlan
from estimator.errors import Finding
from estimator.freight.records import FreightCharge
from estimator.job import CheckOverride, Job
from estimator.labour.records import Labour
from estimator.layout.records import Layout
from estimator.money import Money
from estimator.pricebook import Book, Seller
from estimator.pricing.records import PricedBill
from estimator.takeoff.records import JobCounts


@dataclass(frozen=True, slots=True)
class Alternative:
    """One option that was tried: its total, and the checks that do not hold in it."""

    option: str
    total: Money | None
    errors: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Choice:
    """What was chosen for one subject (arrangement, material, bracket, rail ...), whether it was given, and why."""

    subject: str
    chosen: str
    given: bool
    why: str
    alternatives: tuple[Alternative, ...] = ()


@dataclass(frozen=True, slots=True)
class Provenance:
    """What the numbers stand on: the edition and its hash, the engine's version, the input's hash, the date."""

    pricebook: str
    edition: str
    sha256: str
    engine: str
    input_sha256: str
    priced_on: date
    valid_until: date


@dataclass(frozen=True, slots=True)
class Estimate:
    """One job priced one way, with the job and the book it stands on: everything that documents and answers show."""

    job: Job
    book: Book
    mounting: MountingChoice
    choices: tuple[Choice, ...]
    layout: Layout
    setting_out: SettingOut
    cut_plan: CutPlan | None
    counts: JobCounts
    bill: PricedBill
    freight: FreightCharge
    labour: Labour
    checks: tuple[Finding, ...]
    overridden: tuple[CheckOverride, ...]
    clearances: tuple[Clearance, ...]
    cautions: tuple[str, ...]
    provenance: Provenance

    @property
    def seller(self) -> Seller:
        """The house that quotes."""
        return self.book.seller

    @property
    def terms(self) -> tuple[str, ...]:
        """The book's terms of sale."""
        return self.book.terms

    @property
    def invented(self) -> bool:
        """Whether the book holds invented demonstration prices."""
        return self.book.invented

    @property
    def mass_kg(self) -> float:
        """Mass of all parts ordered, without packaging, kg."""
        return self.freight.parts_mass_kg

    @property
    def errors(self) -> tuple[Finding, ...]:
        """The checks that keep the quote from being issued: errors that nobody overrode by name."""
        stand = {(override.code, override.where) for override in self.overridden}
        return tuple(
            check for check in self.checks if check.severity == "error" and (check.code, check.where) not in stand
        )
