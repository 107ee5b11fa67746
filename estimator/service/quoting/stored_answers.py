"""Answers kept beside a quote: what does not hang on the day is written once, and from then on read as bytes.

A kept part holds for one version of its quote and one version of the contract; where either has changed it is written
anew from the offer. The state hangs on the day, and ordering a quote changes nothing of it: state and order list are
looked up at every reading.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from sqlalchemy import Select, and_, bindparam, select
from sqlalchemy.exc import IntegrityError, OperationalError
from sqlalchemy.orm import Session

from estimator.documents.header import QuoteState
from estimator.errors import NotFound
from estimator.service.context import Client, ServiceContext, StoreResponse
from estimator.service.quoting.stored_quotes import StoredQuote, WholeQuote, find_quote, state_on, whole
from estimator.storage import tables

QUOTE = tables.QuoteRow
KEPT = tables.QuoteAnswerRow
_OF_CLIENT = and_(QUOTE.id == bindparam("id"), QUOTE.organisation_id == bindparam("organisation"))
STATE = select(QUOTE.version, QUOTE.state, QUOTE.valid_until).where(_OF_CLIENT)
TOLD = (QUOTE.version, QUOTE.state, QUOTE.valid_until, tables.OrderedQuoteRow.order_list_id, KEPT.part, KEPT.content)


@cache
def _answer_of(parts: int) -> Select[*tuple[Any, ...]]:
    """What hangs on the day, beside each of so many parts that is kept, in one look-up."""
    names = [bindparam(f"part_{at}") for at in range(parts)]
    of_form = and_(KEPT.costs == bindparam("costs"), KEPT.contract == bindparam("contract"))
    kept = and_(KEPT.quote_id == QUOTE.id, KEPT.part.in_(names), of_form, KEPT.version == QUOTE.version)
    ordered = tables.OrderedQuoteRow.quote_id == QUOTE.id
    return select(*TOLD).outerjoin(tables.OrderedQuoteRow, ordered).outerjoin(KEPT, kept).where(_OF_CLIENT)



@dataclass(frozen=True, slots=True)
class AnswerForm:
    """How parts of an answer are written: for whom, by which version of the contract, and by what."""

    costs: bool
    contract: str
    write: Callable[[WholeQuote, str], bytes]


@dataclass(frozen=True, slots=True)
class StoredAnswer:
    """What of a quote's answer hangs on the day, and the parts that do not."""

    version: int
    state: QuoteState
    order_list_id: str | None
    parts: Mapping[str, bytes]


def quote_version(context: ServiceContext, client: Client, quote_id: str) -> tuple[int, QuoteState]:
    """Version and state of a quote, without reading anything else of it. Errors: NotFound."""
    with context.looking_up() as connection:
        found = connection.execute(STATE, {"id": quote_id, "organisation": client.organisation}).one_or_none()
    if found is None:
        raise NotFound("no such quote")
    return found.version, state_on(found, context.today())


def quote_answer(
    context: ServiceContext, client: Client, quote_id: str, names: Sequence[str], form: AnswerForm
) -> StoredAnswer:
    """The parts asked for of a quote's answer; what is not kept yet is written and kept. Errors: NotFound."""
    asked = {"id": quote_id, "organisation": client.organisation, "costs": form.costs, "contract": form.contract}
    asked |= {f"part_{at}": name for at, name in enumerate(names)}
    with context.looking_up() as connection:
        rows = connection.execute(_answer_of(len(names)), asked).all()
    if not rows:
        raise NotFound("no such quote")
    kept = {row.part: row.content for row in rows if row.part is not None}
    if len(kept) < len(names):
        return _written(context, client, quote_id, names, form)
    state = state_on(rows[0], context.today())
    return StoredAnswer(rows[0].version, state, rows[0].order_list_id, {name: kept[name] for name in names})


@dataclass(frozen=True, slots=True)
class AnswersKept:
    """Writes parts of a quote's answer in the transaction that makes or changes it, for each kind of reader."""

    context: ServiceContext
    forms: tuple[AnswerForm, ...]
    names: tuple[str, ...]

    def before(self, store: StoreResponse) -> StoreResponse:
        """Keep the parts, then store the response."""

        def both(session: Session, made: WholeQuote | StoredQuote) -> None:
            quote = made if isinstance(made, WholeQuote) else self._whole(session, made)
            for form in self.forms:
                for name in self.names:
                    _keep(session, quote, form, (name, form.write(quote, name)))
            store(session, made)

        return both

    def _whole(self, session: Session, card: StoredQuote) -> WholeQuote:
        return whole(session, session.get_one(QUOTE, card.id), self.context.today())


def _keep(session: Session, quote: WholeQuote, form: AnswerForm, part: tuple[str, bytes]) -> None:
    card, (name, content) = quote.card, part
    kept = KEPT(quote_id=card.id, part=name, costs=form.costs, contract=form.contract, version=card.version)
    kept.content = content
    session.merge(kept)


def _written(
    context: ServiceContext, client: Client, quote_id: str, names: Sequence[str], form: AnswerForm
) -> StoredAnswer:
    with context.reading() as session:
        quote = whole(session, find_quote(session, client, quote_id), context.today())
    parts = {name: form.write(quote, name) for name in names}
    try:
        with context.writing() as session:
            for name, content in parts.items():
                _keep(session, quote, form, (name, content))
    except (IntegrityError, OperationalError):
        pass  # somebody else keeps the same, or the database is busy: the next reader keeps it
    return StoredAnswer(quote.card.version, quote.card.state, quote.card.order_list_id, parts)
