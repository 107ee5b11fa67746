"""The tables of re-pricings: one for each run, a row for each quote."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.tables.base import Base, Id, Word
from estimator.storage.types import Json


class RepricingRow(Base):
    """Open quotes against another edition: which edition and day, and whose quotes of which states."""

    __tablename__ = "repricing"
    __table_args__ = (Index(None, "organisation_id", "id"),)

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    operation_id: Mapped[str] = mapped_column(ForeignKey("operation.id"))
    pricebook: Mapped[str] = mapped_column(Word)
    edition: Mapped[str] = mapped_column(Word)
    priced_on: Mapped[date]
    request: Mapped[Any] = mapped_column(Json)
    asked_by: Mapped[str] = mapped_column(String(200))
    created_at: Mapped[datetime]


class RepricedQuoteRow(Base):
    """One quote of a re-pricing: totals and costs before and after, why they differ, and the draft made of it.

    ``told`` is the problem as a sentence, frozen, that every language can say.
    """

    __tablename__ = "repriced_quote"

    repricing_id: Mapped[str] = mapped_column(ForeignKey("repricing.id"), primary_key=True)
    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"), primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    plan: Mapped[str] = mapped_column(Word)
    currency: Mapped[str] = mapped_column(String(3))
    old_total: Mapped[Decimal]
    new_total: Mapped[Decimal | None]
    old_cost: Mapped[Decimal]
    new_cost: Mapped[Decimal | None]
    causes: Mapped[Any] = mapped_column(Json)
    problem: Mapped[str | None] = mapped_column(String(1000))
    told: Mapped[bytes | None]
    draft_id: Mapped[str | None] = mapped_column(ForeignKey("quote.id"))
