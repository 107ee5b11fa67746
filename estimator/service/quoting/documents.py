"""The documents of a quote. Once a quote is issued, what was handed out first is handed out for ever."""

from __future__ import annotations

from dataclasses import replace

from sqlalchemy.exc import IntegrityError

from estimator.comparison.records import Offer
from estimator.documents.header import Edition
from estimator.documents.paper import QuoteForm
from estimator.documents.papers import QUOTE_FORMS
from estimator.service.context import Client, ServiceContext
from estimator.service.quoting.stored_quotes import StoredQuote, WholeQuote, cards, find_quote, whole
from estimator.storage import tables


def quote_document(
    context: ServiceContext, client: Client, quote_id: str, name: str, edition: Edition
) -> tuple[str, bytes]:
    """A document's file name and bytes. Errors: NotFound."""
    form = QUOTE_FORMS[name]
    kept_edition = edition if form.editions else "customer"
    kind = name
    with context.reading() as session:
        row = find_quote(session, client, quote_id)
        card = cards(session, [row], context.today())[0]
        if row.accepted_option and form.as_built:
            kind = f"{name}.{row.accepted_option}"
        kept = session.get(tables.QuoteDocumentRow, (row.id, kind, kept_edition))
        if kept is not None:
            return _file_name(card, form), kept.content
        quote = whole(session, row, context.today())
    content = form.write(_shown(quote, form), quote.header, edition)
    if row.state != "draft":
        content = _keep(context, quote_id, (kind, kept_edition), content)
    return _file_name(card, form), content


def _shown(quote: WholeQuote, form: QuoteForm) -> Offer:
    """The offer; on papers of what is built, the option that was accepted in its place."""
    if not form.as_built:
        return quote.offer
    return replace(quote.offer, estimate=quote.offer.taken(quote.card.accepted_option))


def _keep(context: ServiceContext, quote_id: str, what: tuple[str, str], content: bytes) -> bytes:
    """Keep what is handed out first; where somebody was quicker, theirs is the first."""
    try:
        with context.writing() as session:
            kept = session.get(tables.QuoteDocumentRow, (quote_id, *what))
            if kept is not None:
                return kept.content
            session.add(
                tables.QuoteDocumentRow(
                    quote_id=quote_id, kind=what[0], edition=what[1], content=content, created_at=context.clock()
                )
            )
    except IntegrityError:
        with context.reading() as session:
            return session.get_one(tables.QuoteDocumentRow, (quote_id, *what)).content
    return content


def _file_name(card: StoredQuote, form: QuoteForm) -> str:
    return f"{card.number}-{card.revision}-{form.file}"
