"""Idempotency: the response to a request is kept under its client's key, in the transaction that made what it tells of.

A request that runs holds a lease on its key and renews it as long as it lives; a process that is killed leaves a lease
that runs out in seconds. A request whose lease was taken over can no longer store a response; what it made is undone.

The way of the header Idempotency-Key (an expired draft of the IETF's HTTP API group; from memory).
"""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from threading import Event, Thread
from typing import Any, cast

import structlog
from sqlalchemy import ColumnElement, CursorResult, and_, delete, select, tuple_, update
from sqlalchemy.exc import IntegrityError, SQLAlchemyError
from sqlalchemy.orm import Session

from estimator.errors import Conflict, Refused
from estimator.sentences import say
from estimator.service.context import Client, ServiceContext
from estimator.storage.tables import IdempotencyRow

KEPT = timedelta(hours=48)
LEASE = timedelta(seconds=15)
"""How long after its last renewal the key of a request may be taken over by another."""
SIGN_OF_LIFE_SECONDS = 4.0
SWEPT_AT_ONCE = 500
log = structlog.get_logger("estimator")


class KeyReused(Refused):
    """The same Idempotency-Key came before, with another request."""


class StillRunning(Conflict):
    """The first request with this Idempotency-Key has not been answered yet."""

    retry_after = 2


class ClaimLost(StillRunning):
    """Another request took this one's place, because it stopped renewing its lease; what this one made is undone."""


@dataclass(frozen=True, slots=True)
class StoredResponse:
    """A response as it was given."""

    status: int
    headers: dict[str, str]
    body: bytes


@dataclass(frozen=True, slots=True)
class Claim:
    """A lease on a key, until the response is stored under it; ``token`` tells it from every other claim."""

    organisation: str
    client: str
    key: str
    token: str

    def store(self, session: Session, response: StoredResponse) -> None:
        """Store the response in the same transaction. Errors: ClaimLost if another request took the key over."""
        if not self._change(session, status=response.status, headers=response.headers, body=response.body):
            raise ClaimLost(
                say("another request with this Idempotency-Key took this one's place; nothing was made here")
            )

    def renew(self, session: Session, until: datetime) -> bool:
        """Hold the key on; false where it was taken over or the response is stored."""
        return self._change(session, claimed_until=until)

    def release(self, session: Session) -> None:
        """Release the key if no response was stored."""
        session.execute(delete(IdempotencyRow).where(self._runs()))

    def _change(self, session: Session, **values: object) -> bool:
        statement = update(IdempotencyRow).where(self._runs()).values(**values)
        done = session.execute(statement, execution_options={"synchronize_session": False})
        return cast("CursorResult[Any]", done).rowcount == 1

    def _runs(self) -> ColumnElement[bool]:
        return and_(
            IdempotencyRow.organisation_id == self.organisation,
            IdempotencyRow.client_id == self.client,
            IdempotencyRow.key == self.key,
            IdempotencyRow.claim == self.token,
            IdempotencyRow.status.is_(None),
        )


def claim_key(context: ServiceContext, client: Client, key: str, fingerprint: str) -> Claim | StoredResponse:
    """A claim for a new request, or the response already given to the same one.

    Errors: KeyReused, StillRunning.
    """
    now = context.clock()
    claim = Claim(client.organisation, client.id, key, secrets.token_hex(16))
    with context.writing() as session:
        _sweep(session, now - KEPT)
        row = session.get(IdempotencyRow, (claim.organisation, claim.client, key), with_for_update=True)
        if row is not None:
            return _known(row, claim, fingerprint, now)
        row = IdempotencyRow(organisation_id=claim.organisation, client_id=claim.client, key=key, created_at=now)
        row.fingerprint, row.claim, row.claimed_until = fingerprint, claim.token, now + LEASE
        session.add(row)
        try:
            session.flush()
        except IntegrityError as fault:
            raise StillRunning(say("the first request with this Idempotency-Key is still running")) from fault
    return claim


def release_key(context: ServiceContext, claim: Claim) -> None:
    """Nothing was made: the key may be used again."""
    with context.writing() as session:
        claim.release(session)


@contextmanager
def kept_alive(context: ServiceContext, claim: Claim, every_seconds: float = SIGN_OF_LIFE_SECONDS) -> Iterator[None]:
    """Renew the claim from a thread of its own as long as the request runs."""
    over = Event()
    Thread(target=_renew, args=(context, claim, over, every_seconds), name="lease", daemon=True).start()
    try:
        yield
    finally:
        over.set()


def _renew(context: ServiceContext, claim: Claim, over: Event, every_seconds: float) -> None:
    while not over.wait(every_seconds):
        try:
            with context.writing() as session:
                if not claim.renew(session, context.clock() + LEASE):
                    return
        except SQLAlchemyError as fault:
            log.warning("lease not renewed", error=type(fault).__name__)


def _known(row: IdempotencyRow, claim: Claim, fingerprint: str, now: datetime) -> Claim | StoredResponse:
    if row.fingerprint != fingerprint:
        raise KeyReused(say("this Idempotency-Key came before with another request; take a new key"))
    if row.status is not None:
        return StoredResponse(row.status, dict(row.headers or {}), row.body or b"")
    if row.claimed_until > now:
        raise StillRunning(say("the first request with this Idempotency-Key is still running; ask again later"))
    row.claim, row.claimed_until = claim.token, now + LEASE
    return claim


def _sweep(session: Session, before: datetime) -> None:
    """Take out responses that are kept long enough, passing over those that another transaction holds."""
    row = IdempotencyRow
    name = (row.organisation_id, row.client_id, row.key)
    old = select(*name).where(row.created_at < before).limit(SWEPT_AT_ONCE).with_for_update(skip_locked=True)
    names = [tuple(each) for each in session.execute(old)]
    if names:
        session.execute(delete(row).where(tuple_(*name).in_(names)))
