"""Quotes: their cards, and a quote with its estimate."""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from functools import cache, partial
from typing import Any, ClassVar

import orjson

from estimator.contract.answers.fields import (
    Date,
    Each,
    Link,
    Moment,
    MoneyText,
    One,
    OneWord,
    PlaceTold,
    Truth,
    Whole,
    Words,
    links_schema,
)
from estimator.contract.answers.jobs import UUID
from estimator.contract.answers.offer.bill import CURRENCY
from estimator.contract.answers.offer.offer import telling_of
from estimator.contract.answers.offer.summary import PART_SCHEMAS, QuoteEstimateSchema
from estimator.contract.answers.posted import AsPosted
from estimator.contract.answers.quotes.workbooks import WorkbookAnswerSchema
from estimator.contract.answers.version import version_of
from estimator.contract.answers.writing import ITSELF, Answer, Entry, Telling, dump, without
from estimator.contract.requests.choices import ChoicesSchema
from estimator.documents.papers import QUOTE_FORMS
from estimator.job import CheckOverride
from estimator.money import minor_digits
from estimator.service.access.approvals import Approval
from estimator.service.context import AnswerForm
from estimator.service.quoting.differences import CHOICES_OF_COSTS
from estimator.service.quoting.returned_workbooks import ReturnedWorkbook
from estimator.service.quoting.stored.answers import SUMMARY
from estimator.service.quoting.stored.quotes import StoredQuote, WholeQuote

STATES = ("draft", "issued", "accepted", "declined", "expired", "superseded")
HERE = f"/v1/quotes/{UUID}"


def _link(about: str, ending: str = "") -> Link:
    return Link(about, lambda it, _to: f"/v1/quotes/{it.id}{ending}", example=f"{HERE}{ending}")


QuoteLinksSchema = links_schema(
    "QuoteLinksSchema",
    "Where the quote, its job and its documents are.",
    {
        "self": _link("This quote."),
        "job": Link("Its job.", lambda it, _to: f"/v1/jobs/{it.job_id}", example=f"/v1/jobs/{UUID}"),
        **{form.called: _link(f"{form.about}.", f"/{form.file}") for form in QUOTE_FORMS.values()},
        "comparison": _link("The same job in every other way.", "/comparison"),
    },
)


def _choices(it: StoredQuote, to: Telling) -> dict[str, Any]:
    return {name: value for name, value in it.choices.items() if to.costs or name not in CHOICES_OF_COSTS}


class ApprovalSchema(Answer):
    """Who let a quote beyond its preparer's limits be issued."""

    record: ClassVar[Any] = Approval
    by = Words("The name of the key or person.", "who.name", example="Head of sales")
    role = Words("Their role.", "who.role", example="pricing")
    at = Moment("When.")
    reason = Words("Why.", example="customer of many years", costs=True)


class QuoteCardSchema(Answer):
    """A quote without its estimate."""

    record: ClassVar[Any] = StoredQuote
    id = Words("The quote's id.", format="uuid", example=UUID)
    job = Words("The id of its job.", "job_id", format="uuid", example=UUID)
    number = Words("Its number, which its revisions share.", example="Q-2027-00042")
    revision = Whole("Which revision of that number it is.", least=1, example=1)
    revises = Words("The id of the quote that it revises; null for the first.", "revises_id", null=True, example=UUID)
    state = OneWord("Where it stands.", STATES)
    version = Whole("Goes up by one with every change; its ETag.", least=1, example=2)
    pricebook = Words("The pricebook it was priced by.", example="hanse-eu")
    edition = Words("The edition of that pricebook.", example="2026-12")
    currency = Words("The currency of its amounts, by ISO 4217.", pattern=CURRENCY, example="EUR")
    total = MoneyText(
        "What the customer pays, with tax.",
        lambda it, _to: f"{it.total:.{minor_digits(it.currency)}f}",
        ready=True,
        example="12542.16",
    )
    standing_errors = Whole("Checks that keep it from being issued.", "errors", example=0)
    choices = AsPosted("What was chosen when it was priced.", ChoicesSchema, _choices)
    prepared_by = Words("The name of the key that drafted it.", example="Estimating desk")
    needs_approval = Truth(
        "Whether it lies beyond what its preparer may offer alone, so that another person must approve it.",
        example=False,
    )
    approvals = Each("Who approved it.", ApprovalSchema)
    dated = Date("The day whose prices hold.")
    valid_until = Date("The last day on which it can be accepted.")
    created_at = Moment("When it was drafted.")
    issued_at = Moment("When it was issued; null until then.", null=True)
    answered_at = Moment("When the customer answered; null until then.", null=True)
    accepted_option = Words(
        "The letter of the option that was accepted; null where the quote has none, or until then.",
        null=True,
        example="A",
    )
    order_list = Words(
        "The id of the order list it was ordered with; null until then.", "order_list_id", null=True, example=UUID
    )
    links = One("Where the quote, its job and its documents are.", QuoteLinksSchema, ITSELF)


class OverrideAnswerSchema(Answer):
    """A failed check that was overridden."""

    record = CheckOverride
    code = Words("The check's stable name.", example="rail_overhang")
    where = Words("Its place, for people.", lambda it, _to: str(it.place), example="South / A / row 3 / rail 1")
    place = PlaceTold("Its place as facts.")
    reason = Words("Why it was overridden, as the quote prints it.", example="checked on site")
    by = Words("The name of the key that overrode it.", example="Estimating desk")
    option = Words(
        "Letter of the option that it names; left out where it is for every option that has the check.",
        lambda it, _to: it.option or None,
        optional=True,
        example="B",
    )


class QuoteAnswerSchema(QuoteCardSchema):
    """A quote with its overrides and its estimate in short; ``workbook`` only where a workbook made it.

    Runs, loads, cut plan, derivations and choices of the estimate are told where they are asked for.
    """

    record: ClassVar[Any] = WholeQuote
    above = "card"
    overrides = Each("Failed checks that were overridden.", OverrideAnswerSchema, "offer.overridden")
    estimate = One("The estimate in short.", QuoteEstimateSchema, "offer")
    workbook = One(
        "What was taken from the workbook that was sent back.",
        WorkbookAnswerSchema,
        lambda _it, to: to.workbook,
        optional=True,
    )


class QuotePageSchema(Answer):
    """A page of quotes."""

    items = Each("The quotes, the newest first.", QuoteCardSchema, "0")
    next = Link("Where the next page is; null on the last.", "1", null=True, example="/v1/quotes?limit=50&cursor=...")


def quote_card(card: StoredQuote, *, costs: bool) -> Entry:
    """A quote without its estimate."""
    return QuoteCardSchema.entry(card, Telling(costs))


def quote_entry(whole: WholeQuote, *, costs: bool, workbook: ReturnedWorkbook | None = None) -> Entry:
    """A quote with its estimate, and what was taken from a workbook that made it."""
    telling = telling_of(whole.offer.estimate, costs=costs, workbook=workbook, labels=False)
    return QuoteAnswerSchema.entry(whole, telling)


FixedCardSchema = without(
    QuoteCardSchema, "FixedCardSchema", "What of a quote's summary does not depend on the day.", "state", "order_list"
)


class QuoteSummarySchema(FixedCardSchema):  # type: ignore[misc,valid-type]  # a schema made from another
    """What of a quote does not depend on the day: most of its card, overrides, and the estimate in short."""

    record: ClassVar[Any] = WholeQuote
    above = "card"
    overrides = copy(QuoteAnswerSchema._declared_fields["overrides"])
    estimate = copy(QuoteAnswerSchema._declared_fields["estimate"])


def part_bytes(whole: WholeQuote, name: str, *, costs: bool) -> bytes:
    """The summary of a quote, or one of its parts, as the bytes that are kept beside it."""
    telling = telling_of(whole.offer.estimate, costs=costs, labels=name != SUMMARY)
    entry = (
        QuoteSummarySchema.entry(whole, telling) if name == SUMMARY else PART_SCHEMAS[name].entry(whole.offer, telling)
    )
    return dump(entry)


def renewed(card: StoredQuote, summary: bytes, *, costs: bool) -> bytes:
    """A summary whose card alone has changed."""
    return dump({**orjson.loads(summary), **FixedCardSchema.entry(card, Telling(costs))})


@cache
def answer_forms() -> tuple[AnswerForm, ...]:
    """How the answer of a quote is written, for those who see costs and for others."""
    return tuple(
        AnswerForm(costs, contract_version(), partial(part_bytes, costs=costs), partial(renewed, costs=costs))
        for costs in (True, False)
    )


def quote_bytes(state: str, order_list_id: str | None, parts: Mapping[str, bytes]) -> bytes:
    """A quote put together: its state as it is today, the kept summary, and in its estimate the kept parts."""
    more = b"".join(b"," + content[1:-1] for name, content in parts.items() if name != SUMMARY)
    today = dump({"state": state, "order_list": order_list_id})
    return today[:-1] + b"," + parts[SUMMARY][1:-2] + more + b"}}"


def etag_of(card: StoredQuote) -> str:
    """The version of a quote; an issued quote that has expired is another answer though nothing was written."""
    return etag(card.version, card.state)


def etag(version: int, state: str) -> str:
    """The ETag of a quote: its version, whether it has expired, and the contract it is told by."""
    return f"v{version}{'-expired' if state == 'expired' else ''}-{contract_version()}"


@cache
def contract_version() -> str:
    """The version of all that is told of a quote: where it has changed, kept answers are made again."""
    return version_of(QuoteAnswerSchema, QuoteSummarySchema, *PART_SCHEMAS.values())
