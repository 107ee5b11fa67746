"""The documents of a quote. Once a quote is issued, what was handed out first is always handed out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import cast

from sqlalchemy.exc import IntegrityError

from estimator.comparison.records import FIRST, Offer
from estimator.documents.header import Edition, QuoteHeader
from estimator.documents.paper import QuoteForm
from estimator.documents.papers import QUOTE_FORMS
from estimator.errors import Fault, NotAllowed, Refused
from estimator.sentences import Sentence, say
from estimator.service.access.scopes import may
from estimator.service.calculations import Tell, ignore
from estimator.service.context import Client, ServiceContext
from estimator.service.quoting.stored.quotes import StoredQuote, WholeQuote, cards, find_quote, whole
from estimator.storage import tables
from estimator.storage.records.codec import thaw


class OptionAbsent(Refused):
    """A paper of an option that the quote does not have."""


@dataclass(frozen=True, slots=True)
class PaperAsked:
    """A paper of a quote: its form by name, for whom, and of which option (empty for the quoted one)."""

    name: str
    edition: Edition
    letter: str = ""

    @property
    def form(self) -> QuoteForm:
        """The form."""
        return QUOTE_FORMS[self.name]

    def key(self, card: StoredQuote) -> tuple[str, str]:
        """What its bytes are kept under: the kind, with the option once one was accepted, and the edition."""
        first = self.letter == FIRST and card.accepted_option is None
        kind = f"{self.name}.{self.letter}" if self.letter and not first else self.name
        return kind, self.edition if self.form.editions else "customer"

    def file_name(self, card: StoredQuote) -> str:
        """What the file is called where it is handed out."""
        return "-".join(part for part in (card.number, str(card.revision), self.letter, self.form.file) if part)


def edition_seen(client: Client, wanted: Edition | None) -> Edition:
    """Which edition a client gets: the one wanted, else that with costs for those who see them. Errors: NotAllowed."""
    sees_costs = may(client, "costs:read")
    if wanted == "estimator" and not sees_costs:
        raise NotAllowed(say("the role {role} sees the customer's edition only", role=Sentence(client.role)))
    return wanted or ("estimator" if sees_costs else "customer")


def quote_document(
    context: ServiceContext, client: Client, quote_id: str, name: str, edition: Edition, option: str | None = None
) -> tuple[str, bytes]:
    """A document's file name and bytes; what is not kept is written on paper's own processes, where there are any.

    Papers of one option show the one asked for, else the one that was accepted, else the quoted one.
    Errors: NotFound; OptionAbsent for an option that the quote does not have; PoolFull where it would take too long.
    """
    form = QUOTE_FORMS[name]
    with context.reading() as session:
        row = find_quote(session, client, quote_id)
        card = cards(session, [row], context.today())[0]
        quote = whole(session, row, context.today()) if option else None
        letter = _letter(quote, form, option) or (card.accepted_option or "" if form.as_built else "")
        paper = PaperAsked(name, edition, letter)
        kept = session.get(tables.QuoteDocumentRow, (row.id, *paper.key(card)))
        if kept is not None:
            return paper.file_name(card), kept.content
    content = context.on_paper(write_paper, row.offer, card, paper)
    if row.state != "draft":
        content = keep_paper(context, quote_id, paper.key(card), content)
    return paper.file_name(card), content


def name_of_paper(context: ServiceContext, client: Client, quote_id: str, paper: PaperAsked) -> str:
    """What a paper's file is called, where an option is asked for by its letter. Errors: NotFound."""
    with context.reading() as session:
        card = cards(session, [find_quote(session, client, quote_id)], context.today())[0]
    return paper.file_name(card)


def write_paper(kept: bytes, card: StoredQuote, paper: PaperAsked, *, tell: Tell = ignore) -> bytes:
    """A paper of a kept offer, as a process beside the service writes it."""
    quote = WholeQuote(card, cast(Offer, thaw(kept)))
    return paper.form.write(*shown(quote, paper.form, paper.letter), paper.edition)


def _letter(quote: WholeQuote | None, form: QuoteForm, option: str | None) -> str:
    """The option asked for; empty for none. Refuses (OptionAbsent) what there is not."""
    if quote is None or option is None:
        return ""
    letters = quote.offer.letters
    if not form.as_built:
        text = say("{file} shows every option at once", file=form.file)
        raise OptionAbsent(text, [Fault("/option", text, say("no option"))])
    if option not in letters:
        text = say("the quote has no option {option}", option=option)
        raise OptionAbsent(text, [Fault("/option", text, ", ".join(letters))])
    return option


def shown(quote: WholeQuote, form: QuoteForm, letter: str) -> tuple[Offer, QuoteHeader]:
    """Offer and head of a paper; on papers of one option that option in the estimate's place, and its letter."""
    offer, header = quote.offer, quote.header
    if not form.as_built or not offer.options:
        return offer, header
    return replace(offer, estimate=offer.taken(letter)), replace(header, option=letter or FIRST)


def keep_paper(context: ServiceContext, quote_id: str, what: tuple[str, str], content: bytes) -> bytes:
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
