"""The ways that a customer may accept, and what may be added."""

from __future__ import annotations

from estimator.comparison.carried import CODE
from estimator.comparison.records import Offer, QuotedOption
from estimator.contract.answers.fields import DecimalText, Each, MoneyText, OneWord, PlaceTold, Whole, Words
from estimator.contract.answers.offer.loads import SEVERITIES
from estimator.contract.answers.writing import Answer, Telling
from estimator.errors import Finding
from estimator.pricing.records import PricedLine

MOST_CHECKS = 12


class OptionCheckSchema(Answer):
    """A check of one option."""

    record = Finding
    code = Words("Its stable name.", example="change_not_in_option")
    severity = OneWord("Whether it blocks issuing, warns or explains.", SEVERITIES)
    where = Words("Its place, for people.", example="XB-40")
    place = PlaceTold("Its place as facts; an override names code, place and option.")
    message = Words(
        "What is found, in words.", example="its price by hand is left out: this option does without the part"
    )


class OptionAnswerSchema(Answer):
    """One way that the customer may accept."""

    record = QuotedOption
    option = Words("Its letter, which the acceptance names.", "letter", example="B")
    title = Words("What the quote calls it.", example="In steel")
    arrangement = Words("How the rails lie.", "estimate.mounting.arrangement", example="rail_on_side")
    material = Words("The material of brackets and rails.", "estimate.mounting.material", example="steel")
    bracket = Words("The bracket.", "estimate.mounting.bracket.part", example="XB-40")
    attachments = Whole("How many attachments.", "estimate.counts.counts.attachments", example=120)
    before_tax = MoneyText("The total before tax.", "estimate.bill.totals.before_tax", example="10539.63")
    total = MoneyText("What the customer pays.", "estimate.bill.totals.total", example="12542.16")
    errors = Whole(
        "Failed checks that keep the quote from being issued.", lambda it, _to: len(it.estimate.errors), example=0
    )
    checks = Each(
        "Its failed checks, and the changes and discounts of lines that do not hold in it; at most twelve.",
        OptionCheckSchema,
        lambda it, to: _to_see(it, to)[:MOST_CHECKS],
    )


class AlternateAnswerSchema(Answer):
    """Something that the customer may add."""

    record = PricedLine
    part = Words("Its part.", "line.part", example="XS-9")
    description = Words("What it is.", "line.description", example="Cable clip")
    quantity = Whole("How many.", "line.ordered", example=20)
    unit_price = DecimalText("Price of one.", example="1.85")
    price = MoneyText("Price of all, before the quote's discount and tax.", example="37.00")


def _to_see(it: QuotedOption, to: Telling) -> list[Finding]:
    told = [each for each in it.estimate.checks if to.costs or not each.tells_cost]
    return [each for each in told if each.severity == "error" or each.code == CODE]


def options_told(it: Offer) -> tuple[QuotedOption, ...]:
    """The estimate itself as option A, and the options beside it."""
    return it.ways if it.options else ()
