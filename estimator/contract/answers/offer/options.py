"""The ways that a customer may accept, and what may be added."""

from __future__ import annotations

from estimator.comparison.records import FIRST, Offer, QuotedOption
from estimator.contract.answers.fields import DecimalText, MoneyText, Whole, Words
from estimator.contract.answers.writing import Answer
from estimator.pricing.records import PricedLine


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


class AlternateAnswerSchema(Answer):
    """Something that the customer may add."""

    record = PricedLine
    part = Words("Its part.", "line.part", example="XS-9")
    description = Words("What it is.", "line.description", example="Cable clip")
    quantity = Whole("How many.", "line.ordered", example=20)
    unit_price = DecimalText("Price of one.", example="1.85")
    price = MoneyText("Price of all, before the quote's discount and tax.", example="37.00")


def options_told(it: Offer) -> tuple[QuotedOption, ...]:
    """The estimate itself as option A, and the options beside it."""
    return (QuotedOption(FIRST, "", it.estimate), *it.options) if it.options else ()
