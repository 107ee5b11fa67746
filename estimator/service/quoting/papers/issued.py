"""The papers of an issued quote are written and kept soon after it is issued, so that nobody waits for them later.

The quotes whose papers are due are recorded in the transaction that issues one, or takes an option of it. A writer
puts the row off while it works, keeps paper by paper, and takes the row out at the end; where it stops without notice,
another goes on with those that are missing. A paper that is asked for before is written then, and kept: of two
that write the same one, the first one's bytes stand.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import cast

import structlog
from sqlalchemy import delete, select, update
from sqlalchemy.orm import Session

from estimator.comparison.records import Offer
from estimator.documents.papers import QUOTE_FORMS
from estimator.service.calculations import Tell, ignore
from estimator.service.context import ServiceContext
from estimator.service.quoting.papers.documents import PaperAsked, keep_paper, write_paper
from estimator.service.quoting.stored.quotes import StoredQuote, cards
from estimator.storage import tables
from estimator.storage.records.codec import thaw

DUE, KEPT, QUOTE = tables.DuePapersRow, tables.QuoteDocumentRow, tables.QuoteRow
PUT_OFF = timedelta(seconds=30)
"""How long after its last paper another may go on where a writer stopped."""
MOST_ATTEMPTS = 5
log = structlog.get_logger("estimator")


@dataclass(frozen=True, slots=True)
class DuePapers:
    """Papers that this process is to write: of which quote, as it was at which version."""

    quote_id: str
    version: int


def put_papers_down(session: Session, context: ServiceContext, row: tables.QuoteRow) -> None:
    """The papers of a quote are due, in the transaction that makes them so."""
    due = session.get(DUE, row.id) or DUE(quote_id=row.id)
    due.version, due.attempts, due.not_before = row.version, 0, context.clock()
    session.add(due)


def keep_next_papers(context: ServiceContext) -> bool:
    """Write and keep the papers of the quote that waits longest; false where none waits."""
    due = _taken(context)
    if due is None:
        return False
    with context.reading() as session:
        row = session.get_one(QUOTE, due.quote_id)
        card = cards(session, [row], context.today())[0]
        statement = select(KEPT.kind, KEPT.edition).where(KEPT.quote_id == row.id)
        there = {(kind, edition) for kind, edition in session.execute(statement)}
    for paper in context.on_paper(papers_of, row.offer, card.accepted_option):
        if paper.key(card) not in there:
            _write(context, due, (row.offer, card), paper)
            there.add(paper.key(card))
    with context.writing() as session:
        session.execute(delete(DUE).where(DUE.quote_id == due.quote_id, DUE.version == due.version))
    return True


def papers_of(kept: bytes, accepted: str | None, *, tell: Tell = ignore) -> list[PaperAsked]:
    """Every paper that a quote has: in both editions, and of each option until one is accepted."""
    letters = cast(Offer, thaw(kept)).letters
    options = (accepted,) if accepted else ("", *letters[1:])
    return [
        PaperAsked(form.name, edition, letter)
        for form in QUOTE_FORMS.values()
        for letter in (options if form.as_built else ("",))
        for edition in (("customer", "estimator") if form.editions else ("customer",))
    ]


def _taken(context: ServiceContext) -> DuePapers | None:
    now = context.clock()
    waiting = select(DUE).where(DUE.not_before <= now).order_by(DUE.not_before, DUE.quote_id).limit(1)
    with context.reading() as session:  # looked at first: a transaction that writes nothing holds nobody up
        if session.scalar(waiting) is None:
            return None
    with context.writing() as session:
        row = session.scalar(waiting.with_for_update(skip_locked=True))
        if row is None:
            return None
        if row.attempts >= MOST_ATTEMPTS:
            log.warning("papers given up", quote=row.quote_id, attempts=row.attempts)
            session.delete(row)
            return None
        row.attempts, row.not_before = row.attempts + 1, now + PUT_OFF
        return DuePapers(row.quote_id, row.version)


def _write(context: ServiceContext, due: DuePapers, of: tuple[bytes, StoredQuote], paper: PaperAsked) -> None:
    content = context.on_paper(write_paper, *of, paper)
    keep_paper(context, due.quote_id, paper.key(of[1]), content)
    still = update(DUE).where(DUE.quote_id == due.quote_id, DUE.version == due.version)
    with context.writing() as session:
        session.execute(still.values(not_before=context.clock() + PUT_OFF))
