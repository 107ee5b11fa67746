"""The tables of organisations: their keys and limits, their policy, their audit log."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.roles import ROLES
from estimator.storage.tables.base import WHO_KINDS, Base, Id, WhoColumns, Word, one_of
from estimator.storage.types import Json


class OrganisationRow(Base):
    """Who uses the service; organisations never see each other's rows.

    ``last_number`` counts its quotes, ``last_order_number`` its order lists: each without a gap. From
    ``editions_seen_at`` on it is told of shared editions that come into force.
    """

    __tablename__ = "organisation"

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    name: Mapped[str] = mapped_column(String(200), unique=True)
    last_number: Mapped[int] = mapped_column(default=0)
    last_order_number: Mapped[int] = mapped_column(default=0)
    created_at: Mapped[datetime]
    editions_seen_at: Mapped[datetime | None]


class ApiKeyRow(Base):
    """A key: only its digest is kept. ``client_id`` is the same for a key and those that replace it.

    ``made_by`` is the client that made it over REST; empty where the command line did.
    """

    __tablename__ = "api_key"
    __table_args__ = (one_of("role", ROLES),)

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), index=True)
    client_id: Mapped[str] = mapped_column(Id)
    prefix: Mapped[str] = mapped_column(String(16), unique=True)
    digest: Mapped[str] = mapped_column(String(64))
    role: Mapped[str] = mapped_column(Word)
    name: Mapped[str] = mapped_column(String(200))
    created_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    revoked_at: Mapped[datetime | None]
    last_used_at: Mapped[datetime | None]
    made_by: Mapped[str | None] = mapped_column(Id)


class RateLimitRow(Base):
    """How many requests a key or an address may still send, for all processes; PostgreSQL writes no log of it."""

    __tablename__ = "rate_limit"

    name: Mapped[str] = mapped_column(String(100), primary_key=True)
    level: Mapped[float]
    drawn: Mapped[int]
    at: Mapped[datetime] = mapped_column(index=True)


class HousePolicyRow(Base):
    """What an organisation lets its roles do without asking anybody, and what a second person must approve."""

    __tablename__ = "house_policy"

    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), primary_key=True)
    document: Mapped[Any] = mapped_column(Json)
    version: Mapped[int]
    updated_at: Mapped[datetime]


class AuditRow(WhoColumns, Base):
    """One line of the audit log: who did what, when, from where. The database refuses to change or delete one."""

    __tablename__ = "audit"
    __table_args__ = (one_of("who_kind", WHO_KINDS), Index(None, "organisation_id", "id"))

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    at: Mapped[datetime]
    key_id: Mapped[str | None] = mapped_column(Id)
    action: Mapped[str] = mapped_column(Word)
    thing_kind: Mapped[str] = mapped_column(Word)
    thing_id: Mapped[str] = mapped_column(String(200), index=True)
    detail: Mapped[Any | None] = mapped_column(Json)
    address: Mapped[str] = mapped_column(String(64))
    request_id: Mapped[str] = mapped_column(String(64))
