"""The tables of editions: those sent in, those used, where each stands in a house, and columns of suppliers' lists."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from sqlalchemy import ForeignKey, String
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.tables.base import Base, Id, Word, one_of
from estimator.storage.types import Json

STANDINGS = ("waiting", "approved", "withdrawn")


class EditionStandingRow(Base):
    """Where an edition stands for an organisation; one without a row is approved."""

    __tablename__ = "edition_standing"
    __table_args__ = (one_of("standing", STANDINGS),)

    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), primary_key=True)
    pricebook: Mapped[str] = mapped_column(Word, primary_key=True)
    edition: Mapped[str] = mapped_column(Word, primary_key=True)
    standing: Mapped[str] = mapped_column(Word)
    put_in_by: Mapped[str | None] = mapped_column(Id)
    decided_by: Mapped[str | None] = mapped_column(String(200))
    decided_at: Mapped[datetime | None]
    reason: Mapped[str] = mapped_column(String(1000))
    valid_from: Mapped[date | None]
    in_force_told_at: Mapped[datetime | None]
    updated_at: Mapped[datetime]


class SeenEditionRow(Base):
    """A shared edition in force that a house was told of, or that was in force when the service first looked."""

    __tablename__ = "seen_edition"

    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), primary_key=True)
    pricebook: Mapped[str] = mapped_column(Word, primary_key=True)
    edition: Mapped[str] = mapped_column(Word, primary_key=True)
    seen_at: Mapped[datetime]


class PriceListColumnsRow(Base):
    """What a supplier calls the columns of its price list, as it was told once."""

    __tablename__ = "price_list_columns"

    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), primary_key=True)
    supplier: Mapped[str] = mapped_column(Word, primary_key=True)
    document: Mapped[Any] = mapped_column(Json)
    updated_at: Mapped[datetime]


class UsedEditionRow(Base):
    """The hash an edition had when a quote first stood on it: it never changes after that."""

    __tablename__ = "used_edition"

    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), primary_key=True)
    pricebook: Mapped[str] = mapped_column(Word, primary_key=True)
    edition: Mapped[str] = mapped_column(Word, primary_key=True)
    sha256: Mapped[str] = mapped_column(String(64))
    first_used_at: Mapped[datetime]


class UploadedEditionRow(Base):
    """An edition posted over the API, as a ZIP archive of its files."""

    __tablename__ = "uploaded_edition"

    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), primary_key=True)
    pricebook: Mapped[str] = mapped_column(Word, primary_key=True)
    edition: Mapped[str] = mapped_column(Word, primary_key=True)
    archive: Mapped[bytes]
    sha256: Mapped[str] = mapped_column(String(64))
    created_at: Mapped[datetime]
