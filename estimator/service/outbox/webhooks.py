"""Webhooks: where somebody wants to be told, with a secret that is shown once and can be replaced."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, TypeAlias

from sqlalchemy import func, select, update
from sqlalchemy.orm import Session

from estimator.errors import Conflict, Fault, NotFound, Refused, said_by
from estimator.sentences import say
from estimator.service.access.audit import Thing, write_down
from estimator.service.context import Client, ServiceContext, StoreResponse, new_id
from estimator.service.outbox.outbound import AddressRefused, check_url
from estimator.service.outbox.signatures import new_secret
from estimator.storage.tables import DeliveryRow, WebhookRow

BOTH_SIGN = timedelta(hours=24)
"""How long the secret before signs beside a new one."""
MOST_WEBHOOKS = 20
Document: TypeAlias = Any


@dataclass(frozen=True, slots=True)
class StoredWebhook:
    """What may be shown of a webhook; ``kinds`` None is every kind of event."""

    id: str
    url: str
    kinds: tuple[str, ...] | None
    state: str
    created_at: datetime
    updated_at: datetime


@dataclass(frozen=True, slots=True)
class MadeWebhook:
    """A webhook with the secret that was just made for it: the only time that it is told."""

    card: StoredWebhook
    secret: str


def make_webhook(
    context: ServiceContext, client: Client, url: str, kinds: tuple[str, ...] | None, store: StoreResponse
) -> MadeWebhook:
    """Register a webhook. Errors: Refused for an address inside the house, Conflict if too many."""
    try:
        check_url(url, context.webhook_networks)
    except AddressRefused as refusal:
        raise Refused(
            say("not an address to tell anything"), [Fault("/url", said_by(refusal), say("https to a public host"))]
        ) from refusal
    now, secret = context.clock(), new_secret()
    with context.writing() as session:
        active = select(func.count()).where(
            WebhookRow.organisation_id == client.organisation, WebhookRow.webhook_state == "active"
        )
        if (session.scalar(active) or 0) >= MOST_WEBHOOKS:
            raise Conflict(say("an organisation has at most {most} webhooks; take one out first", most=MOST_WEBHOOKS))
        row = WebhookRow(
            id=new_id(),
            organisation_id=client.organisation,
            client_id=client.id,
            url=url,
            kinds=None if kinds is None else list(kinds),
            webhook_state="active",
            secret=context.seal.shut(secret),
            created_at=now,
            updated_at=now,
        )
        session.add(row)
        session.flush()
        write_down(session, context, client, "webhook.made", Thing("webhook", row.id), {"url": url})
        made = MadeWebhook(_shown(row), secret)
        store(session, made)
        return made


def list_webhooks(
    context: ServiceContext, client: Client, *, before: str | None, limit: int, since: datetime | None = None
) -> tuple[StoredWebhook, ...]:
    """Those of the organisation, the newest first."""
    row = WebhookRow
    statement = select(row).where(row.organisation_id == client.organisation)
    if before:
        statement = statement.where(row.id < before)
    if since is not None:
        statement = statement.where(row.updated_at >= since)
    with context.reading() as session:
        return tuple(_shown(each) for each in session.scalars(statement.order_by(row.id.desc()).limit(limit)))


def get_webhook(context: ServiceContext, client: Client, webhook_id: str) -> StoredWebhook:
    """One. Errors: NotFound, also for another organisation's."""
    with context.reading() as session:
        return _shown(find_webhook(session, client, webhook_id))


def end_webhook(context: ServiceContext, client: Client, webhook_id: str) -> StoredWebhook:
    """End a webhook; what was still waiting is dropped. The log stays."""
    with context.writing() as session:
        row = find_webhook(session, client, webhook_id)
        end(session, context, row)
        write_down(session, context, client, "webhook.ended", Thing("webhook", row.id))
        return _shown(row)


def rotate_secret(context: ServiceContext, client: Client, webhook_id: str, store: StoreResponse) -> MadeWebhook:
    """A new secret; the one before signs beside it for a day. Errors: NotFound, Conflict."""
    now, secret = context.clock(), new_secret()
    with context.writing() as session:
        row = find_webhook(session, client, webhook_id)
        if row.webhook_state != "active":
            raise Conflict(say("the webhook has ended; make a new one"))
        row.older_secret, row.older_until, row.updated_at = row.secret, now + BOTH_SIGN, now
        row.secret = context.seal.shut(secret)
        write_down(session, context, client, "webhook.secret_rotated", Thing("webhook", row.id))
        made = MadeWebhook(_shown(row), secret)
        store(session, made)
        return made


def end(session: Session, context: ServiceContext, row: WebhookRow) -> None:
    """End it within a transaction."""
    now = context.clock()
    row.webhook_state, row.updated_at, row.older_secret, row.older_until = "ended", now, None, None
    waiting = update(DeliveryRow).where(DeliveryRow.webhook_id == row.id, DeliveryRow.delivery_state == "pending")
    session.execute(
        waiting.values(delivery_state="given_up", updated_at=now, claim=""),
        execution_options={"synchronize_session": False},
    )


def find_webhook(session: Session, client: Client, webhook_id: str) -> WebhookRow:
    """The row, if it is this organisation's."""
    row = session.get(WebhookRow, webhook_id)
    if row is None or row.organisation_id != client.organisation:
        raise NotFound(say("no such webhook"))
    return row


def _shown(row: WebhookRow) -> StoredWebhook:
    kinds = None if row.kinds is None else tuple(row.kinds)
    return StoredWebhook(row.id, row.url, kinds, row.webhook_state, row.created_at, row.updated_at)
