"""What changed from one quote to another."""

from __future__ import annotations

from estimator.contract.answers.fields import DecimalText, Each, MoneyText, One, Whole, Words
from estimator.contract.answers.jobs import UUID
from estimator.contract.answers.posted import Anything
from estimator.contract.answers.writing import Answer, Entry, Telling
from estimator.pricing.records import PricedLine
from estimator.service.quoting.differences import Difference, Differences, LineChanged
from estimator.service.quoting.stored.quotes import WholeQuote


class DifferenceSchema(Answer):
    """One thing that differs."""

    record = Difference
    place = Words("Where, as a JSON Pointer.", example="/mounting/material")
    before = Anything("What it was; null where it was not there.", example="steel")
    after = Anything("What it is; null where it is gone.", example="aluminium")


class ChangedLineSchema(Answer):
    """A line in short."""

    record = PricedLine
    net = Whole("How many the counts and rules ask.", "line.net", example=480)
    ordered = Whole("How many are bought.", "line.ordered", example=500)
    unit_price = DecimalText("Price of one.", example="0.185")
    discount = DecimalText("The line's discount, as a share.", example="0")
    price = MoneyText("Price of the line.", example="92.50")


class LineChangeAnswerSchema(Answer):
    """A part whose line differs."""

    record = LineChanged
    part = Words("The part.", example="XB-40")
    description = Words("The part as the pricebook describes it.", example="Bracket, aluminium")
    before = One("Its line before; null where there was none.", ChangedLineSchema, null=True)
    after = One("Its line now; null where there is none.", ChangedLineSchema, null=True)


class DifferencesAnswerSchema(Answer):
    """What changed from one quote to another."""

    from_quote = Words("The id of the quote compared with.", "0", key="from", format="uuid", example=UUID)
    to = Words("The id of this quote.", "1", format="uuid", example=UUID)
    inputs = Each("Changes of the job.", DifferenceSchema, "2.inputs")
    choices = Each("Changes of the choices.", DifferenceSchema, "2.choices")
    edition = Each("Changes of pricebook, edition, engine and dates.", DifferenceSchema, "2.edition")
    counts = Each("Changes of the counts.", DifferenceSchema, "2.counts")
    lines = Each("Parts whose lines differ.", LineChangeAnswerSchema, "2.lines")
    totals = Each("Changes of the totals.", DifferenceSchema, "2.totals")


def differences_entry(before: WholeQuote, after: WholeQuote, found: Differences) -> Entry:
    """What changed."""
    return DifferencesAnswerSchema.entry((before.card.id, after.card.id, found), Telling())
