"""What lists of quotes show and search, in rows of a few hundred bytes: a quote's own row carries its whole offer.

A listing is written whenever a quote's row is, in the same transaction.
"""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, ForeignKey, Index, String, delete, event, insert
from sqlalchemy.orm import Mapped, Mapper, mapped_column

from estimator.storage.tables import Base, Id, QuoteRow, Word

LONGEST_WORDS = 1_200
SAME = (
    "organisation_id", "number", "revision", "state", "currency", "total", "errors", "dated", "valid_until",
    "answered_at", "prepared_by",
)  # fmt: skip


class QuoteListingRow(Base):
    """One revision of a quote in a list; ``words`` holds what a search looks through, in small letters."""

    __tablename__ = "quote_listing"
    __table_args__ = (
        Index(None, "organisation_id", "quote_id"),
        Index(None, "organisation_id", "state", "valid_until"),
        Index(None, "organisation_id", "valid_until"),
        Index(None, "organisation_id", "total"),
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


def listing_of(quote: QuoteRow) -> dict[str, Any]:
    """The columns of a quote's listing."""
    job = quote.job_document if isinstance(quote.job_document, dict) else {}
    customer = job.get("customer") or {}
    told = {"reference": job.get("reference"), "title": job.get("title"), "customer": customer.get("name")}
    texts = {name: str(value or "") for name, value in told.items()}
    words = " ".join((quote.number, *texts.values())).casefold()[:LONGEST_WORDS]
    return {"quote_id": quote.id, "words": words, **texts, **{name: getattr(quote, name) for name in SAME}}


def _keep_listing(_mapper: Mapper[QuoteRow], connection: Connection, quote: QuoteRow) -> None:
    table = QuoteListingRow.__table__
    connection.execute(delete(QuoteListingRow).where(table.c.quote_id == quote.id))
    connection.execute(insert(QuoteListingRow).values(listing_of(quote)))


event.listen(QuoteRow, "after_insert", _keep_listing)
event.listen(QuoteRow, "after_update", _keep_listing)
