"""Once only: the answer to a request is kept under its client's key, in the transaction that made what it tells of.

The way of the header Idempotency-Key (an expired draft of the IETF's HTTP API group; from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy import delete
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from estimator.errors import Conflict, Refused
from estimator.service.office import Client, Office
from estimator.storage.tables import Answered

KEPT = timedelta(hours=48)
CLAIM = timedelta(minutes=5)
"""A request that was killed leaves its claim; after this time the key may be taken up again."""


class KeyServesAnother(Refused):
    """The same Idempotency-Key came before, with another request."""


class StillRunning(Conflict):
    """The first request with this Idempotency-Key has not been answered yet."""


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer as it was given."""

    status: int
    headers: dict[str, str]
    body: bytes


@dataclass(frozen=True, slots=True)
class Receipt:
    """A claim on a key, to be sealed with the answer."""

    key_id: str
    key: str

    def seal(self, session: Session, answer: Answer) -> None:
        """Keep the answer in the same transaction."""
        row = session.get_one(Answered, (self.key_id, self.key))
        row.status, row.headers, row.body = answer.status, answer.headers, answer.body


def claim(office: Office, client: Client, key: str, fingerprint: str) -> Receipt | Answer:
    """A receipt for a new request, or the answer already given to the same one.

    Errors: KeyServesAnother, StillRunning.
    """
    now = office.clock()
    with office.writing() as session:
        session.execute(delete(Answered).where(Answered.created_at < now - KEPT))
        row = session.get(Answered, (client.key, key))
        if row is not None:
            if row.fingerprint != fingerprint:
                raise KeyServesAnother("this Idempotency-Key came before with another request; take a new key")
            if row.status is not None:
                return Answer(row.status, dict(row.headers or {}), row.body or b"")
            if row.claimed_until > now:
                raise StillRunning("the first request with this Idempotency-Key is still running; ask again later")
            row.claimed_until = now + CLAIM
            return Receipt(client.key, key)
        session.add(
            Answered(api_key_id=client.key, key=key, fingerprint=fingerprint, claimed_until=now + CLAIM, created_at=now)
        )
        try:
            session.flush()
        except IntegrityError as fault:
            raise StillRunning("the first request with this Idempotency-Key is still running") from fault
    return Receipt(client.key, key)


def release(office: Office, receipt: Receipt) -> None:
    """Nothing was made: the key may be used again."""
    with office.writing() as session:
        row = session.get(Answered, (receipt.key_id, receipt.key))
        if row is not None and row.status is None:
            session.delete(row)
