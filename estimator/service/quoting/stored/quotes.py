"""Quotes as they are kept: the card of one, its offer, and the rows behind them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any, cast

from sqlalchemy import Row, select
from sqlalchemy.orm import Session, defer

from estimator.comparison.records import Offer
from estimator.documents.header import QuoteHeader, QuoteState
from estimator.errors import NotFound
from estimator.sentences import say
from estimator.service.access.approvals import Approval, approvals_of
from estimator.service.context import Client, ServiceContext
from estimator.storage import tables
from estimator.storage.records.codec import thaw


@dataclass(frozen=True, slots=True)
class StoredQuote:
    """The card of one revision: everything but the offer itself."""

    id: str
    job_id: str
    number: str
    revision: int
    revises_id: str | None
    state: QuoteState
    version: int
    pricebook: str
    edition: str
    sha256: str
    currency: str
    total: Decimal
    errors: int
    job_document: Any
    choices: Any
    prepared_by: str
    dated: date
    valid_until: date
    created_at: datetime
    updated_at: datetime
    issued_at: datetime | None
    answered_at: datetime | None
    accepted_option: str | None
    order_list_id: str | None
    needs_approval: bool = False
    approvals: tuple[Approval, ...] = ()

    @property
    def waits_for_approval(self) -> bool:
        """Whether another person has to approve it before it can be issued."""
        return self.state == "draft" and self.needs_approval and not self.approvals

    @property
    def waits_to_be_ordered(self) -> bool:
        """Whether it is accepted and on no order list."""
        return self.state == "accepted" and not self.order_list_id


@dataclass(frozen=True, slots=True)
class WholeQuote:
    """A quote's card with its offer."""

    card: StoredQuote
    offer: Offer

    @property
    def header(self) -> QuoteHeader:
        """The head of its documents."""
        card, estimate = self.card, self.offer.estimate
        person, language = estimate.choices.prepared_by, estimate.job.language
        return QuoteHeader(card.number, card.revision, card.state, card.dated, card.valid_until, person, language)


def list_quotes(
    context: ServiceContext,
    client: Client,
    *,
    before: str | None,
    limit: int,
    job_id: str | None,
    state: str | None,
    since: datetime | None = None,
) -> tuple[StoredQuote, ...]:
    """The newest first, from the one after ``before`` on."""
    quote = tables.QuoteRow
    statement = select(quote).where(quote.organisation_id == client.organisation)
    if before:
        statement = statement.where(quote.id < before)
    if job_id:
        statement = statement.where(quote.job_id == job_id)
    if since is not None:
        statement = statement.where(quote.updated_at >= since)
    today = context.today()
    if state == "expired":
        statement = statement.where(
            (quote.state == "expired") | ((quote.state == "issued") & (quote.valid_until < today))
        )
    elif state == "issued":
        statement = statement.where(quote.state == "issued", quote.valid_until >= today)
    elif state:
        statement = statement.where(quote.state == state)
    statement = statement.options(defer(quote.offer)).order_by(quote.id.desc()).limit(limit)
    with context.reading() as session:
        return cards(session, list(session.scalars(statement)), today)


def get_quote(context: ServiceContext, client: Client, quote_id: str) -> StoredQuote:
    """The card of one quote. Errors: NotFound, also for another organisation's."""
    with context.reading() as session:
        return cards(session, [find_quote(session, client, quote_id)], context.today())[0]


def get_whole(context: ServiceContext, client: Client, quote_id: str) -> WholeQuote:
    """A quote with its offer. Errors: NotFound."""
    with context.reading() as session:
        return whole(session, find_quote(session, client, quote_id), context.today())


def whole(session: Session, row: tables.QuoteRow, today: date) -> WholeQuote:
    """The whole of a row."""
    return WholeQuote(cards(session, [row], today)[0], cast(Offer, thaw(row.offer)))


def find_quote(session: Session, client: Client, quote_id: str) -> tables.QuoteRow:
    """The row, if it is this organisation's."""
    statement = select(tables.QuoteRow).where(
        tables.QuoteRow.id == quote_id, tables.QuoteRow.organisation_id == client.organisation
    )
    row = session.scalar(statement)
    if row is None:
        raise NotFound(say("no such quote"))
    return row


def lock_number(session: Session, client: Client, quote_id: str) -> tables.QuoteRow:
    """The row, with all revisions of its number locked, in the order of their ids as everywhere. Errors: NotFound."""
    quote = tables.QuoteRow
    own = select(quote.number).where(quote.id == quote_id, quote.organisation_id == client.organisation)
    number = session.scalar(own)
    if number is None:
        raise NotFound(say("no such quote"))
    statement = select(quote).where(quote.organisation_id == client.organisation, quote.number == number)
    locked = statement.order_by(quote.id).with_for_update()
    rows = session.scalars(locked.options(defer(quote.offer))).all()
    return next(row for row in rows if row.id == quote_id)


def cards(session: Session, rows: Sequence[tables.QuoteRow], today: date) -> tuple[StoredQuote, ...]:
    """The cards of rows, with the state they have today and the list they were ordered with."""
    ids = [row.id for row in rows]
    ordered = select(tables.OrderedQuoteRow).where(tables.OrderedQuoteRow.quote_id.in_(ids))
    lists = {each.quote_id: each.order_list_id for each in session.scalars(ordered)} if ids else {}
    approvals = approvals_of(session, tuple(row.id for row in rows if row.needs_approval))
    return tuple(_card(row, today, lists.get(row.id), approvals.get(row.id, ())) for row in rows)


def state_on(row: tables.QuoteRow | Row[*tuple[Any, ...]], today: date) -> QuoteState:
    """An issued quote whose validity has ended has expired, whether or not that was recorded."""
    state = cast(QuoteState, row.state)
    return "expired" if state == "issued" and row.valid_until < today else state


def _card(row: tables.QuoteRow, today: date, order_list_id: str | None, approvals: tuple[Approval, ...]) -> StoredQuote:
    return StoredQuote(
        id=row.id,
        job_id=row.job_id,
        number=row.number,
        revision=row.revision,
        revises_id=row.revises_id,
        state=state_on(row, today),
        version=row.version,
        pricebook=row.pricebook,
        edition=row.edition,
        sha256=row.sha256,
        currency=row.currency,
        total=row.total,
        errors=row.errors,
        job_document=row.job_document,
        choices=row.choices,
        prepared_by=row.prepared_by,
        dated=row.dated,
        valid_until=row.valid_until,
        created_at=row.created_at,
        updated_at=row.updated_at,
        issued_at=row.issued_at,
        answered_at=row.answered_at,
        accepted_option=row.accepted_option,
        order_list_id=order_list_id,
        needs_approval=row.needs_approval,
        approvals=approvals,
    )
