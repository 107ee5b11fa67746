"""Open quotes against another edition: what each would cost by it, and drafts of those that are chosen.

The report changes no quote. Work goes on in parts, each stored under the operation's lease with its progress:
after a kill the next worker goes on where the last part ended, and a part that lost its lease is undone.
"""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from contextvars import copy_context
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from estimator.errors import ChoiceRefused, Conflict, Fault, NotFound
from estimator.pricebook import Book
from estimator.sentences import day, say
from estimator.service import calculations
from estimator.service.access.scopes import demand
from estimator.service.calculations import RepricedTotals, Tell
from estimator.service.context import Client, ServiceContext, StoreResponse, new_id
from estimator.service.operations import Lease, StoredOperation, end_operation, hold_on, start_operation
from estimator.service.quoting.quotes import PricingRequest, Revision, keep_revision
from estimator.service.quoting.stored.quotes import find_quote, lock_number
from estimator.storage import tables
from estimator.storage.records.codec import freeze, thaw

QUOTE, ROW, DONE = tables.QuoteRow, tables.RepricingRow, tables.RepricedQuoteRow
OPEN = ("draft", "issued")
PART = 40
"""Quotes of a part: half a second of work for each of two processes."""


@dataclass(frozen=True, slots=True)
class RepricingRequest:
    """Which quotes against which edition, priced as on which day; no quotes named are all that are open."""

    pricebook: str
    edition: str
    on: date
    states: tuple[str, ...] = OPEN
    quotes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RepricedQuote:
    """One quote of a report; ``margin_at_risk`` is what its old price would lose of its margin by the new costs.

    ``problem`` is a sentence; kept before 2026-12 it is an English text.
    """

    quote_id: str
    number: str
    revision: int
    state: str
    plan: str
    currency: str
    old_total: Decimal
    new_total: Decimal | None
    old_cost: Decimal
    new_cost: Decimal | None
    causes: tuple[tuple[str, Decimal], ...]
    problem: str | None
    draft_id: str | None

    @property
    def difference(self) -> Decimal | None:
        """New total less old."""
        return None if self.new_total is None else self.new_total - self.old_total

    @property
    def may_be_drafted(self) -> bool:
        """Whether a draft can be made of it: it has a price by the other edition, and no draft yet."""
        return self.new_total is not None and not self.draft_id

    @property
    def margin_at_risk(self) -> Decimal | None:
        """How much more the quote costs the organisation."""
        return None if self.new_cost is None else self.new_cost - self.old_cost


@dataclass(frozen=True, slots=True)
class StoredRepricing:
    """A re-pricing with the quotes that are done; the operation tells whether there will be more."""

    id: str
    operation_id: str
    pricebook: str
    edition: str
    priced_on: date
    asked_by: str
    created_at: datetime
    quotes: tuple[RepricedQuote, ...]


def post_repricing(
    context: ServiceContext, client: Client, request: RepricingRequest, store: StoreResponse
) -> StoredOperation:
    """Record a re-pricing. Errors: ChoiceRefused for an edition or quotes there are not, or not in force that day."""
    book = _edition(context, client, request)
    if not book.valid_from <= request.on <= book.valid_until:
        text = say(
            "edition {edition} of {book} is not in force on {on}",
            edition=book.edition,
            book=book.id,
            on=day(request.on),
        )
        raise ChoiceRefused(
            text,
            [
                Fault(
                    "/priced_on",
                    text,
                    say(
                        "{valid_from} to {valid_until}",
                        valid_from=day(book.valid_from),
                        valid_until=day(book.valid_until),
                    ),
                )
            ],
        )
    asked = {"states": list(request.states), "quotes": list(request.quotes)}
    with context.writing() as session:
        _refuse_unknown(session, client, request.quotes)
        repricing_id = new_id()
        operation = start_operation(session, context, client, "repricing", {"repricing": repricing_id})
        row = ROW(id=repricing_id, organisation_id=client.organisation, operation_id=operation.id)
        row.pricebook, row.edition, row.priced_on, row.request = book.id, book.edition, request.on, asked
        row.asked_by, row.created_at = client.name, context.clock()
        session.add(row)
        session.flush()
        store(session, operation)
    return operation


def _edition(context: ServiceContext, client: Client, request: RepricingRequest) -> Book:
    try:
        return context.catalogue.get(client.organisation, request.pricebook, request.edition)
    except NotFound as fault:
        there = context.catalogue.available(client.organisation)
        known = ", ".join(each.head.edition for each in there if each.head.id == request.pricebook)
        named = {"edition": repr(request.edition), "name": repr(request.pricebook)}
        told = say("no edition {edition} of pricebook {name}", **named)
        allowed = known or say("an edition of /v1/pricebooks")
        raise ChoiceRefused(fault.told, [Fault("/edition", told, allowed)]) from fault


def _refuse_unknown(session: Session, client: Client, quotes: Sequence[str]) -> None:
    statement = select(QUOTE.id).where(QUOTE.organisation_id == client.organisation, QUOTE.id.in_(quotes))
    known = set(session.scalars(statement)) if quotes else set()
    faults = [
        Fault(f"/quotes/{at}", say("no quote {quote_id}", quote_id=quote_id), say("ids of /v1/quotes"))
        for at, quote_id in enumerate(quotes)
        if quote_id not in known
    ]
    if faults:
        raise ChoiceRefused(say("quotes that there are not"), faults)


def run_repricing(context: ServiceContext, lease: Lease, tell: Tell) -> None:
    """Part after part until every quote is done."""
    client, repricing_id = lease.client, lease.request["repricing"]
    with context.reading() as session:
        row = _find(session, client, repricing_id)
        total = session.scalar(_open_quotes(row, context.today()).with_only_columns(func.count()).order_by(None)) or 0
    book = context.catalogue.get(client.organisation, row.pricebook, row.edition)
    while True:
        with context.reading() as session:
            done = session.scalar(select(func.count()).where(DONE.repricing_id == repricing_id)) or 0
            left = _open_quotes(row, context.today()).where(
                QUOTE.id.not_in(select(DONE.quote_id).where(DONE.repricing_id == repricing_id))
            )
            part = [(each.id, each.offer) for each in session.execute(left.limit(PART))]
        if not part:
            break
        found = _calculated(context, [offer for _, offer in part], book, row.priced_on)
        with context.writing() as session:
            hold_on(session, context, lease, done + len(part), max(total, done + len(part)))
            session.add_all(_done(row, quote_id, each) for (quote_id, _), each in zip(part, found, strict=True))
    with context.writing() as session:
        end_operation(session, context, lease, f"/v1/repricings/{repricing_id}")


def get_repricing(context: ServiceContext, client: Client, repricing_id: str) -> StoredRepricing:
    """A re-pricing with what is done of it. Errors: NotFound."""
    with context.reading() as session:
        row = _find(session, client, repricing_id)
        statement = select(DONE, QUOTE.number, QUOTE.revision, QUOTE.state).join(QUOTE, QUOTE.id == DONE.quote_id)
        found = session.execute(statement.where(DONE.repricing_id == row.id).order_by(QUOTE.number, QUOTE.revision))
        quotes = tuple(_quote(*each) for each in found)
    return StoredRepricing(
        row.id, row.operation_id, row.pricebook, row.edition, row.priced_on, row.asked_by, row.created_at, quotes
    )


def repricing_of(context: ServiceContext, client: Client, operation_id: str) -> str:
    """The id of the re-pricing that an operation works on. Errors: NotFound."""
    with context.reading() as session:
        own = (ROW.operation_id == operation_id, ROW.organisation_id == client.organisation)
        found = session.scalar(select(ROW.id).where(*own))
    if found is None:
        raise NotFound(say("no such re-pricing"))
    return found


def apply_repricing(
    context: ServiceContext, client: Client, repricing_id: str, quotes: tuple[str, ...], store: StoreResponse
) -> StoredOperation:
    """Record that drafts are to be made of the quotes chosen.

    Errors: NotAllowed for whoever may not re-price, NotFound, Conflict for one that has no new price.
    """
    demand(client, "repricings:make")
    with context.writing() as session:
        row = _find(session, client, repricing_id)
        for quote_id in quotes:
            done = session.get(DONE, (row.id, quote_id))
            if done is None:
                raise NotFound(say("quote {quote_id} is not among those of the re-pricing", quote_id=quote_id))
            if done.new_total is None:
                raise Conflict(
                    say(
                        "quote {quote_id} has no price by that edition: {problem}",
                        quote_id=quote_id,
                        problem=thaw(done.told) if done.told else done.problem or "",
                    )
                )
        request = {"repricing": row.id, "quotes": list(quotes)}
        operation = start_operation(session, context, client, "repricing_drafts", request, total=len(quotes))
        store(session, operation)
    return operation


def make_drafts(context: ServiceContext, lease: Lease, tell: Tell) -> None:
    """A revision of each quote chosen, once: which one it is stands beside the quote from the same moment on."""
    client, chosen = lease.client, lease.request["quotes"]
    with context.reading() as session:
        row = _find(session, client, lease.request["repricing"])
    book = context.catalogue.get(client.organisation, row.pricebook, row.edition)
    for at, quote_id in enumerate(chosen, start=1):
        with context.reading() as session:
            old = find_quote(session, client, quote_id)
            if session.get_one(DONE, (row.id, quote_id)).draft_id is not None:
                continue
        offer = context.calculate(calculations.reprice_offer, old.offer, book, row.priced_on)
        choices = {**old.choices, "pricebook": book.id, "edition": book.edition, "priced_on": str(row.priced_on)}
        pricing = PricingRequest(offer.estimate.job, old.job_document, offer.estimate.choices, choices)
        with context.writing() as session:
            lock_number(session, client, quote_id)
            hold_on(session, context, lease, at, len(chosen))

            def note(session: Session, made: Any, quote_id: str = quote_id) -> None:  # noqa: ANN401
                session.get_one(DONE, (row.id, quote_id)).draft_id = made.card.id

            keep_revision(session, context, client, Revision(old, pricing, offer), note)
    with context.writing() as session:
        end_operation(session, context, lease, f"/v1/repricings/{row.id}")


def _open_quotes(row: tables.RepricingRow, today: date) -> Select[str, bytes]:
    """Those that were there when it was asked for: of the states asked for and still valid, or those named."""
    statement = select(QUOTE.id, QUOTE.offer).where(
        QUOTE.organisation_id == row.organisation_id, QUOTE.created_at <= row.created_at
    )
    named = row.request["quotes"]
    if named:
        return statement.where(QUOTE.id.in_(named)).order_by(QUOTE.id)
    return statement.where(QUOTE.state.in_(row.request["states"]), QUOTE.valid_until >= today).order_by(QUOTE.id)


def _calculated(context: ServiceContext, offers: Sequence[bytes], book: Book, on: date) -> list[RepricedTotals]:
    """In two halves side by side, where there are processes for it."""
    halves = [offers[: len(offers) // 2], offers[len(offers) // 2 :]]
    with ThreadPoolExecutor(len(halves)) as threads:
        under_way = [
            threads.submit(copy_context().run, context.calculate, calculations.reprice_all, half, book, on)
            for half in halves
            if half
        ]
        return [each for half in under_way for each in half.result()]


def _done(row: tables.RepricingRow, quote_id: str, found: RepricedTotals) -> tables.RepricedQuoteRow:
    return DONE(
        repricing_id=row.id,
        quote_id=quote_id,
        organisation_id=row.organisation_id,
        plan=found.plan,
        currency=found.currency,
        old_total=found.old_total,
        new_total=found.new_total,
        old_cost=found.old_cost,
        new_cost=found.new_cost,
        causes={name: str(amount) for name, amount in found.causes},
        problem=found.problem and str(found.problem)[:1_000],
        told=freeze(found.problem) if found.problem else None,
    )


def _quote(done: tables.RepricedQuoteRow, number: str, revision: int, state: str) -> RepricedQuote:
    return RepricedQuote(
        quote_id=done.quote_id,
        number=number,
        revision=revision,
        state=state,
        plan=done.plan,
        currency=done.currency,
        old_total=done.old_total,
        new_total=done.new_total,
        old_cost=done.old_cost,
        new_cost=done.new_cost,
        causes=tuple((name, Decimal(amount)) for name, amount in done.causes.items()),
        problem=thaw(done.told) if done.told else done.problem or "",
        draft_id=done.draft_id,
    )


def _find(session: Session, client: Client, repricing_id: str) -> tables.RepricingRow:
    row = session.get(ROW, repricing_id)
    if row is None or row.organisation_id != client.organisation:
        raise NotFound(say("no such re-pricing"))
    return row
