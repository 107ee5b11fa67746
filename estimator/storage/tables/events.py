"""The tables of events: what happened, who wants to be told, and what became of every delivery."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey, Index, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.tables.base import Base, Id, Word, one_of
from estimator.storage.types import Json

WEBHOOK_STATES = ("active", "ended")
DELIVERY_STATES = ("pending", "delivered", "given_up")


class EventCountRow(Base):
    """How many events an organisation has: the last statement of a transaction counts, so that none comes late."""

    __tablename__ = "event_count"

    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), primary_key=True)
    last: Mapped[int]


class EventRow(Base):
    """Something that happened; ``position`` has no gap, and no event appears before one that was seen."""

    __tablename__ = "event"
    __table_args__ = (UniqueConstraint("organisation_id", "position"),)

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    position: Mapped[int]
    kind: Mapped[str] = mapped_column(Word)
    subject: Mapped[str] = mapped_column(String(200))
    document: Mapped[Any] = mapped_column(Json)
    at: Mapped[datetime]


class WebhookRow(Base):
    """Where somebody wants to be told. The secret signs; an older one signs beside it until ``older_until``.

    Both are sealed (``service/sealing.py``).
    """

    __tablename__ = "webhook"
    __table_args__ = (Index(None, "organisation_id", "id"), one_of("webhook_state", WEBHOOK_STATES))

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    client_id: Mapped[str] = mapped_column(Id)
    url: Mapped[str] = mapped_column(String(2000))
    kinds: Mapped[Any | None] = mapped_column(Json)
    webhook_state: Mapped[str] = mapped_column(Word)
    secret: Mapped[str] = mapped_column(String(400))
    older_secret: Mapped[str | None] = mapped_column(String(400))
    older_until: Mapped[datetime | None]
    created_at: Mapped[datetime]
    updated_at: Mapped[datetime]


class DeliveryRow(Base):
    """One event on its way to one webhook; ``claim`` names the process that sends it now."""

    __tablename__ = "delivery"
    __table_args__ = (
        Index(None, "delivery_state", "next_at"),
        Index(None, "webhook_id", "subject", "position"),
        one_of("delivery_state", DELIVERY_STATES),
    )

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    webhook_id: Mapped[str] = mapped_column(ForeignKey("webhook.id"))
    event_id: Mapped[str] = mapped_column(ForeignKey("event.id"))
    subject: Mapped[str] = mapped_column(String(200))
    position: Mapped[int]
    delivery_state: Mapped[str] = mapped_column(Word)
    attempts: Mapped[int]
    next_at: Mapped[datetime]
    claim: Mapped[str] = mapped_column(Id)
    claimed_until: Mapped[datetime | None]
    created_at: Mapped[datetime]
    updated_at: Mapped[datetime]


class DeliveryAttemptRow(Base):
    """One try of a delivery, as it went."""

    __tablename__ = "delivery_attempt"

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    delivery_id: Mapped[str] = mapped_column(ForeignKey("delivery.id"), index=True)
    at: Mapped[datetime]
    milliseconds: Mapped[int]
    status: Mapped[int | None]
    fault: Mapped[str | None] = mapped_column(String(400))


class SealCheckRow(Base):
    """The one row that the key of the webhooks' secrets sealed first: who cannot open it has another key."""

    __tablename__ = "seal_check"
    __table_args__ = (CheckConstraint("id = 1", name="single"),)

    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    sealed: Mapped[str] = mapped_column(String(400))
    sealed_at: Mapped[datetime]
