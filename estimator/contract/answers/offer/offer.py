"""An offer: the estimate, its comparison, and where every number comes from."""

from __future__ import annotations

from estimator.attachment.reactions import Reactions, find_reactions
from estimator.comparison.records import Comparison, Offer
from estimator.contract.answers.fields import (
    Date,
    Each,
    NumberOrText,
    One,
    OneWord,
    PlaceTold,
    Truth,
    Words,
    texts,
)
from estimator.contract.answers.offer.bill import FreightAnswerSchema, LabourAnswerSchema, LineSchema, TotalsSchema
from estimator.contract.answers.offer.comparison import ComparisonAnswerSchema
from estimator.contract.answers.offer.counts import CountsSchema
from estimator.contract.answers.offer.cutting import NO_RAILS, CutPlanSchema
from estimator.contract.answers.offer.loads import SEVERITIES, LoadsAnswerSchema
from estimator.contract.answers.offer.mounting import (
    AllClearances,
    ChoiceSchema,
    ClearanceAnswerSchema,
    MountingAnswerSchema,
)
from estimator.contract.answers.offer.options import AlternateAnswerSchema, OptionAnswerSchema, options_told
from estimator.contract.answers.offer.reactions import ReactionsAnswerSchema
from estimator.contract.answers.offer.runs import RoofAnswerSchema, counted_roofs
from estimator.contract.answers.writing import Answer, Entry, Telling
from estimator.errors import Finding
from estimator.estimate import Estimate
from estimator.job import CheckOverride
from estimator.money import minor_digits
from estimator.pricing.rail_offers import kept_places
from estimator.units import DisplayUnits, systems_of


class StandsSchema(Answer):
    """Who let a check stand, and why."""

    record = CheckOverride
    by = Words("The name of the key that overrode it.", example="Estimating desk")
    reason = Words("The reason, as the quote prints it.", example="checked on site")


class CheckSchema(Answer):
    """One failed check, or one thing worth knowing."""

    record = tuple[Finding, Estimate]
    code = Words("Its stable name.", "0.code", example="rail_overhang")
    severity = OneWord("Whether it blocks issuing, warns or explains.", SEVERITIES, "0.severity")
    message = Words(
        "What, where, found and allowed, in words.",
        "0.message",
        example="South / A / row 3 / rail 1: overhang 420 mm, this rail may overhang 350 mm",
    )
    where = Words("The place, for people.", "0.where", example="South / A / row 3 / rail 1")
    place = PlaceTold("The place as facts; with the code it names the check.", "0.place")
    found = NumberOrText("What was found, in ``unit``.", "0.found", null=True, example=420.0)
    allowed = NumberOrText("What is allowed, in ``unit``.", "0.allowed", null=True, example=350.0)
    unit = Words("The unit of both; empty for texts and counts.", "0.unit", example="mm")
    overridden = One(
        "Who overrode it, and why; left out where nobody did.",
        StandsSchema,
        lambda it, _to: _override(*it),
        optional=True,
    )


class ProvenanceSchema(Answer):
    """What the numbers are based on."""

    record = Estimate
    pricebook = Words("The pricebook.", "provenance.pricebook", example="hanse-eu")
    edition = Words("Its edition.", "provenance.edition", example="2026-12")
    sha256 = Words("SHA-256 of the edition's files.", "provenance.sha256", pattern="^[0-9a-f]{64}$", example="0" * 64)
    engine = Words("The version of the engine.", "provenance.engine", example="0.1.0")
    input_sha256 = Words(
        "SHA-256 of job and choices.", "provenance.input_sha256", pattern="^[0-9a-f]{64}$", example="0" * 64
    )
    priced_on = Date("The day whose prices hold.", "provenance.priced_on")
    valid_until = Date("The last day on which the quote holds.", "provenance.valid_until")
    invented_prices = Truth(
        "Whether the pricebook's prices are invented, for demonstration.", "invented", example=False
    )


def _override(check: Finding, estimate: Estimate) -> CheckOverride | None:
    return next((each for each in estimate.overridden if (each.code, each.place) == (check.code, check.place)), None)


def _units(it: Offer, _to: Telling) -> str:
    units = it.estimate.job.display_units
    return units if len(systems_of(units)) == 1 else "both"


def checks_told(it: Offer, to: Telling) -> list[tuple[Finding, Estimate]]:
    """The checks, without those about costs for a role that may not see these."""
    return [(each, it.estimate) for each in it.estimate.checks if to.costs or not each.tells_cost]


def reactions_of(it: Offer, _to: Telling) -> Reactions:
    """The reactions of an offer, gathered from what it keeps."""
    return find_reactions(it.estimate.job, it.estimate.loads, it.estimate.setting_out)


class OfferAnswerSchema(Answer):
    """A whole estimate."""

    record = Offer
    reference = Words("The job's reference.", "estimate.job.reference", example="CRM-2041")
    title = Words("The job's title.", "estimate.job.title", example="Cold store, phase 2")
    display_units = OneWord("The units that people read.", ("metric", "us", "both"), _units)
    counts = One("The counts of the whole job.", CountsSchema, "estimate.counts.counts")
    roofs = Each(
        "Each roof with its arrays, their runs and attachments.",
        RoofAnswerSchema,
        lambda it, _to: counted_roofs(it.estimate),
    )
    loads_found = One("Every pressure with its factors and clauses.", LoadsAnswerSchema, "estimate.loads", key="loads")
    reactions = One("What the array puts on the building.", ReactionsAnswerSchema, reactions_of)
    mounting = One("The mounting that was taken.", MountingAnswerSchema, "estimate")
    choices = Each("What the tool chose, and why.", ChoiceSchema, "estimate.decisions")
    lines = Each("The parts, each with its derivation and price.", LineSchema, "estimate.bill.lines")
    cut_plan = One("How the bars are cut.", CutPlanSchema, lambda it, _to: it.estimate.cut_plan or NO_RAILS)
    clearance = One(
        "The height under the modules.", ClearanceAnswerSchema, lambda it, _to: AllClearances(it.estimate.clearances)
    )
    checks = Each("Every failed check, and what is worth knowing.", CheckSchema, checks_told)
    can_be_issued = Truth(
        "Whether no error is left in any option, so that a quote of it can be issued.", lambda it, _to: not it.errors
    )
    freight = One("The shipped mass and its charge.", FreightAnswerSchema, "estimate.freight")
    labour = One("Hours by activity and their price.", LabourAnswerSchema, "estimate.labour")
    totals = One("The totals in the order they are reached.", TotalsSchema, "estimate")
    comparison = One("The same job in the other material.", ComparisonAnswerSchema)
    options = Each(
        "The ways that the customer may accept, A first; empty where there is only one.",
        OptionAnswerSchema,
        lambda it, _to: options_told(it),
    )
    alternates = Each(
        "What the customer may add; it is not in the total.", AlternateAnswerSchema, "estimate.bill.alternates"
    )
    cautions = texts(
        "What a licensed engineer, a code or a maker decides.",
        "estimate.cautions",
        example=["Secure everybody who works on the roof against falling."],
    )
    provenance = One("What the numbers are based on.", ProvenanceSchema, "estimate")


def telling_of(estimate: Estimate, *, costs: bool, workbook: object = None, labels: bool = True) -> Telling:
    """How an estimate is told; ``labels`` of its runs only where something of it names runs."""
    book = estimate.book
    return Telling(
        costs,
        estimate.job.display_units,
        kept_places(book),
        minor_digits(book.currency),
        tuple(str(run.place) for run in estimate.setting_out.runs) if labels else (),
        workbook,
    )


def offer_entry(offer: Offer, *, costs: bool) -> Entry:
    """The whole answer of an estimate. Without ``costs`` nothing in it tells what the house pays or earns."""
    return OfferAnswerSchema.entry(offer, telling_of(offer.estimate, costs=costs))


def cut_plan_entry(estimate: Estimate, *, costs: bool) -> Entry:
    """The cut plan of an estimate."""
    return CutPlanSchema.entry(estimate.cut_plan or NO_RAILS, telling_of(estimate, costs=costs))


def loads_entry(estimate: Estimate) -> Entry:
    """The loads of an estimate."""
    return LoadsAnswerSchema.entry(estimate.loads, Telling())


def comparison_entry(comparison: Comparison, units: DisplayUnits) -> Entry:
    """The same job in other ways."""
    return ComparisonAnswerSchema.entry(comparison, Telling(units=units))
