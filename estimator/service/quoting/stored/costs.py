"""What the parts of open quotes cost the house, kept beside each, so that all of them can be held against an edition.

A quote's row is written with its offer, in the same transaction. Quotes that were kept before 2026-12 get theirs soon
after the service has started; what is asked for before waits for the few that are left, or is told to come back.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, cast

from sqlalchemy import Select, func, select
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from estimator.comparison.records import Offer
from estimator.errors import EstimatorError
from estimator.pricebook import Book
from estimator.sentences import say
from estimator.service.context import Client, ServiceContext
from estimator.storage.records.codec import thaw
from estimator.storage.tables import QuoteCostsRow, QuoteListingRow, QuoteRow

OPEN = ("draft", "issued")
PART = 20
"""Quotes of a part whose costs are written at a time: a fifth of a second of work."""
MOST_AT_ONCE = 400
"""Quotes whose costs a request waits for: some seconds of work."""
KEPT, LISTED, QUOTE = QuoteCostsRow, QuoteListingRow, QuoteRow
_INSERTS: Mapping[str, Any] = {"sqlite": sqlite.insert, "postgresql": postgresql.insert}


class CostsPending(EstimatorError):
    """Costs of quotes that were kept before there were such rows are still being written."""

    retry_after = 10


@dataclass(frozen=True, slots=True)
class PartCost:
    """A part of a quote: how many are ordered, and what one costs by the quote's edition."""

    part: str
    ordered: int
    unit_cost: Decimal


@dataclass(frozen=True, slots=True)
class QuoteCosts:
    """An open quote with the costs of its parts."""

    id: str
    number: str
    revision: int
    state: str
    currency: str
    parts: tuple[PartCost, ...]


def keep_costs(session: Session, quote_id: str, organisation: str, offer: Offer) -> None:
    """Write down what the parts of an offer cost, in the transaction that makes it or changes it."""
    insert = _INSERTS[session.get_bind().dialect.name]
    book = offer.estimate.book
    lines = [
        [each.line.part, each.line.ordered, str(each.unit_cost)]
        for each in offer.estimate.bill.lines
        if each.line.part in book.parts
    ]
    values = {"pricebook": book.id, "edition": book.edition, "lines": lines}
    new = insert(KEPT).values(quote_id=quote_id, organisation_id=organisation, **values)
    session.execute(new.on_conflict_do_update(index_elements=["quote_id"], set_=values))


def keep_next_costs(context: ServiceContext, organisation: str | None = None) -> bool:
    """Write the costs of some open quotes that have none, the newest first; false where each has its own."""
    with context.reading() as session:
        columns = (QUOTE.id, QUOTE.organisation_id, QUOTE.version, QUOTE.offer)
        missing = _without(context, organisation).join(QUOTE, QUOTE.id == LISTED.quote_id).with_only_columns(*columns)
        found = session.execute(missing.order_by(LISTED.quote_id.desc()).limit(PART)).all()
    offers = [(each, cast(Offer, thaw(each.offer))) for each in found]
    for quote, offer in offers:
        with context.writing() as session:
            same = select(QUOTE.id).where(QUOTE.id == quote.id, QUOTE.version == quote.version).with_for_update()
            if session.scalar(same) is not None:
                keep_costs(session, quote.id, quote.organisation_id, offer)
    return bool(found)


def open_costs(context: ServiceContext, client: Client, book: Book) -> Iterable[QuoteCosts]:
    """Every open quote that stands on an edition, the newest first. Errors: CostsPending."""
    with context.reading() as session:
        missing = _without(context, client.organisation).with_only_columns(func.count())
        count = session.scalar(missing.order_by(None)) or 0
    if count > MOST_AT_ONCE:
        raise CostsPending(say("the costs of {count} open quotes are still being gathered", count=count))
    while count and keep_next_costs(context, client.organisation):
        pass
    asked = (
        select(LISTED.quote_id, LISTED.number, LISTED.revision, LISTED.state, LISTED.currency, KEPT.lines)
        .join(KEPT, KEPT.quote_id == LISTED.quote_id)
        .where(KEPT.organisation_id == client.organisation, KEPT.pricebook == book.id, KEPT.edition == book.edition)
        .where(*_is_open(context))
        .order_by(LISTED.quote_id.desc())
    )
    with context.looking_up() as connection:
        rows = connection.execute(asked).all()
    for quote_id, number, revision, state, currency, lines in rows:
        parts = tuple(PartCost(part, ordered, Decimal(cost)) for part, ordered, cost in lines)
        yield QuoteCosts(quote_id, number, revision, state, currency, parts)


def _is_open(context: ServiceContext) -> tuple[Any, ...]:
    return LISTED.state.in_(OPEN), LISTED.valid_until >= context.today()


def _without(context: ServiceContext, organisation: str | None) -> Select[Any]:
    """Open quotes that have no costs beside them yet."""
    own = (LISTED.organisation_id == organisation,) if organisation is not None else ()
    statement = select(LISTED.quote_id).outerjoin(KEPT, KEPT.quote_id == LISTED.quote_id)
    return statement.where(*own, *_is_open(context), KEPT.quote_id.is_(None))
