"""Idempotency: the response to a request is kept under its client's key, in the transaction that made what it tells of.

The way of the header Idempotency-Key (an expired draft of the IETF's HTTP API group; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy import delete
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from estimator.errors import Conflict, Refused
from estimator.service.context import Client, ServiceContext
from estimator.storage.tables import IdempotencyRow

KEPT = timedelta(hours=48)
CLAIM = timedelta(minutes=5)
"""A request that was killed leaves its claim; after this time the key may be taken up again."""


class KeyReused(Refused):
    """The same Idempotency-Key came before, with another request."""


class StillRunning(Conflict):
    """The first request with this Idempotency-Key has not been answered yet."""


@dataclass(frozen=True, slots=True)
class StoredResponse:
    """A response as it was given."""

    status: int
    headers: dict[str, str]
    body: bytes


@dataclass(frozen=True, slots=True)
class Claim:
    """A claim on a key, until the response is stored under it."""

    key_id: str
    key: str

    def store(self, session: Session, response: StoredResponse) -> None:
        """Store the response in the same transaction."""
        row = session.get_one(IdempotencyRow, (self.key_id, self.key))
        row.status, row.headers, row.body = response.status, response.headers, response.body


def claim_key(context: ServiceContext, client: Client, key: str, fingerprint: str) -> Claim | StoredResponse:
    """A claim for a new request, or the response already given to the same one.

    Errors: KeyReused, StillRunning.
    """
    now = context.clock()
    with context.writing() as session:
        session.execute(delete(IdempotencyRow).where(IdempotencyRow.created_at < now - KEPT))
        row = session.get(IdempotencyRow, (client.key, key))
        if row is not None:
            if row.fingerprint != fingerprint:
                raise KeyReused("this Idempotency-Key came before with another request; take a new key")
            if row.status is not None:
                return StoredResponse(row.status, dict(row.headers or {}), row.body or b"")
            if row.claimed_until > now:
                raise StillRunning("the first request with this Idempotency-Key is still running; ask again later")
            row.claimed_until = now + CLAIM
            return Claim(client.key, key)
        session.add(
            IdempotencyRow(
                api_key_id=client.key, key=key, fingerprint=fingerprint, claimed_until=now + CLAIM, created_at=now
            )
        )
        try:
            session.flush()
        except IntegrityError as fault:
            raise StillRunning("the first request with this Idempotency-Key is still running") from fault
    return Claim(client.key, key)


def release_key(context: ServiceContext, claim: Claim) -> None:
    """Nothing was made: the key may be used again."""
    with context.writing() as session:
        row = session.get(IdempotencyRow, (claim.key_id, claim.key))
        if row is not None and row.status is None:
            session.delete(row)
