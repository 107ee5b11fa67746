"""What an edition changes, for which open quotes; and what a supplier's price list did."""

from __future__ import annotations

from typing import Any, ClassVar

from estimator.contract.answers.editions.editions import BookAnswerSchema
from estimator.contract.answers.fields import DecimalText, Each, One, OneWord, Whole, Words, texts
from estimator.contract.answers.jobs import UUID
from estimator.contract.answers.posted import AsPosted
from estimator.contract.answers.writing import ITSELF, Answer, Entry, Telling
from estimator.contract.requests.editions import ListColumnsSchema
from estimator.pricebook import Book
from estimator.pricebook.against import EditionDifference
from estimator.service.price_lists import ListReport
from estimator.service.quoting.edition_effects import EditionComparison, OpenQuotesEffect, QuoteEffect


class EditionChangeSchema(Answer):
    """One difference."""

    record: ClassVar[Any] = EditionDifference
    of = Words("The part, or the file of the head.", example="HB-A48")
    column = Words("What of it; empty for the whole part.", example="cost")
    before = Words("Before.", example="5.35")
    after = Words("After.", example="5.60")
    alarm = Words("Why somebody should look at it; empty for a plain change.", example="the cost rises by 12.1%")


class QuoteEffectSchema(Answer):
    """What an open quote's parts cost the house by both editions, for what it orders today."""

    record: ClassVar[Any] = QuoteEffect
    id = Words("The quote's id.", format="uuid", example=UUID)
    number = Words("Its number.", example="Q-2027-00042")
    revision = Whole("Its revision.", least=1, example=1)
    state = OneWord("Where it stands.", ("draft", "issued"))
    currency = Words("The currency of both costs.", example="EUR")
    cost_before = DecimalText("Cost of its parts by the edition before.", "before", example="4210.55")
    cost_after = DecimalText("Cost of the same parts by this edition.", "after", example="4260.10")
    gone = texts("Parts that this edition does not have; both costs leave them out.", example=["HB-A48"])


class OpenQuotesEffectSchema(Answer):
    """What the edition does to all open quotes that stand on the other one."""

    record: ClassVar[Any] = OpenQuotesEffect
    count = Whole("How many there are.", example=128)
    dearer = Whole("For how many the parts become dearer.", example=90)
    cheaper = Whole("For how many they become cheaper.", example=12)
    with_parts_gone = Whole("How many have parts that this edition does not have.", example=3)
    cost_before = DecimalText("Cost of all their parts by the edition before.", "before", example="539110.40")
    cost_after = DecimalText("Cost of the same parts by this edition.", "after", example="545570.15")


class EditionDifferencesSchema(Answer):
    """What an edition changes against another, and for which open quotes."""

    record: ClassVar[Any] = EditionComparison
    edition = Words("The edition.", "after.edition", example="2026-12")
    against = Words("The edition it is compared with.", "before.edition", example="2026-11")
    differences = Each("Every difference.", EditionChangeSchema)
    alarms = Whole("How many of them somebody should look at.")
    open_quotes = One("All open quotes that stand on the other edition.", OpenQuotesEffectSchema, "effect")
    quotes = Each(
        "Those of them that it changes most: first those whose parts are gone, then by the difference of costs.",
        QuoteEffectSchema,
    )
    quotes_left_out = Whole("How many of them are not on this list; open_quotes counts them.", "left_out", example=0)


class ListReportSchema(Answer):
    """What a price list did."""

    record: ClassVar[Any] = ListReport
    changed = texts("Parts whose cost or pack it changed.", example=["HB-A48"])
    unchanged = texts("Parts that it names as they were.", example=["HB-A66"])
    missing = texts("Parts of the supplier that it does not name; they keep their cost.", example=["HB-A90"])
    not_in_book = texts("Numbers in it that the book does not know; at most 1,000.", "unknown", example=["ZF 9999"])
    breaks_kept = texts(
        "Changed parts whose price breaks stand as they were, since the list tells none.", example=["HB-A48"]
    )
    breaks_changed = texts("Changed parts with other price breaks.", example=["HB-A48"])


class ListedEditionSchema(Answer):
    """The edition that a price list made, and what the list did."""

    record: ClassVar[Any] = tuple[Book, ListReport]
    edition = One("The edition.", BookAnswerSchema, "0")
    report = One("What the list did.", ListReportSchema, "1")


class ListColumnsAnswerSchema(Answer):
    """What a supplier calls the columns of its price list."""

    columns = AsPosted("As it was told.", ListColumnsSchema, ITSELF)


def differences_entry(comparison: EditionComparison) -> Entry:
    """What an edition changes."""
    return EditionDifferencesSchema.entry(comparison, Telling())


def listed_entry(made: tuple[Book, ListReport]) -> Entry:
    """The edition made, and the report."""
    return ListedEditionSchema.entry(made, Telling())


def columns_entry(document: dict[str, object]) -> Entry:
    """What was told of columns."""
    return ListColumnsAnswerSchema.entry(document, Telling())
