"""The tables of order lists, and which quotes each orders."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.tables.base import Base, Id, Word
from estimator.storage.types import Json


class OrderListRow(Base):
    """An order list over accepted quotes, kept whole; ``summary`` is what lists show of it.

    Lists kept before 2026-12 have no summary until one is shown.
    """

    __tablename__ = "order_list"
    __table_args__ = (Index(None, "organisation_id", "id"),)

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    number: Mapped[str] = mapped_column(Word)
    lists: Mapped[bytes]
    request: Mapped[Any] = mapped_column(Json)
    summary: Mapped[Any | None] = mapped_column(Json)
    version: Mapped[int]
    created_at: Mapped[datetime]


class OrderedQuoteRow(Base):
    """Which quote was ordered with which list; a quote is ordered once."""

    __tablename__ = "ordered_quote"

    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"), primary_key=True)
    order_list_id: Mapped[str] = mapped_column(ForeignKey("order_list.id"), index=True)
