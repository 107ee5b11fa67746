"""Operations: long work that is answered with 202, done by whoever takes it up, once, whatever is killed meanwhile.

The row is the truth; a queue, where there is one, carries only its id. Who works on an operation holds a lease and
renews it; what is made of it is written in the transaction that ends the operation, under the lease, so that a worker
that lost it writes nothing. Cancelling takes the lease away. Source: common practice (a transactional outbox).
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Literal, TypeAlias, cast

from sqlalchemy import ColumnElement, CursorResult, Select, and_, or_, select, update
from sqlalchemy.orm import Session, defer

from estimator.errors import Conflict, NotFound, NotYet
from estimator.sentences import Sentence, joined, say
from estimator.service.context import Client, ServiceContext, StoreResponse, new_id
from estimator.service.outbox.events import publish
from estimator.storage import tables
from estimator.storage.records.codec import freeze, thaw

OPERATION = tables.OperationRow
Kind = Literal[
    "estimate", "quote", "revision", "proof", "cut_plan", "repricing", "repricing_drafts", "paper", "order_list"
]
State = Literal["queued", "running", "succeeded", "failed", "cancelled"]
UNFINISHED = ("queued", "running")
RESULT_SECONDS = 2
"""When to ask again for the answer of an operation that runs."""
ENDED: tuple[State, ...] = ("succeeded", "failed", "cancelled")
Document: TypeAlias = Any
LEASE = timedelta(seconds=15)
"""How long after a worker's last renewal another may take over its work."""
MOST_ATTEMPTS = 5
PAUSES = (2, 10, 30, 120)
"""Seconds until work that failed for a reason that may pass is tried again, by attempt."""
GIVEN_UP_TOLD = say("given up: whoever worked on it stopped without a word {count} times", count=MOST_ATTEMPTS)
GIVEN_UP = {
    "type": "/problems/server-fault",
    "title": "The service failed",
    "status": 500,
    "detail": str(GIVEN_UP_TOLD),
}


class LeaseLost(Exception):
    """The operation was cancelled, or taken up by another; what this worker made of it is undone."""


@dataclass(frozen=True, slots=True)
class StoredOperation:
    """An operation as it stands; ``location`` is where its result is, once it has succeeded.

    ``told`` is the detail of its ``problem`` as a sentence; nothing for one that failed before 2026-12.
    """

    id: str
    kind: Kind
    state: State
    client_id: str
    done: int
    total: int | None
    location: str | None
    problem: Document
    version: int
    created_at: datetime
    updated_at: datetime
    started_at: datetime | None
    finished_at: datetime | None
    told: Sentence | None = None


@dataclass(frozen=True, slots=True)
class Lease:
    """The right to work on an operation, in the name of who asked for it."""

    operation: str
    kind: Kind
    client: Client
    request: Document
    attempt: int
    token: str


def start_operation(
    session: Session, context: ServiceContext, client: Client, kind: Kind, request: Document, total: int | None = None
) -> StoredOperation:
    """Record long-running work, in the transaction of the request that asks for it."""
    now = context.clock()
    row = OPERATION(
        id=new_id(),
        organisation_id=client.organisation,
        client_id=client.id,
        key=client.key,
        client_name=client.name,
        role=client.role,
        kind=kind,
        state="queued",
        request=request,
        done=0,
        total=total,
        attempts=0,
        claim="",
        not_before=now,
        version=1,
        created_at=now,
        updated_at=now,
    )
    session.add(row)
    session.flush()
    context.announce(session, row.id)
    return _stored(row)


def post_operation(
    context: ServiceContext, client: Client, kind: Kind, request: Document, store: StoreResponse
) -> StoredOperation:
    """``start_operation`` in a transaction of its own, with the response to the request."""
    with context.writing() as session:
        started = start_operation(session, context, client, kind, request)
        store(session, started)
    return started


def get_operation(context: ServiceContext, client: Client, operation_id: str, *, every: bool) -> StoredOperation:
    """One operation of the organisation; unless ``every``, only what this client asked for. Errors: NotFound."""
    with context.reading() as session:
        return _stored(_find(session, client, operation_id, every=every))


@dataclass(frozen=True, slots=True)
class OperationResult:
    """What an operation keeps: of which kind, what was asked, and the bytes."""

    kind: Kind
    request: Document
    content: bytes


def operation_result(context: ServiceContext, client: Client, operation_id: str, *, every: bool) -> OperationResult:
    """The answer that an operation keeps. Errors: NotFound, NotYet while it runs, Conflict where there is none."""
    with context.reading() as session:
        row = _find(session, client, operation_id, every=every)
        if row.result is None:
            none = say("the operation is {state} and keeps no answer", state=Sentence(row.state))
            if row.state in UNFINISHED:
                raise NotYet(none, RESULT_SECONDS)
            where = [say("what it made is at {location}", location=row.location)] if row.location else []
            raise Conflict(joined("; ", (none, *where)))
        return OperationResult(cast(Kind, row.kind), row.request, row.result)


def unfinished(context: ServiceContext, client: Client, kind: Kind, request: Document) -> StoredOperation | None:
    """What the client has asked for already in the same words, while it has not ended; nothing where it has not."""
    own = _visible(client, every=False).where(OPERATION.kind == kind, OPERATION.state.in_(UNFINISHED))
    with context.reading() as session:
        rows = session.scalars(own.options(defer(OPERATION.result)).order_by(OPERATION.id.desc()).limit(100))
        return next((_stored(row) for row in rows if row.request == request), None)


def list_operations(
    context: ServiceContext,
    client: Client,
    *,
    before: str | None,
    limit: int,
    state: str | None,
    every: bool,
    since: datetime | None = None,
) -> tuple[StoredOperation, ...]:
    """The newest first, from the one after ``before`` on."""
    statement = _visible(client, every=every).options(defer(OPERATION.result), defer(OPERATION.request))
    if before:
        statement = statement.where(OPERATION.id < before)
    if state:
        statement = statement.where(OPERATION.state == state)
    if since is not None:
        statement = statement.where(OPERATION.updated_at >= since)
    with context.reading() as session:
        return tuple(_stored(row) for row in session.scalars(statement.order_by(OPERATION.id.desc()).limit(limit)))


def cancel_operation(context: ServiceContext, client: Client, operation_id: str, *, every: bool) -> StoredOperation:
    """Stop it: whoever works on it loses the lease. Errors: NotFound, Conflict where it has ended otherwise."""
    with context.writing() as session:
        row = _find(session, client, operation_id, every=every, lock=True)
        if row.state == "cancelled":
            return _stored(row)
        if row.state in ENDED:
            raise Conflict(say("the operation has {state} already", state=Sentence(row.state)))
        row.state, row.claim, row.claimed_until = "cancelled", "", None
        return _ended(session, context, row)


def take_operation(
    context: ServiceContext, kinds: tuple[Kind, ...] | None = None, operation_id: str | None = None
) -> Lease | None:
    """A lease on the oldest operation that waits, or whose worker gave no sign of life; nothing where there is none."""
    now, token = context.clock(), secrets.token_hex(16)
    free = or_(OPERATION.state == "queued", and_(OPERATION.state == "running", OPERATION.claimed_until < now))
    statement = select(OPERATION).options(defer(OPERATION.result)).where(free, OPERATION.not_before <= now)
    if operation_id is not None:
        statement = statement.where(OPERATION.id == operation_id)
    if kinds is not None:
        statement = statement.where(OPERATION.kind.in_(kinds))
    statement = statement.order_by(OPERATION.not_before, OPERATION.id).limit(1).with_for_update(skip_locked=True)
    with context.writing() as session:
        row = session.scalar(statement)
        if row is None:
            return None
        row.attempts += 1
        if row.attempts > MOST_ATTEMPTS:
            row.state, row.claim, row.claimed_until, row.problem = "failed", "", None, dict(GIVEN_UP)
            row.told = freeze(GIVEN_UP_TOLD)
            _ended(session, context, row)
            return None
        row.state, row.claim, row.claimed_until = "running", token, now + LEASE
        row.started_at, row.updated_at, row.version = row.started_at or now, now, row.version + 1
        kind = "key" if row.key else "account"
        asked = Client(row.organisation_id, row.key, row.role, row.client_name, row.client_id, kind)
        return Lease(row.id, cast(Kind, row.kind), asked, row.request, row.attempts, token)


def renew_lease(context: ServiceContext, lease: Lease, progress: tuple[int, int | None] | None = None) -> bool:
    """A sign of life, with progress (done, of how many) where there is news; false where the lease is lost."""
    now = context.clock()
    values: dict[str, object] = {"claimed_until": now + LEASE}
    if progress is not None:
        values |= {"done": progress[0], "total": progress[1], "updated_at": now, "version": OPERATION.version + 1}
    with context.writing() as session:
        return _change(session, lease, values)


def end_operation(
    session: Session, context: ServiceContext, lease: Lease, location: str | None = None, result: bytes | None = None
) -> StoredOperation:
    """End it, in the transaction that makes what it is for: with where that is, or with an answer to keep.

    Errors: LeaseLost; whatever the transaction made is undone by it.
    """
    if not _change(session, lease, {"claim": ""}):
        raise LeaseLost("the operation was cancelled, or another works on it")
    row = session.get_one(OPERATION, lease.operation)
    row.location, row.result = location or f"/v1/operations/{row.id}/result", result
    row.state, row.claimed_until = "succeeded", None
    row.done = row.total = row.total or row.done or 1
    return _ended(session, context, row)


def hold_on(session: Session, context: ServiceContext, lease: Lease, done: int, total: int) -> None:
    """Store a part of the result under the lease, with the progress made.

    Errors: LeaseLost; whatever the transaction made is undone by it.
    """
    now = context.clock()
    values = {"claimed_until": now + LEASE, "done": done, "total": total, "updated_at": now}
    if not _change(session, lease, {**values, "version": OPERATION.version + 1}):
        raise LeaseLost("the operation was cancelled, or another works on it")


def fail_operation(
    context: ServiceContext, lease: Lease, problem: Mapping[str, Any], told: Sentence | None = None
) -> None:
    """End it with a problem (RFC 9457) and its detail as a sentence; nothing where the lease is lost."""
    with context.writing() as session:
        if _change(session, lease, {"claim": ""}):
            row = session.get_one(OPERATION, lease.operation)
            row.state, row.claimed_until, row.problem = "failed", None, dict(problem)
            row.told = freeze(told) if told else None
            _ended(session, context, row)


def put_back(context: ServiceContext, lease: Lease, *, at_once: bool = False) -> None:
    """Let it go for another try: after a pause that grows, or at once where this worker ends."""
    now = context.clock()
    pause = 0 if at_once else PAUSES[min(lease.attempt, len(PAUSES)) - 1]
    values: dict[str, object] = {"state": "queued", "claim": "", "claimed_until": None}
    values |= {"not_before": now + timedelta(seconds=pause), "updated_at": now}
    values |= {"attempts": OPERATION.attempts - 1} if at_once else {}
    with context.writing() as session:
        if _change(session, lease, values):
            context.announce(session, lease.operation)


def waiting_operations(context: ServiceContext, limit: int = 100) -> tuple[str, ...]:
    """Ids of operations that wait or were abandoned: for queues that lost them."""
    now = context.clock()
    free = or_(OPERATION.state == "queued", and_(OPERATION.state == "running", OPERATION.claimed_until < now))
    statement = select(OPERATION.id).where(free, OPERATION.not_before <= now).order_by(OPERATION.id).limit(limit)
    with context.reading() as session:
        return tuple(session.scalars(statement))


def _ended(session: Session, context: ServiceContext, row: tables.OperationRow) -> StoredOperation:
    """The one place where operations end, whatever their result; their events are written here."""
    now = context.clock()
    row.updated_at, row.finished_at, row.version = now, now, row.version + 1
    session.flush()
    here = f"/v1/operations/{row.id}"
    document = {"operation": row.id, "kind": row.kind, "state": row.state}
    links = {"operation": here, "result": row.location}
    publish(session, context, row.organisation_id, "operation.finished", row.id, {**document, "links": links})
    return _stored(row)


def _change(session: Session, lease: Lease, values: Mapping[str, object]) -> bool:
    statement = update(OPERATION).where(_held(lease)).values(**values)
    done = session.execute(statement, execution_options={"synchronize_session": False})
    return cast("CursorResult[Any]", done).rowcount == 1


def _held(lease: Lease) -> ColumnElement[bool]:
    return and_(OPERATION.id == lease.operation, OPERATION.claim == lease.token, OPERATION.state == "running")


def _visible(client: Client, *, every: bool) -> Select[tables.OperationRow]:
    statement = select(OPERATION).where(OPERATION.organisation_id == client.organisation)
    return statement if every else statement.where(OPERATION.client_id == client.id)


def _find(
    session: Session, client: Client, operation_id: str, *, every: bool, lock: bool = False
) -> tables.OperationRow:
    statement = _visible(client, every=every).where(OPERATION.id == operation_id)
    row = session.scalar(statement.with_for_update() if lock else statement)
    if row is None:
        raise NotFound(say("no such operation"))
    return row


def _stored(row: tables.OperationRow) -> StoredOperation:
    return StoredOperation(
        id=row.id,
        kind=cast(Kind, row.kind),
        state=cast(State, row.state),
        client_id=row.client_id,
        done=row.done,
        total=row.total,
        location=row.location,
        problem=row.problem,
        version=row.version,
        created_at=row.created_at,
        updated_at=row.updated_at,
        started_at=row.started_at,
        finished_at=row.finished_at,
        told=thaw(row.told) if row.told else None,
    )
