"""Deliveries: at least once, in order for each subject, tried again for days, every try recorded.

Whoever sends holds a claim for a minute, so any number of processes may send and one that is killed loses nothing. A
delivery waits for those before it of the same subject (the revisions of one quote, say), and one webhook is told one
thing at a time.
"""

from __future__ import annotations

import math
import random
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

import structlog
from sqlalchemy import ColumnElement, exists, or_, select
from sqlalchemy.orm import Session, aliased

from estimator.errors import Conflict, NotFound, NotYet
from estimator.sentences import say
from estimator.service.context import Client, ServiceContext, StoreResponse, new_id
from estimator.service.outbox.events import StoredEvent, body_of
from estimator.service.outbox.outbound import SendingOutcome
from estimator.service.outbox.signatures import headers
from estimator.service.outbox.webhooks import end, find_webhook
from estimator.service.sealing import Shut
from estimator.storage.tables import DeliveryAttemptRow, DeliveryRow, EventRow, WebhookRow

CLAIM = timedelta(minutes=1)
PAUSES = (5, 300, 1_800, 7_200, 18_000, 36_000, 50_400, 72_000, 86_400)
"""Seconds until the next try, by tries so far: three days in all. Source: Standard Webhooks 1.0, "Retry schedule"."""
JITTER = 0.2
LONGEST_WAIT_ASKED = 86_400
GONE = 410
STAYS_SHUT = "not sent: no key opens the secret of this webhook; have a new one made (rotate-secret)"
log = structlog.get_logger("estimator")
Send = Callable[[str, Mapping[str, str], bytes], SendingOutcome]


@dataclass(frozen=True, slots=True)
class DeliveryTask:
    """One delivery to be tried now, by whoever holds its claim."""

    id: str
    claim: str
    url: str
    secrets: tuple[str, ...]
    event: StoredEvent


@dataclass(frozen=True, slots=True)
class DeliveryTry:
    """One try, as it went."""

    at: datetime
    milliseconds: int
    status: int | None
    fault: str | None


@dataclass(frozen=True, slots=True)
class StoredDelivery:
    """A delivery as the log shows it."""

    id: str
    event_id: str
    kind: str
    subject: str
    state: str
    next_at: datetime | None
    created_at: datetime
    attempts: tuple[DeliveryTry, ...]


def deliver_next(context: ServiceContext, send: Send, chance: random.Random | None = None) -> bool:
    """Try the delivery that has waited longest; false where nothing is due."""
    task = _take(context)
    if task is None:
        return False
    body = body_of(task.event)
    if task.secrets:
        signed = headers(task.event.id, int(context.clock().timestamp()), body, task.secrets)
        outcome = send(task.url, {**signed, "Content-Type": "application/json", "User-Agent": "estimator"}, body)
    else:
        outcome = SendingOutcome(0, fault=STAYS_SHUT)
    _settle(context, task, outcome, chance or random.SystemRandom())
    return True


def list_deliveries(
    context: ServiceContext,
    client: Client,
    webhook_id: str,
    *,
    before: str | None,
    limit: int,
    since: datetime | None = None,
) -> tuple[StoredDelivery, ...]:
    """The log of a webhook, the newest first; what was made or tried at or after ``since``. Errors: NotFound."""
    with context.reading() as session:
        find_webhook(session, client, webhook_id)
        statement = select(DeliveryRow, EventRow.kind).join(EventRow, EventRow.id == DeliveryRow.event_id)
        statement = statement.where(DeliveryRow.webhook_id == webhook_id)
        if before:
            statement = statement.where(DeliveryRow.id < before)
        if since is not None:
            statement = statement.where(DeliveryRow.updated_at >= since)
        rows = session.execute(statement.order_by(DeliveryRow.id.desc()).limit(limit)).all()
        tries = _attempts(session, [row.id for row, _ in rows])
        return tuple(_shown(row, kind, tries.get(row.id, ())) for row, kind in rows)


def deliver_again(
    context: ServiceContext, client: Client, webhook_id: str, delivery_id: str, store: StoreResponse
) -> StoredDelivery:
    """Try a delivery again from the start. Errors: NotFound, Conflict where the webhook has ended, NotYet."""
    with context.writing() as session:
        hook = find_webhook(session, client, webhook_id)
        row = session.get(DeliveryRow, delivery_id, with_for_update=True)
        if row is None or row.webhook_id != hook.id:
            raise NotFound(say("no such delivery"))
        if hook.webhook_state != "active":
            raise Conflict(say("the webhook has ended; make a new one"))
        if row.delivery_state == "pending" and row.claimed_until is not None and row.claimed_until > context.clock():
            left = math.ceil((row.claimed_until - context.clock()).total_seconds())
            raise NotYet(say("it is being sent at this moment"), max(1, left))
        now = context.clock()
        row.delivery_state, row.attempts, row.next_at, row.claim, row.updated_at = "pending", 0, now, "", now
        row.claimed_until = None
        session.flush()
        kind = session.get_one(EventRow, row.event_id).kind
        shown = _shown(row, kind, _attempts(session, [row.id]).get(row.id, ()))
        store(session, shown)
        return shown


def _take(context: ServiceContext) -> DeliveryTask | None:
    now, claim = context.clock(), secrets.token_hex(16)
    row, other = DeliveryRow, aliased(DeliveryRow)
    due: list[ColumnElement[bool]] = [row.delivery_state == "pending", row.next_at <= now]
    due.append(or_(row.claimed_until.is_(None), row.claimed_until < now))
    waits = exists().where(
        other.webhook_id == row.webhook_id,
        other.delivery_state == "pending",
        or_((other.subject == row.subject) & (other.position < row.position), other.claimed_until >= now),
    )
    statement = select(row).where(*due, ~waits).order_by(row.next_at, row.id).limit(1)
    with context.reading() as session:
        if session.scalar(statement.with_only_columns(row.id)) is None:
            return None
    with context.writing() as session:
        found = session.scalar(statement.with_for_update(skip_locked=True))
        if found is None:
            return None
        found.claim, found.claimed_until = claim, now + CLAIM
        hook, event = session.get_one(WebhookRow, found.webhook_id), session.get_one(EventRow, found.event_id)
        told = StoredEvent(event.id, event.position, event.kind, event.at, event.document)
        return DeliveryTask(found.id, claim, hook.url, _secrets(context, hook), told)


def _secrets(context: ServiceContext, hook: WebhookRow) -> tuple[str, ...]:
    """The secrets that sign now, opened; none where no key opens the newest, for its owner trusts no other."""
    still = hook.older_until is not None and hook.older_until > context.clock()
    opened = []
    for sealed in (hook.secret, hook.older_secret if still else None):
        try:
            opened += [context.seal.open(sealed)] if sealed is not None else []
        except Shut as why:
            log.error("webhook secret stays shut", webhook=hook.id, why=str(why), remedy="rotate-secret")
            if sealed == hook.secret:
                return ()
    return tuple(opened)


def _settle(context: ServiceContext, task: DeliveryTask, outcome: SendingOutcome, chance: random.Random) -> None:
    """Record how it went, even where another process has taken over the claim."""
    now = context.clock()
    with context.writing() as session:
        row = session.get_one(DeliveryRow, task.id, with_for_update=True)
        session.add(
            DeliveryAttemptRow(
                id=new_id(),
                organisation_id=row.organisation_id,
                delivery_id=row.id,
                at=now,
                milliseconds=outcome.milliseconds,
                status=outcome.status,
                fault=outcome.fault,
            )
        )
        if row.claim != task.claim:
            return
        row.attempts, row.claim, row.claimed_until, row.updated_at = row.attempts + 1, "", None, now
        if outcome.delivered:
            row.delivery_state = "delivered"
        elif outcome.status == GONE:
            end(session, context, session.get_one(WebhookRow, row.webhook_id))
        elif row.attempts > len(PAUSES):
            row.delivery_state = "given_up"
        else:
            row.next_at = now + timedelta(seconds=_pause(row.attempts, outcome, chance))


def _pause(attempts: int, outcome: SendingOutcome, chance: random.Random) -> float:
    asked = min(outcome.retry_after or 0, LONGEST_WAIT_ASKED)
    return max(asked, PAUSES[attempts - 1] * (1 + chance.uniform(-JITTER, JITTER)))


def _attempts(session: Session, ids: list[str]) -> dict[str, tuple[DeliveryTry, ...]]:
    found: dict[str, tuple[DeliveryTry, ...]] = {}
    row = DeliveryAttemptRow
    for each in session.scalars(select(row).where(row.delivery_id.in_(ids)).order_by(row.id)) if ids else ():
        attempt = DeliveryTry(each.at, each.milliseconds, each.status, each.fault)
        found[each.delivery_id] = (*found.get(each.delivery_id, ()), attempt)
    return found


def _shown(row: DeliveryRow, kind: str, attempts: tuple[DeliveryTry, ...]) -> StoredDelivery:
    following = row.next_at if row.delivery_state == "pending" else None
    return StoredDelivery(
        row.id, row.event_id, kind, row.subject, row.delivery_state, following, row.created_at, attempts
    )
