"""What open quotes would cost by another edition, and why."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from estimator.comparison.repricing import CAUSES
from estimator.contract.answers.fields import ByName, Date, Each, Link, Moment, MoneyText, One, OneWord, Whole, Words
from estimator.contract.answers.jobs import UUID
from estimator.contract.answers.writing import ITSELF, Answer, Entry, Telling
from estimator.money import minor_digits
from estimator.service.quoting.repricing.repricings import RepricedQuote, StoredRepricing
from estimator.service.quoting.repricing.tables import sums_of

PLANS = ("none", "kept", "made_anew", "all_anew")
HERE = f"/v1/repricings/{UUID}"
AMOUNT = {"type": "string", "pattern": r"^-?\d+(\.\d+)?$", "examples": ["12.40"]}


def _amount(amount: Decimal | None, currency: str) -> str | None:
    return None if amount is None else f"{amount:.{minor_digits(currency)}f}"


def _money(name: str) -> Any:
    return lambda it, _to: _amount(getattr(it, name), it.currency)


def _causes(it: RepricedQuote, _to: Telling) -> dict[str, str | None]:
    return {name: _amount(amount, it.currency) for name, amount in it.causes}


def _sums(it: StoredRepricing, _to: Telling) -> dict[str, dict[str, str | None]]:
    found = sums_of(it).items()
    return {currency: {name: _amount(each, currency) for name, each in sums.items()} for currency, sums in found}


class RepricedQuoteSchema(Answer):
    """One quote by the other edition."""

    record = RepricedQuote
    quote = Words("The quote's id.", "quote_id", format="uuid", example=UUID)
    number = Words("Its number.", example="Q-2027-00042")
    revision = Whole("Its revision.", least=1, example=1)
    state = Words("Where it stands.", example="issued")
    plan = OneWord(
        "What became of its cut plan: none, kept at the new prices, made again since a better one is possible, or all "
        "again since the edition builds it differently.",
        PLANS,
    )
    currency = Words("Currency of its amounts, by ISO 4217.", example="EUR")
    old_total = MoneyText("What the customer was quoted, with tax.", _money("old_total"), ready=True)
    new_total = MoneyText("What it would be; null where there is no price.", _money("new_total"), ready=True, null=True)
    difference = MoneyText("New total less old.", _money("difference"), ready=True, null=True, example="12.40")
    margin_at_risk = MoneyText(
        "How much more the house would pay than when it quoted: what the old price loses of its margin.",
        _money("margin_at_risk"),
        ready=True,
        null=True,
        example="9.80",
    )
    causes = ByName(
        f"The difference of the totals by its causes ({', '.join(CAUSES)}), which sum to it.",
        _causes,
        each=AMOUNT,
        example={"prices": "10.10", "tax": "2.30"},
    )
    problem = Words("Why it has no price by that edition; null where it has one.", null=True, example="not in force")
    draft = Words("The draft revision made of it; null until then.", "draft_id", null=True, example=UUID)


class RepricingLinksSchema(Answer):
    """Where the report is, as a workbook too, and the operation that makes it."""

    record = StoredRepricing
    self = Link("This report.", lambda it, _to: f"/v1/repricings/{it.id}", example=HERE)
    workbook = Link("As a workbook.", lambda it, _to: f"/v1/repricings/{it.id}/workbook.xlsx", example=HERE)
    operation = Link(
        "The operation that makes it.",
        lambda it, _to: f"/v1/operations/{it.operation_id}",
        example=f"/v1/operations/{UUID}",
    )


class RepricingAnswerSchema(Answer):
    """Open quotes against another edition, as far as they are done."""

    record = StoredRepricing
    id = Words("The re-pricing's id.", format="uuid", example=UUID)
    pricebook = Words("The pricebook.", example="hanse-eu")
    edition = Words("The edition.", example="2027-01")
    priced_on = Date("The day whose prices hold.")
    asked_by = Words("Who asked.", example="Pricing desk")
    created_at = Moment("When it was asked for.")
    sums = ByName(
        "By currency: totals, margin at risk and each cause, summed over the quotes that have a new price.",
        _sums,
        each={"type": "object", "additionalProperties": AMOUNT},
        example={"EUR": {"old_total": "12542.16", "new_total": "12554.56"}},
    )
    quotes = Each("The quotes, by number.", RepricedQuoteSchema)
    links = One("Where it is.", RepricingLinksSchema, ITSELF)


def repricing_entry(repricing: StoredRepricing) -> Entry:
    """A report as far as it is."""
    return RepricingAnswerSchema.entry(repricing, Telling())
