"""The estimate of a stored quote: a summary that a CRM can use, and parts that are told where they are asked for."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

from estimator.comparison.records import Offer
from estimator.contract.answers.fields import Each, One, Whole, Words, texts
from estimator.contract.answers.offer.bill import LineSchema, RuleShareSchema
from estimator.contract.answers.offer.comparison import ComparisonAnswerSchema, SideSchema
from estimator.contract.answers.offer.cutting import NO_RAILS, CutPlanSchema
from estimator.contract.answers.offer.loads import LoadsAnswerSchema
from estimator.contract.answers.offer.mounting import ChoiceSchema
from estimator.contract.answers.offer.offer import CheckSchema, OfferAnswerSchema, checks_told, reactions_of
from estimator.contract.answers.offer.reactions import ReactionsAnswerSchema
from estimator.contract.answers.offer.runs import RoofAnswerSchema, counted_roofs
from estimator.contract.answers.writing import ITSELF, Answer, Source, Telling, Told, without
from estimator.contract.requests.queries import PARTS
from estimator.errors import Finding
from estimator.estimate import Estimate
from estimator.pricing.records import PricedLine


def _severe(severity: str) -> Source:
    return lambda it, to: sum(1 for each, _ in checks_told(it, to) if each.severity == severity)


class DerivationSchema(Answer):
    """How the quantity of one part came about."""

    record = PricedLine
    part_ = Words("The part's number in the pricebook.", "line.part", key="part", example="XB-40")
    why = texts("How the quantity came about, in sentences.", "line.why", example=["480 screws: 120 attachments x 4"])
    shares = Each("What each assembly rule asks of the part, and where.", RuleShareSchema, "line.shares")


MOST_CHECKS = 8
"""Checks in a summary: the most serious first, so that it stays short however many there are."""
GRAVEST = {"error": 0, "warning": 1, "note": 2}


class CheckCountsSchema(Answer):
    """How many checks there are of each severity."""

    record = Offer
    error = Whole(
        "Those that keep the quote from being issued, overridden ones among them.", _severe("error"), example=0
    )
    warning = Whole("Those that the quote prints.", _severe("warning"), example=2)
    note = Whole("Those that explain.", _severe("note"), example=5)


def _most_serious(it: Offer, to: Telling) -> list[tuple[Finding, Estimate]]:
    return sorted(checks_told(it, to), key=lambda each: GRAVEST[each[0].severity])[:MOST_CHECKS]


TELLS: dict[str, tuple[str, Callable[..., Told]]] = {
    "runs": (
        "roofs",
        lambda **more: Each(
            "Each roof with its arrays, their runs and attachments.",
            RoofAnswerSchema,
            lambda it, _to: counted_roofs(it.estimate),
            **more,
        ),
    ),
    "loads": (
        "loads",
        lambda **more: One("Every pressure with its factors and clauses.", LoadsAnswerSchema, "estimate.loads", **more),
    ),
    "reactions": (
        "reactions",
        lambda **more: One("What the array puts on the building.", ReactionsAnswerSchema, reactions_of, **more),
    ),
    "cut_plan": (
        "cut_plan",
        lambda **more: One(
            "How the bars are cut.", CutPlanSchema, lambda it, _to: it.estimate.cut_plan or NO_RAILS, **more
        ),
    ),
    "derivations": (
        "derivations",
        lambda **more: Each(
            "How the quantity of each line came about.", DerivationSchema, "estimate.bill.lines", **more
        ),
    ),
    "choices": (
        "choices",
        lambda **more: Each("What the tool chose, and why.", ChoiceSchema, "estimate.decisions", **more),
    ),
    "all_checks": (
        "all_checks",
        lambda **more: Each("Every check, in the order it was found.", CheckSchema, checks_told, **more),
    ),
}
"""What may be asked for beyond the summary: the member of the estimate that holds it, and how it is told."""

BriefLineSchema = without(
    LineSchema, "BriefLineSchema", "One line of the bill; how it came about is in ``derivations``.", "why", "shares"
)

TOLD_ERRORS = 2
"""Failed checks of a side in a summary; the comparison on its own has all of them."""

BriefSideSchema = without(
    SideSchema, "BriefSideSchema", "One way to build the job, in short; all its failed checks are in the comparison.",
    errors=texts("The first failed checks, at most two.", lambda it, _to: it.errors[:TOLD_ERRORS], example=[]),
    error_count=Whole("How many checks fail.", lambda it, _to: len(it.errors), example=0),
)  # fmt: skip

BriefComparisonSchema = without(
    ComparisonAnswerSchema, "BriefComparisonSchema", "The materials side by side, in short.",
    aluminium=One("The job in aluminium; null where it cannot be built so.", BriefSideSchema, null=True),
    steel=One("The job in steel; null where it cannot be built so.", BriefSideSchema, null=True),
    others=Each("Other options that were asked for.", BriefSideSchema),
)  # fmt: skip

QuoteEstimateSchema = without(
    OfferAnswerSchema,
    "QuoteEstimateSchema",
    "The estimate of a quote in short; runs, loads, reactions, cut plan, derivations, choices where asked for.",
    "roofs",
    "loads_found",
    "reactions",
    "cut_plan",
    "choices",
    lines=Each("The parts, each with its quantity and price.", BriefLineSchema, "estimate.bill.lines"),
    checks=Each(
        "The most serious checks, at most eight; all of them are in ``all_checks``.", CheckSchema, _most_serious
    ),
    comparison=One(
        "The same job in the other material, in short; the whole is at ``/comparison``.", BriefComparisonSchema
    ),
    check_counts=One("How many checks there are of each severity.", CheckCountsSchema, ITSELF),
    **{name: tell(key=key, part=name) for name, (key, tell) in TELLS.items()},
)


def _of_one(name: str) -> type[Answer]:
    key, tell = TELLS[name]
    title = "".join(word.capitalize() for word in name.split("_"))
    made: dict[str, Any] = {
        "__doc__": f"The {name.replace('_', ' ')} of a quote.",
        "record": Offer,
        name: tell(key=key),
    }
    return cast(type[Answer], type(f"Quote{title}Schema", (Answer,), made))


PART_SCHEMAS: dict[str, type[Answer]] = {name: _of_one(name) for name in PARTS}
"""The parts on their own, by their names."""
