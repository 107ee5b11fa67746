"""What an edition of a pricebook changes against another, and what that does to every open quote."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from estimator.pricebook import Book
from estimator.pricebook.against import ALARM_SHARE, EditionDifference, against, cost_at
from estimator.service.context import Client, ServiceContext
from estimator.service.quoting.stored.costs import QuoteCosts, open_costs

MOST_LISTED = 200
"""Quotes that are listed where nobody asks for more; every open one is in the sums."""


@dataclass(frozen=True, slots=True)
class QuoteEffect:
    """What an open quote's parts cost the house by its own edition and by another, for what it orders today."""

    id: str
    number: str
    revision: int
    state: str
    currency: str
    before: Decimal
    after: Decimal
    gone: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OpenQuotesEffect:
    """The same over all open quotes: how many there are, become dearer, cheaper, or lose parts; and both sums."""

    count: int
    dearer: int
    cheaper: int
    with_parts_gone: int
    before: Decimal
    after: Decimal


@dataclass(frozen=True, slots=True)
class EditionComparison:
    """What an edition changes, and what that does to open quotes.

    ``quotes`` are those that change most: first those that lose parts, then by money; ``left_out`` counts the rest.
    """

    after: Book
    before: Book
    differences: tuple[EditionDifference, ...]
    effect: OpenQuotesEffect
    quotes: tuple[QuoteEffect, ...]
    left_out: int

    @property
    def alarms(self) -> int:
        """How many differences somebody should look at."""
        return sum(1 for each in self.differences if each.alarm)


def compare_editions(
    context: ServiceContext,
    client: Client,
    named: tuple[str, str],
    other: str,
    alarm_share: Decimal = ALARM_SHARE,
    most: int = MOST_LISTED,
) -> EditionComparison:
    """What an edition changes against another of the same book, and for which open quotes.

    Errors: NotFound; CostsPending where too many quotes were kept before their parts' costs were.
    """
    after = context.catalogue.get(client.organisation, *named)
    before = context.catalogue.get(client.organisation, named[0], other)
    every = _effects(context, client, before, after)
    worst = sorted(every, key=lambda each: (bool(each.gone), abs(each.after - each.before)), reverse=True)
    differences = against(after, before, alarm_share)
    return EditionComparison(after, before, differences, _summed(every), tuple(worst[:most]), max(0, len(worst) - most))


def _effects(context: ServiceContext, client: Client, before: Book, after: Book) -> list[QuoteEffect]:
    @cache
    def cost(part: str, ordered: int) -> Decimal:
        return cost_at(after.parts[part], ordered) * ordered

    def effect(quote: QuoteCosts) -> QuoteEffect:
        kept = [each for each in quote.parts if each.part in after.parts]
        old = sum((each.unit_cost * each.ordered for each in kept), Decimal(0))
        new = sum((cost(each.part, each.ordered) for each in kept), Decimal(0))
        gone = tuple(sorted({each.part for each in quote.parts} - {*after.parts}))
        return QuoteEffect(quote.id, quote.number, quote.revision, quote.state, quote.currency, old, new, gone)

    return [effect(each) for each in open_costs(context, client, before)]


def _summed(every: list[QuoteEffect]) -> OpenQuotesEffect:
    return OpenQuotesEffect(
        count=len(every),
        dearer=sum(1 for each in every if each.after > each.before),
        cheaper=sum(1 for each in every if each.after < each.before),
        with_parts_gone=sum(1 for each in every if each.gone),
        before=sum((each.before for each in every), Decimal(0)),
        after=sum((each.after for each in every), Decimal(0)),
    )
