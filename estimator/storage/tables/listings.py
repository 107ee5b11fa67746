"""What lists of quotes show and search, in rows of a few hundred bytes: a quote's own row carries its whole offer.

A listing is written whenever a quote's row is, and when a quote is ordered, in the same transaction.
"""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, ForeignKey, Index, String, delete, event, insert, select, update
from sqlalchemy.orm import Mapped, Mapper, mapped_column

from estimator.storage.tables.base import Base, Id, Word
from estimator.storage.tables.orders import OrderedQuoteRow
from estimator.storage.tables.quotes import QuoteRow

LONGEST_WORDS = 1_200
SAME = (
    "organisation_id", "number", "revision", "state", "currency", "total", "errors", "dated", "valid_until",
    "answered_at", "prepared_by",
)  # fmt: skip


class QuoteListingRow(Base):
    """One revision of a quote in a list; ``words`` holds what a search looks through, in small letters.

    ``waits_for`` names what somebody has to do with it, whatever the day, and ``waits_on`` the day by which those that
    wait for the same are put in order: the end of validity, or the day of the answer.
    """

    __tablename__ = "quote_listing"
    __table_args__ = (
        Index(None, "organisation_id", "quote_id"),
        Index(None, "organisation_id", "state", "valid_until"),
        Index(None, "organisation_id", "valid_until"),
        Index(None, "organisation_id", "total"),
        Index(None, "organisation_id", "state", "quote_id"),
        Index(None, "organisation_id", "state", "total", "quote_id"),
        Index(None, "organisation_id", "waits_for", "waits_on"),
    )

    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"), primary_key=True)
    organisation_id: Mapped[str] = mapped_column(Id)
    number: Mapped[str] = mapped_column(Word)
    revision: Mapped[int]
    state: Mapped[str] = mapped_column(Word)
    reference: Mapped[str] = mapped_column(String(200))
    title: Mapped[str] = mapped_column(String(400))
    customer: Mapped[str] = mapped_column(String(200))
    words: Mapped[str] = mapped_column(String(LONGEST_WORDS))
    currency: Mapped[str] = mapped_column(String(3))
    total: Mapped[Decimal]
    errors: Mapped[int]
    dated: Mapped[date]
    valid_until: Mapped[date]
    answered_at: Mapped[datetime | None]
    prepared_by: Mapped[str] = mapped_column(String(200))
    waits_for: Mapped[str | None] = mapped_column(Word)
    waits_on: Mapped[date | None]


def waiting(quote: QuoteRow, *, ordered: bool) -> tuple[str | None, date | None]:
    """What a quote waits for, and its day: corrected checks, an answer, an order, or a word with who declined it."""
    if quote.state == "draft" and quote.errors:
        return "failing", quote.valid_until
    if quote.state == "issued":
        return "ending", quote.valid_until
    if quote.state == "accepted" and not ordered:
        return "to_order", quote.valid_until
    if quote.state == "declined" and quote.answered_at is not None:
        return "declined", quote.answered_at.date()
    return None, None


def listing_of(quote: QuoteRow, *, ordered: bool = False) -> dict[str, Any]:
    """The columns of a quote's listing."""
    job = quote.job_document if isinstance(quote.job_document, dict) else {}
    customer = job.get("customer") or {}
    told = {"reference": job.get("reference"), "title": job.get("title"), "customer": customer.get("name")}
    texts = {name: str(value or "") for name, value in told.items()}
    words = " ".join((quote.number, *texts.values())).casefold()[:LONGEST_WORDS]
    waits_for, waits_on = waiting(quote, ordered=ordered)
    same = {name: getattr(quote, name) for name in SAME}
    return {"quote_id": quote.id, "words": words, **texts, **same, "waits_for": waits_for, "waits_on": waits_on}


def _keep_listing(_mapper: Mapper[QuoteRow], connection: Connection, quote: QuoteRow) -> None:
    of_quote = QuoteListingRow.__table__.c.quote_id == quote.id
    ordered = select(OrderedQuoteRow.quote_id).where(OrderedQuoteRow.quote_id == quote.id)
    is_ordered = quote.state == "accepted" and connection.execute(ordered).first() is not None
    connection.execute(delete(QuoteListingRow).where(of_quote))
    connection.execute(insert(QuoteListingRow).values(listing_of(quote, ordered=is_ordered)))


def _waits_no_more(_mapper: Mapper[OrderedQuoteRow], connection: Connection, ordered: OrderedQuoteRow) -> None:
    of_quote = QuoteListingRow.__table__.c.quote_id == ordered.quote_id
    connection.execute(update(QuoteListingRow).where(of_quote).values(waits_for=None, waits_on=None))


event.listen(QuoteRow, "after_insert", _keep_listing)
event.listen(QuoteRow, "after_update", _keep_listing)
event.listen(OrderedQuoteRow, "after_insert", _waits_no_more)
