"""The documents of a quote. Once a quote is issued, what was handed out first is handed out for ever."""

from __future__ import annotations

from dataclasses import replace

from sqlalchemy.exc import IntegrityError

from estimator.comparison.records import FIRST, Offer
from estimator.documents.header import Edition, QuoteHeader
from estimator.documents.paper import QuoteForm
from estimator.documents.papers import QUOTE_FORMS
from estimator.errors import Fault, Refused
from estimator.service.context import Client, ServiceContext
from estimator.service.quoting.stored_quotes import StoredQuote, WholeQuote, cards, find_quote, whole
from estimator.storage import tables


class OptionAbsent(Refused):
    """A paper of an option that the quote does not have."""


def quote_document(
    context: ServiceContext, client: Client, quote_id: str, name: str, edition: Edition, option: str | None = None
) -> tuple[str, bytes]:
    """A document's file name and bytes.

    Papers of one option show the one asked for, else the one that was accepted, else the quoted one.
    Errors: NotFound; OptionAbsent for an option that the quote does not have.
    """
    form = QUOTE_FORMS[name]
    kept_edition = edition if form.editions else "customer"
    with context.reading() as session:
        row = find_quote(session, client, quote_id)
        card = cards(session, [row], context.today())[0]
        quote = whole(session, row, context.today()) if option else None
        letter = _letter(quote, form, option) or (card.accepted_option or "" if form.as_built else "")
        first = letter == FIRST and card.accepted_option is None
        kind = f"{name}.{letter}" if letter and not first else name
        kept = session.get(tables.QuoteDocumentRow, (row.id, kind, kept_edition))
        if kept is not None:
            return _file_name(card, form, letter), kept.content
        quote = quote or whole(session, row, context.today())
    content = form.write(*shown(quote, form, letter), edition)
    if row.state != "draft":
        content = _keep(context, quote_id, (kind, kept_edition), content)
    return _file_name(card, form, letter), content


def _letter(quote: WholeQuote | None, form: QuoteForm, option: str | None) -> str:
    """The option asked for; empty for none. Refuses (OptionAbsent) what there is not."""
    if quote is None or option is None:
        return ""
    letters = quote.offer.letters
    if not form.as_built:
        text = f"{form.file} shows every option at once"
        raise OptionAbsent(text, [Fault("/option", text, "no option")])
    if option not in letters:
        text = f"the quote has no option {option}"
        raise OptionAbsent(text, [Fault("/option", text, ", ".join(letters))])
    return option


def shown(quote: WholeQuote, form: QuoteForm, letter: str) -> tuple[Offer, QuoteHeader]:
    """Offer and head of a paper; on papers of one option that option in the estimate's place, and its letter."""
    offer, header = quote.offer, quote.header
    if not form.as_built or not offer.options:
        return offer, header
    return replace(offer, estimate=offer.taken(letter)), replace(header, option=letter or FIRST)


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


def _file_name(card: StoredQuote, form: QuoteForm, letter: str) -> str:
    return "-".join(part for part in (card.number, str(card.revision), letter, form.file) if part)
