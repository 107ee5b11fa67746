"""The life of a quote: drafted, issued, accepted or declined, revised. An issued quote never changes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Literal

from sqlalchemy import func, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from estimator.comparison import plans_of
from estimator.comparison.records import Offer
from estimator.errors import Conflict, Fault, Finding, Refused, StaleVersion
from estimator.job import CheckOverride, Choices, Job
from estimator.pricebook import Book
from estimator.sentences import day, say
from estimator.service.access.approvals import approve, mark_prepared, refuse_unapproved
from estimator.service.context import Client, ServiceContext, StoreResponse, new_id
from estimator.service.jobs import find_job
from estimator.service.quoting.overriding import overridden
from estimator.service.quoting.papers.issued import put_papers_down
from estimator.service.quoting.stored.answers import keep_renewed, keep_written
from estimator.service.quoting.stored.deeds import TAKES_ITS_PLACE, against_answering, against_issuing
from estimator.service.quoting.stored.history import supersede, told, told_overrides
from estimator.service.quoting.stored.quotes import StoredQuote, WholeQuote, cards, find_quote, lock_number, state_on
from estimator.storage import tables
from estimator.storage.records.codec import freeze, thaw


class OptionUnknown(Refused):
    """An acceptance that names no option of the quote."""


class ChecksStand(Conflict):
    """Checks stand that keep the quote from being issued; ``checks`` lists them, each with its option's letter."""

    def __init__(self, checks: tuple[tuple[str, Finding], ...]) -> None:
        super().__init__(
            say(
                "{count} checks keep this quote from being issued; correct the job, or override each", count=len(checks)
            )
        )
        self.checks = checks


@dataclass(frozen=True, slots=True)
class PricingRequest:
    """What to price and how: the job with its document as posted, the choices with theirs, the edition, the date."""

    job: Job
    job_document: Any
    choices: Choices
    choices_document: Any
    pricebook: str | None = None
    edition: str | None = None
    on: date | None = None
    proof_seconds: int | None = None


def price(context: ServiceContext, client: Client, pricing: PricingRequest, revised: Offer | None = None) -> Offer:
    """The whole offer for a job, or for a revision of an offer; nothing is kept."""
    on = pricing.on or context.today()
    book = context.catalogue.choose(client.organisation, pricing.pricebook, pricing.edition, on, pricing.job)
    choices = signed(pricing.choices, client)
    return context.make_offer(pricing.job, book, choices, on, context.searches, plans_of(revised))


def draft_quote(
    context: ServiceContext, client: Client, job_id: str, pricing: PricingRequest, store: StoreResponse
) -> WholeQuote:
    """A draft quote of a job, priced now. Errors: NotFound, Conflict if the edition's files have changed."""
    with context.reading() as session:
        find_job(session, client, job_id)
    offer = price(context, client, pricing)
    with context.writing() as session:
        find_job(session, client, job_id)
        row = _row(context, client, job_id, pricing, offer)
        row.number, row.revision = next_number(session, client, context.today()), 1
        return _keep(session, context, client, row, offer, store)


def revise_quote(
    context: ServiceContext, client: Client, quote_id: str, pricing: PricingRequest, store: StoreResponse
) -> WholeQuote:
    """A new draft under the same number; the quote it revises stays as it is."""
    with context.reading() as session:
        old = find_quote(session, client, quote_id)
    offer = price(context, client, pricing, thaw(old.offer))
    with context.writing() as session:
        lock_number(session, client, quote_id)
        return keep_revision(session, context, client, Revision(old, pricing, offer), store)


@dataclass(frozen=True, slots=True)
class Revision:
    """A new draft of a quote: the row it revises, what was asked, and the offer made of it."""

    old: tables.QuoteRow
    pricing: PricingRequest
    offer: Offer


def keep_revision(
    session: Session, context: ServiceContext, client: Client, revision: Revision, store: StoreResponse
) -> WholeQuote:
    """Keep a revision under the next number; all of the quote's number are locked already."""
    old = revision.old
    row = _row(context, client, old.job_id, revision.pricing, revision.offer)
    row.number, row.revises_id = old.number, old.id
    row.revision = last_revision(session, client, old.number) + 1
    return _keep(session, context, client, row, revision.offer, store)


def last_revision(session: Session, client: Client, number: str) -> int:
    """The newest revision of a number."""
    last = select(func.max(tables.QuoteRow.revision)).where(
        tables.QuoteRow.organisation_id == client.organisation, tables.QuoteRow.number == number
    )
    return session.scalar(last) or 0


def issue_quote(
    context: ServiceContext,
    client: Client,
    quote_id: str,
    version: int,
    overrides: tuple[CheckOverride, ...],
    store: StoreResponse,
) -> StoredQuote:
    """From draft to issued. Errors: ChecksStand, Conflict, StaleVersion, OverrideRefused for an override of nothing."""
    with context.writing() as session:
        row = _at_version(session, client, quote_id, version)
        state, today = state_on(row, context.today()), context.today()
        against = against_issuing(state, row.valid_until, today, (row.number, _newer(session, row)))
        if against is not None:
            raise Conflict(against)
        offer: Offer = thaw(row.offer)
        if overrides:
            offer = overridden(offer, tuple(replace(each, by=client.name) for each in overrides))
            row.offer, row.errors = freeze(offer), len(offer.errors)
        if offer.errors:
            raise ChecksStand(offer.errors)
        refuse_unapproved(session, client, row, offer)
        row.state, row.issued_at = "issued", context.clock()
        told_overrides(session, context, client, row, overrides)
        told(session, context, client, row, "issued")
        supersede(session, context, client, row)
        put_papers_down(session, context, row)
        return _changed(session, context, row, store, offer if overrides else None)


def approve_quote(
    context: ServiceContext, client: Client, quote_id: str, version: int, reason: str, store: StoreResponse
) -> StoredQuote:
    """Approve a draft that another person prepared. Errors: Conflict, StaleVersion, NotAllowed for one's own."""
    with context.writing() as session:
        row = _at_version(session, client, quote_id, version)
        approve(session, context, client, row, thaw(row.offer), reason)
        told(session, context, client, row, "approved", why=reason)
        return _changed(session, context, row, store)


def _newer(session: Session, row: tables.QuoteRow) -> int | None:
    """The last revision after this one that was issued, if one was: it has taken its place."""
    quote = tables.QuoteRow
    later = select(func.max(quote.revision)).where(
        quote.organisation_id == row.organisation_id,
        quote.number == row.number,
        quote.revision > row.revision,
        quote.state.in_(TAKES_ITS_PLACE),
    )
    return session.scalar(later)


def answer_quote(
    context: ServiceContext,
    client: Client,
    quote_id: str,
    version: int,
    answer: Literal["accepted", "declined"],
    store: StoreResponse,
    option: str | None = None,
) -> StoredQuote:
    """The customer's answer to an issued quote, naming the option that was accepted.

    Errors: Conflict if it is not issued, has expired or was revised; OptionUnknown for an option it does not have.
    """
    with context.writing() as session:
        row = _at_version(session, client, quote_id, version)
        against = against_answering(state_on(row, context.today()), answer)
        if against is not None:
            raise Conflict(against)
        newer = _newer(session, row)
        if answer == "accepted" and newer is not None:
            raise Conflict(say("revision {newer} of {number} has taken its place", newer=newer, number=row.number))
        if answer == "accepted":
            _take(row, thaw(row.offer), option)
        row.state, row.answered_at = answer, context.clock()
        told(session, context, client, row, answer)
        if answer == "accepted":
            supersede(session, context, client, row)
        if row.accepted_option is not None:
            put_papers_down(session, context, row)
        return _changed(session, context, row, store)


def _take(row: tables.QuoteRow, offer: Offer, option: str | None) -> None:
    """Record which option was accepted; orders and the crew's papers follow it."""
    letters = offer.letters
    if len(letters) == 1 and option in {None, letters[0]}:
        return
    if option not in letters:
        text = (
            say("say which option was accepted")
            if option is None
            else say("the quote has no option {option}", option=option)
        )
        raise OptionUnknown(text, [Fault("/option", text, ", ".join(letters))])
    row.accepted_option, row.total = option, offer.taken(option).bill.totals.total.amount


def _at_version(session: Session, client: Client, quote_id: str, version: int) -> tables.QuoteRow:
    row = lock_number(session, client, quote_id)
    if row.version != version:
        raise StaleVersion(
            say(
                "the quote is at version {version}; version {meant} was meant; read it again",
                version=row.version,
                meant=version,
            )
        )
    return row


def _changed(
    session: Session,
    context: ServiceContext,
    row: tables.QuoteRow,
    store: StoreResponse,
    offer: Offer | None = None,
) -> StoredQuote:
    """The card of a row that changes; ``offer`` where that is another, too."""
    row.version, row.updated_at = row.version + 1, context.clock()
    session.flush()
    card = cards(session, [row], context.today())[0]
    if offer is None:
        keep_renewed(session, context, row, row.version - 1)
    else:
        keep_written(session, context, row.organisation_id, WholeQuote(card, offer))
    store(session, card)
    return card


def signed(choices: Choices, client: Client, before: tuple[CheckOverride, ...] = ()) -> Choices:
    """The choices with who overrides, and with who prepared them where that is a person with an account.

    An override keeps its author while it is the same.
    """
    person = client.name if client.kind == "account" else ""
    names = {replace(each, by=""): each.by for each in before}
    overrides = tuple(replace(each, by=names.get(replace(each, by=""), client.name)) for each in choices.overrides)
    return replace(choices, overrides=overrides, prepared_by=choices.prepared_by or person)


def _row(
    context: ServiceContext, client: Client, job_id: str, pricing: PricingRequest, offer: Offer
) -> tables.QuoteRow:
    estimate, now = offer.estimate, context.clock()
    total = estimate.bill.totals.total
    return tables.QuoteRow(
        id=new_id(),
        organisation_id=client.organisation,
        job_id=job_id,
        state="draft",
        version=1,
        pricebook=estimate.provenance.pricebook,
        edition=estimate.provenance.edition,
        sha256=estimate.provenance.sha256,
        currency=total.currency,
        total=total.amount,
        errors=len(offer.errors),
        job_document=pricing.job_document,
        choices=pricing.choices_document,
        offer=freeze(offer),
        prepared_by=client.name,
        dated=estimate.provenance.priced_on,
        valid_until=estimate.provenance.valid_until,
        created_at=now,
        updated_at=now,
    )


def _keep(
    session: Session,
    context: ServiceContext,
    client: Client,
    row: tables.QuoteRow,
    offer: Offer,
    store: StoreResponse,
) -> WholeQuote:
    hold_edition(session, context, row.organisation_id, offer.estimate.book)
    mark_prepared(session, client, row, offer)
    session.add(row)
    session.flush()
    told(session, context, client, row, "revised" if row.revises_id else "drafted")
    told_overrides(session, context, client, row, offer.overridden)
    kept = WholeQuote(cards(session, [row], context.today())[0], offer)
    keep_written(session, context, row.organisation_id, kept)
    store(session, kept)
    return kept


def hold_edition(session: Session, context: ServiceContext, organisation: str, book: Book) -> None:
    """Record the edition's hash at its first use. Errors: Conflict if its files have changed since."""
    used = session.get(tables.UsedEditionRow, (organisation, book.id, book.edition))
    if used is None:
        used = _first_use(session, context, organisation, book)
    if used.sha256 != book.sha256:
        raise Conflict(
            say(
                "pricebook {book}, edition {edition}: its files have changed since a quote first used it "
                "on {first_used_at}; put the change into a new edition",
                book=book.id,
                edition=book.edition,
                first_used_at=day(used.first_used_at),
            )
        )


def _first_use(session: Session, context: ServiceContext, organisation: str, book: Book) -> tables.UsedEditionRow:
    """The row of a first use; where another quote was quicker, that one's."""
    row = tables.UsedEditionRow(
        organisation_id=organisation,
        pricebook=book.id,
        edition=book.edition,
        sha256=book.sha256,
        first_used_at=context.clock(),
    )
    try:
        with session.begin_nested():
            session.add(row)
    except IntegrityError:
        return session.get_one(tables.UsedEditionRow, (organisation, book.id, book.edition))
    return row


def next_number(session: Session, client: Client, today: date) -> str:
    """The organisation's next number; its row is locked until the transaction ends, so that no two draw one number."""
    statement = select(tables.OrganisationRow).where(tables.OrganisationRow.id == client.organisation).with_for_update()
    row = session.scalars(statement).one()
    row.last_number += 1
    return f"Q-{today.year}-{row.last_number:05d}"
