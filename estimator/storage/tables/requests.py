"""The tables of requests: answers kept for repeats, and operations that run later."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.roles import ROLES
from estimator.storage.tables.base import Base, Id, Word, one_of
from estimator.storage.types import Json

OPERATION_STATES = ("queued", "running", "succeeded", "failed", "cancelled")


class IdempotencyRow(Base):
    """A response stored under its client's Idempotency-Key; ``status`` is empty while the request still runs.

    ``claim`` names the request that runs; until ``claimed_until`` nobody else may take its place.
    """

    __tablename__ = "idempotency"

    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), primary_key=True)
    client_id: Mapped[str] = mapped_column(Id, primary_key=True)
    key: Mapped[str] = mapped_column(String(255), primary_key=True)
    fingerprint: Mapped[str] = mapped_column(String(64))
    claim: Mapped[str] = mapped_column(Id)
    status: Mapped[int | None]
    headers: Mapped[Any | None] = mapped_column(Json)
    body: Mapped[bytes | None]
    claimed_until: Mapped[datetime]
    created_at: Mapped[datetime] = mapped_column(index=True)


class OperationRow(Base):
    """Long work: what was asked, by whom, how far it is, and what came of it.

    Whoever works on it holds a lease: ``claim`` names the worker's hold, and until ``claimed_until`` nobody else may
    take it up. ``role``, ``key`` and ``client_name`` are those of who asked, so that the work is done in their name.
    ``told`` is the detail of its problem as a sentence, frozen, that every language can say.
    """

    __tablename__ = "operation"
    __table_args__ = (
        Index(None, "organisation_id", "id"),
        Index(None, "state", "not_before"),
        one_of("state", OPERATION_STATES),
        one_of("role", ROLES),
    )

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    client_id: Mapped[str] = mapped_column(Id)
    key: Mapped[str] = mapped_column(Id)
    client_name: Mapped[str] = mapped_column(String(200))
    role: Mapped[str] = mapped_column(Word)
    kind: Mapped[str] = mapped_column(Word)
    state: Mapped[str] = mapped_column(Word)
    request: Mapped[Any] = mapped_column(Json)
    done: Mapped[int]
    total: Mapped[int | None]
    attempts: Mapped[int]
    claim: Mapped[str] = mapped_column(Id)
    claimed_until: Mapped[datetime | None]
    not_before: Mapped[datetime]
    location: Mapped[str | None] = mapped_column(String(200))
    result: Mapped[bytes | None]
    problem: Mapped[Any | None] = mapped_column(Json)
    told: Mapped[bytes | None]
    version: Mapped[int]
    created_at: Mapped[datetime]
    updated_at: Mapped[datetime]
    started_at: Mapped[datetime | None]
    finished_at: Mapped[datetime | None]
