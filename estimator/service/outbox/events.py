"""Events: written in the transaction that causes them, with a delivery to each webhook that wants to be told.

An event takes its position by the last statement of its transaction that others may wait for, so positions appear in
their order and whoever reads on after a position misses nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeAlias

import orjson
from sqlalchemy import select, text
from sqlalchemy.orm import Session

from estimator.service.context import Client, ServiceContext, new_id
from estimator.storage.tables import DeliveryRow, EventRow, WebhookRow

Document: TypeAlias = Any
KINDS: Mapping[str, str] = {
    "job.posted": "A job was posted",
    "quote.drafted": "A draft quote was made",
    "quote.revised": "A new revision was drafted",
    "quote.approved": "Another person approved a draft beyond its preparer's limits",
    "quote.issued": "A quote was issued",
    "quote.accepted": "The customer accepted a quote",
    "quote.declined": "The customer declined a quote",
    "quote.superseded": "A later revision took a quote's place",
    "quote.expiring": "An issued quote's validity ends soon",
    "quote.expired": "An issued quote's validity has ended",
    "order_list.made": "Accepted quotes were ordered",
    "edition.in_force": "An edition of a pricebook is in force from now on",
    "operation.finished": "Long work has ended, whatever became of it",
}
COUNT = text(
    "INSERT INTO event_count (organisation_id, last) VALUES (:id, 1) "
    "ON CONFLICT (organisation_id) DO UPDATE SET last = event_count.last + 1 RETURNING last"
)


@dataclass(frozen=True, slots=True)
class StoredEvent:
    """An event as it is told: its kind, when, and ids, state and links of what it is about, never a cost."""

    id: str
    position: int
    kind: str
    at: datetime
    document: Document


def body_of(event: StoredEvent) -> bytes:
    """The event as webhooks send it, the same bytes at each try. Source: Standard Webhooks 1.0 for its members."""
    at = event.at.isoformat().replace("+00:00", "Z")
    return orjson.dumps({"type": event.kind, "timestamp": at, "data": event.document})


def publish(
    session: Session, context: ServiceContext, organisation: str, kind: str, subject: str, document: Document
) -> None:
    """Something happened: an event, and its deliveries. Events of one ``subject`` are delivered in their order."""
    if kind not in KINDS:
        raise ValueError(f"no kind of event {kind!r}")
    session.flush()
    now = context.clock()
    position = session.execute(COUNT, {"id": organisation}).scalar_one()
    event = EventRow(
        id=new_id(),
        organisation_id=organisation,
        position=position,
        kind=kind,
        subject=subject,
        document=document,
        at=now,
    )
    session.add(event)
    session.flush()
    hooks = select(WebhookRow).where(WebhookRow.organisation_id == organisation, WebhookRow.webhook_state == "active")
    session.add_all(
        _delivery(event, hook, now) for hook in session.scalars(hooks) if hook.kinds is None or kind in hook.kinds
    )


def list_events(
    context: ServiceContext,
    client: Client,
    *,
    after: int,
    limit: int,
    kind: str | None = None,
    since: datetime | None = None,
) -> tuple[StoredEvent, ...]:
    """The oldest first, from the one after a position on."""
    row = EventRow
    statement = select(row).where(row.organisation_id == client.organisation, row.position > after)
    if kind is not None:
        statement = statement.where(row.kind == kind)
    if since is not None:
        statement = statement.where(row.at >= since)
    with context.reading() as session:
        rows = session.scalars(statement.order_by(row.position).limit(limit))
        return tuple(StoredEvent(each.id, each.position, each.kind, each.at, each.document) for each in rows)


def _delivery(event: EventRow, hook: WebhookRow, now: datetime) -> DeliveryRow:
    return DeliveryRow(
        id=new_id(),
        organisation_id=event.organisation_id,
        webhook_id=hook.id,
        event_id=event.id,
        subject=event.subject,
        position=event.position,
        delivery_state="pending",
        attempts=0,
        next_at=now,
        claim="",
        created_at=now,
        updated_at=now,
    )
