"""The tables of jobs and quotes: what was asked, what was offered, its approvals and its papers."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ForeignKey, Index, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.tables.base import WHO_KINDS, Base, Id, WhoColumns, Word, one_of
from estimator.storage.types import Json

QUOTE_STATES = ("draft", "issued", "accepted", "declined", "expired", "superseded")


class JobRow(Base):
    """A job as it was posted; ``version`` is its ETag and the guard against lost updates."""

    __tablename__ = "job"
    __table_args__ = (UniqueConstraint("organisation_id", "reference"), Index(None, "organisation_id", "id"))

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    reference: Mapped[str] = mapped_column(String(200))
    title: Mapped[str] = mapped_column(String(400))
    document: Mapped[Any] = mapped_column(Json)
    version: Mapped[int]
    created_at: Mapped[datetime]
    updated_at: Mapped[datetime]


class QuoteRow(Base):
    """One revision of a quote: the inputs, the edition it stands on, and the whole offer."""

    __tablename__ = "quote"
    __table_args__ = (
        UniqueConstraint("organisation_id", "number", "revision"),
        Index(None, "organisation_id", "id"),
        Index(None, "organisation_id", "state"),
        one_of("state", QUOTE_STATES),
    )

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), index=True)
    number: Mapped[str] = mapped_column(Word)
    revision: Mapped[int]
    revises_id: Mapped[str | None] = mapped_column(ForeignKey("quote.id"))
    state: Mapped[str] = mapped_column(Word)
    version: Mapped[int]
    pricebook: Mapped[str] = mapped_column(Word)
    edition: Mapped[str] = mapped_column(Word)
    sha256: Mapped[str] = mapped_column(String(64))
    currency: Mapped[str] = mapped_column(String(3))
    total: Mapped[Decimal]
    errors: Mapped[int]
    job_document: Mapped[Any] = mapped_column(Json)
    choices: Mapped[Any] = mapped_column(Json)
    offer: Mapped[bytes]
    prepared_by: Mapped[str] = mapped_column(String(200))
    dated: Mapped[date]
    valid_until: Mapped[date]
    created_at: Mapped[datetime]
    updated_at: Mapped[datetime]
    issued_at: Mapped[datetime | None]
    answered_at: Mapped[datetime | None]
    accepted_option: Mapped[str | None] = mapped_column(Word)
    prepared_by_id: Mapped[str | None] = mapped_column(Id)
    prepared_role: Mapped[str | None] = mapped_column(Word)
    needs_approval: Mapped[bool] = mapped_column(default=False)
    expiring_told_at: Mapped[datetime | None]


class ApprovalRow(WhoColumns, Base):
    """A second person's approval of a quote beyond its preparer's limits."""

    __tablename__ = "approval"
    __table_args__ = (one_of("who_kind", WHO_KINDS),)

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"), index=True)
    reason: Mapped[str] = mapped_column(String(1000))
    at: Mapped[datetime]


class QuoteDocumentRow(Base):
    """A document of an issued quote as it was first handed out: the same bytes always."""

    __tablename__ = "quote_document"

    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"), primary_key=True)
    kind: Mapped[str] = mapped_column(Word, primary_key=True)
    edition: Mapped[str] = mapped_column(Word, primary_key=True)
    content: Mapped[bytes]
    created_at: Mapped[datetime]


class DuePapersRow(Base):
    """An issued quote whose papers are still to be kept; as it was at ``version`` when they became due.

    Whoever writes them puts ``not_before`` off, so that another goes on where this one stops without notice.
    """

    __tablename__ = "due_papers"

    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"), primary_key=True)
    version: Mapped[int]
    attempts: Mapped[int]
    not_before: Mapped[datetime] = mapped_column(index=True)


class QuoteCostsRow(Base):
    """What a quote's parts cost the house by its edition: for each its number, how many are ordered, and its unit cost.

    What another edition does to every open quote is reckoned from these rows, without reading an offer.
    """

    __tablename__ = "quote_costs"
    __table_args__ = (Index(None, "organisation_id", "pricebook", "edition"),)

    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"), primary_key=True)
    organisation_id: Mapped[str] = mapped_column(Id)
    pricebook: Mapped[str] = mapped_column(Word)
    edition: Mapped[str] = mapped_column(Word)
    lines: Mapped[Any] = mapped_column(Json)


class QuoteAnswerRow(Base):
    """A part of a quote's answer as bytes: it holds for one version of the quote and one version of the contract."""

    __tablename__ = "quote_answer"

    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"), primary_key=True)
    part: Mapped[str] = mapped_column(Word, primary_key=True)
    costs: Mapped[bool] = mapped_column(primary_key=True)
    contract: Mapped[str] = mapped_column(Word)
    version: Mapped[int]
    content: Mapped[bytes]
