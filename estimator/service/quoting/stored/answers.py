"""Answers kept beside a quote: what does not depend on the day is written once, and from then on read as bytes.

A kept part holds for one version of its quote and one version of the contract. The summary is kept by whatever makes or
changes a quote, in the same transaction; other parts when they are first asked for. Where the contract has changed they
are written again from the offer. The state depends on the day, and ordering a quote changes none of it: state and order
list are looked up at every reading.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, cast

from sqlalchemy import BindParameter, Select, and_, bindparam, select, update
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.exc import OperationalError
from sqlalchemy.orm import Session

from estimator.comparison.records import Offer
from estimator.documents.header import QuoteState
from estimator.errors import NotFound
from estimator.sentences import say
from estimator.service.context import AnswerForm, Client, ServiceContext
from estimator.service.quoting.stored.costs import keep_costs
from estimator.service.quoting.stored.quotes import StoredQuote, WholeQuote, cards, find_quote, state_on, whole
from estimator.storage import tables
from estimator.storage.records.codec import thaw

SUMMARY = "summary"
"""The part that is kept from the beginning: what stands beside the card of a quote whatever is asked for."""
QUOTE = tables.QuoteRow
KEPT = tables.QuoteAnswerRow
_INSERTS: Mapping[str, Any] = {"sqlite": sqlite.insert, "postgresql": postgresql.insert}
_OF_CLIENT = and_(QUOTE.id == bindparam("id"), QUOTE.organisation_id == bindparam("organisation"))
STATE = select(QUOTE.version, QUOTE.state, QUOTE.valid_until).where(_OF_CLIENT)
TOLD = (QUOTE.version, QUOTE.state, QUOTE.valid_until, tables.OrderedQuoteRow.order_list_id, KEPT.part, KEPT.content)


@cache
def _answer_of(parts: int) -> Select[*tuple[Any, ...]]:
    """What depends on the day, beside each of so many parts that is kept, in one look-up."""
    names: list[BindParameter[str]] = [bindparam(f"part_{at}") for at in range(parts)]
    of_form = and_(KEPT.costs == bindparam("costs"), KEPT.contract == bindparam("contract"))
    kept = and_(KEPT.quote_id == QUOTE.id, KEPT.part.in_(names), of_form, KEPT.version == QUOTE.version)
    ordered = tables.OrderedQuoteRow.quote_id == QUOTE.id
    return select(*TOLD).outerjoin(tables.OrderedQuoteRow, ordered).outerjoin(KEPT, kept).where(_OF_CLIENT)


@dataclass(frozen=True, slots=True)
class StoredAnswer:
    """What of a quote's answer depends on the day, and the parts that do not."""

    version: int
    state: QuoteState
    order_list_id: str | None
    parts: Mapping[str, bytes]


def quote_version(context: ServiceContext, client: Client, quote_id: str) -> tuple[int, QuoteState]:
    """Version and state of a quote, without reading anything else of it. Errors: NotFound."""
    with context.looking_up() as connection:
        found = connection.execute(STATE, {"id": quote_id, "organisation": client.organisation}).one_or_none()
    if found is None:
        raise NotFound(say("no such quote"))
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
        raise NotFound(say("no such quote"))
    kept = {row.part: row.content for row in rows if row.part is not None}
    if len(kept) < len(names):
        return written_now(context, client, quote_id, names, form)
    state = state_on(rows[0], context.today())
    return StoredAnswer(rows[0].version, state, rows[0].order_list_id, {name: kept[name] for name in names})


def keep_written(session: Session, context: ServiceContext, organisation: str, quote: WholeQuote) -> None:
    """Keep the summary for every kind of reader and the costs of parts, in the transaction that makes an offer."""
    keep_costs(session, quote.card.id, organisation, quote.offer)
    for form in context.answers:
        keep_part(session, quote.card, form, (SUMMARY, form.write(quote, SUMMARY)))


def keep_renewed(session: Session, context: ServiceContext, row: tables.QuoteRow, before: int) -> None:
    """The same where the card alone has changed since version ``before``: nothing is thawed, all parts are kept on."""
    card = cards(session, [row], context.today())[0]
    for form in context.answers:
        same = {"quote_id": card.id, "costs": form.costs, "contract": form.contract, "version": before}
        of_form = [getattr(KEPT, name) == value for name, value in same.items()]
        kept = session.scalar(select(KEPT.content).where(*of_form, KEPT.part == SUMMARY))
        if kept is None:
            content = form.write(WholeQuote(card, cast(Offer, thaw(row.offer))), SUMMARY)
        else:
            content = form.renew(card, kept)
            session.execute(update(KEPT).where(*of_form).values(version=card.version))
        keep_part(session, card, form, (SUMMARY, content))


def keep_part(session: Session, card: StoredQuote, form: AnswerForm, part: tuple[str, bytes]) -> None:
    """Keep a part in the place of an older one; what another has kept of a newer version stands."""
    insert = _INSERTS[session.get_bind().dialect.name]
    values = {"quote_id": card.id, "part": part[0], "costs": form.costs, "contract": form.contract}
    values |= {"version": card.version, "content": part[1]}
    new = insert(KEPT).values(values)
    replaced = {name: getattr(new.excluded, name) for name in ("contract", "version", "content")}
    keys = ["quote_id", "part", "costs"]
    session.execute(
        new.on_conflict_do_update(index_elements=keys, set_=replaced, where=KEPT.version <= new.excluded.version)
    )


def written_now(
    context: ServiceContext, client: Client, quote_id: str, names: Sequence[str], form: AnswerForm
) -> StoredAnswer:
    """Parts of an answer written from the quote and kept for later; given all the same where keeping has to wait."""
    with context.reading() as session:
        quote = whole(session, find_quote(session, client, quote_id), context.today())
    parts = {name: form.write(quote, name) for name in names}
    try:
        with context.writing() as session:
            for name, content in parts.items():
                keep_part(session, quote.card, form, (name, content))
    except OperationalError:
        pass  # the database is busy: the next reader keeps it
    return StoredAnswer(quote.card.version, quote.card.state, quote.card.order_list_id, parts)
