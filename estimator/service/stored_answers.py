"""Answers kept beside a quote: what does not hang on the day is written once, and from then on read as bytes.

A kept part holds for one version of its quote and one version of the contract; where either has changed it is written
anew from the offer. The card (state, dates, order list) hangs on the day and is made at every reading.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Row, and_, bindparam, select
from sqlalchemy.exc import IntegrityError, OperationalError

from estimator.errors import NotFound
from estimator.service.context import Client, ServiceContext
from estimator.service.stored_quotes import StoredQuote, WholeQuote, find_quote, state_on, whole
from estimator.storage import tables

QUOTE = tables.QuoteRow
KEPT = tables.QuoteAnswerRow
CARD = tuple(
    getattr(QUOTE, name)
    for name in (
        "id", "job_id", "number", "revision", "revises_id", "state", "version", "pricebook", "edition", "sha256",
        "currency", "total", "errors", "choices", "prepared_by", "dated", "valid_until", "created_at", "updated_at",
        "issued_at", "answered_at",
    )
)  # fmt: skip

_OF_CLIENT = and_(QUOTE.id == bindparam("id"), QUOTE.organisation_id == bindparam("organisation"))
STATE = select(QUOTE.version, QUOTE.state, QUOTE.valid_until).where(_OF_CLIENT)
ANSWER = (
    select(*CARD, tables.OrderedQuoteRow.order_list_id, KEPT.part, KEPT.content)
    .outerjoin(tables.OrderedQuoteRow, tables.OrderedQuoteRow.quote_id == QUOTE.id)
    .outerjoin(
        KEPT,
        and_(
            KEPT.quote_id == QUOTE.id,
            KEPT.part.in_(bindparam("names", expanding=True)),
            KEPT.costs == bindparam("costs"),
            KEPT.contract == bindparam("contract"),
            KEPT.version == QUOTE.version,
        ),
    )
    .where(_OF_CLIENT)
)
"""The card of a quote beside each part that is kept, in one look-up."""


@dataclass(frozen=True, slots=True)
class AnswerForm:
    """How parts of an answer are written: for whom, by which version of the contract, and by what."""

    costs: bool
    contract: str
    write: Callable[[WholeQuote, str], bytes]


@dataclass(frozen=True, slots=True)
class StoredAnswer:
    """A quote's card as it is today, and the parts of its answer."""

    card: StoredQuote
    parts: Mapping[str, bytes]


def quote_version(context: ServiceContext, client: Client, quote_id: str) -> tuple[int, str]:
    """Version and state of a quote, without reading anything else of it. Errors: NotFound."""
    with context.looking_up() as connection:
        found = connection.execute(STATE, {"id": quote_id, "organisation": client.organisation}).one_or_none()
    if found is None:
        raise NotFound("no such quote")
    return found.version, state_on(found, context.today())


def quote_answer(
    context: ServiceContext, client: Client, quote_id: str, names: Sequence[str], form: AnswerForm
) -> StoredAnswer:
    """A quote's card and the parts asked for; what is not kept yet is written and kept. Errors: NotFound."""
    asked = {"id": quote_id, "organisation": client.organisation, "names": list(names)}
    with context.looking_up() as connection:
        rows = connection.execute(ANSWER, {**asked, "costs": form.costs, "contract": form.contract}).all()
    if not rows:
        raise NotFound("no such quote")
    kept = {row.part: row.content for row in rows if row.part is not None}
    if len(kept) < len(names):
        return _written(context, client, quote_id, names, form)
    return StoredAnswer(_card(context, rows[0]), {name: kept[name] for name in names})


def _card(context: ServiceContext, row: Row[*tuple[Any, ...]]) -> StoredQuote:
    columns = {column.key: getattr(row, column.key) for column in CARD}
    columns |= {"state": state_on(row, context.today()), "order_list_id": row.order_list_id, "job_document": None}
    return StoredQuote(**columns)


def _written(
    context: ServiceContext, client: Client, quote_id: str, names: Sequence[str], form: AnswerForm
) -> StoredAnswer:
    with context.reading() as session:
        quote = whole(session, find_quote(session, client, quote_id), context.today())
    parts = {name: form.write(quote, name) for name in names}
    try:
        with context.writing() as session:
            for name, content in parts.items():
                session.merge(
                    KEPT(
                        quote_id=quote.card.id,
                        part=name,
                        costs=form.costs,
                        contract=form.contract,
                        version=quote.card.version,
                        content=content,
                    )
                )
    except (IntegrityError, OperationalError):
        pass  # somebody else keeps the same, or the database is busy: the next reader keeps it
    return StoredAnswer(quote.card, parts)
