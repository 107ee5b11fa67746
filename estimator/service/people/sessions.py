"""Signing in and out: sessions kept by the digest of their token, a new one at every sign-in, ended by idling.

After a few failures under one name, known or not, the next attempt has to wait, longer each time. Source: OWASP ASVS
5.0, chapters V6 and V7, from memory.
"""

from __future__ import annotations

import secrets
from datetime import datetime, timedelta

from sqlalchemy import delete, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from estimator.errors import EstimatorError
from estimator.service.context import ServiceContext
from estimator.service.people.accounts import token_digest
from estimator.service.people.passwords import is_right
from estimator.service.people.records import Person, person_of
from estimator.storage.people_tables import AccountRow, BrowserSessionRow, SignInAttemptRow

IDLE = timedelta(hours=2)
LONGEST = timedelta(hours=12)
FREE_FAILURES = 5
FIRST_WAIT, LONGEST_WAIT = timedelta(seconds=30), timedelta(minutes=15)
_SEEN_EVERY = timedelta(minutes=1)


class SignInRefused(EstimatorError):
    """No such name with such a password; which of the two is wrong is not told."""


class SignInTooOften(EstimatorError):
    """Too many failures under one name; ``retry_after`` tells when it may be tried again."""

    def __init__(self, seconds: int) -> None:
        super().__init__(f"too many attempts under this name; wait {seconds} s")
        self.retry_after = seconds


def sign_in(context: ServiceContext, login: str, password: str, old_token: str = "") -> tuple[str, Person]:
    """A new session's token, and who signed in; the browser's old session ends.

    Errors: SignInRefused, SignInTooOften.
    """
    name = login.strip().casefold()
    key = token_digest(name)
    _begin_attempt(context, key)
    with context.reading() as session:
        row = session.scalar(select(AccountRow).where(AccountRow.login == name[:254]))
        known = person_of(row) if row is not None and row.ended_at is None else None
        kept = row.password if row is not None and known is not None else None
    if not is_right(kept, password) or known is None:
        raise SignInRefused("no such name with such a password")
    with context.writing() as session:
        session.execute(delete(SignInAttemptRow).where(SignInAttemptRow.digest == key))
    return open_session(context, known, old_token), known


def open_session(context: ServiceContext, person: Person, old_token: str = "") -> str:
    """The token of a new session of somebody who has shown who they are; sessions long idle are swept."""
    token, now = secrets.token_urlsafe(32), context.clock()
    with context.writing() as session:
        old = (BrowserSessionRow.digest == token_digest(old_token)) | (BrowserSessionRow.seen_at <= now - IDLE)
        session.execute(delete(BrowserSessionRow).where(old))
        session.add(BrowserSessionRow(digest=token_digest(token), account_id=person.id, created_at=now, seen_at=now))
    return token


def who_is(context: ServiceContext, token: str) -> Person | None:
    """Whose session it is, if it lives."""
    if not token:
        return None
    now, digest = context.clock(), token_digest(token)
    statement = (
        select(AccountRow, BrowserSessionRow)
        .join(BrowserSessionRow, BrowserSessionRow.account_id == AccountRow.id)
        .where(BrowserSessionRow.digest == digest)
    )
    with context.reading() as session:
        found = session.execute(statement).one_or_none()
    if found is None or found[0].ended_at is not None or not _lives(found[1], now):
        return None
    if now - found[1].seen_at > _SEEN_EVERY:
        with context.writing() as session:
            row = session.get(BrowserSessionRow, digest)
            if row is not None:
                row.seen_at = now
    return person_of(found[0])


def sign_out(context: ServiceContext, token: str) -> None:
    """The session ends; what was not there is not missed."""
    with context.writing() as session:
        session.execute(delete(BrowserSessionRow).where(BrowserSessionRow.digest == token_digest(token)))


def _lives(row: BrowserSessionRow, now: datetime) -> bool:
    return now < row.seen_at + IDLE and now < row.created_at + LONGEST


def _begin_attempt(context: ServiceContext, key: str) -> None:
    """Count the attempt as a failure before the password is looked at, so that many at once all count."""
    now = context.clock()
    try:
        with context.writing() as session:
            row = _attempts(session, key, now)
            wait = _wait(row.failures)
            if now < row.last_at + wait:
                raise SignInTooOften(max(1, round((row.last_at + wait - now).total_seconds())))
            row.failures, row.last_at = row.failures + 1, now
    except IntegrityError as fault:  # the first two attempts under a name, at the same moment
        raise SignInTooOften(1) from fault


def _attempts(session: Session, key: str, now: datetime) -> SignInAttemptRow:
    session.execute(delete(SignInAttemptRow).where(SignInAttemptRow.last_at <= now - timedelta(days=1)))
    row = session.get(SignInAttemptRow, key, with_for_update=True)
    if row is None:
        row = SignInAttemptRow(digest=key, failures=0, last_at=now)
        session.add(row)
        session.flush()
    return row


def _wait(failures: int) -> timedelta:
    """Nothing for the first five, then half a minute, doubled each time.

    >>> [int(_wait(failures).total_seconds()) for failures in (4, 5, 7, 500)]
    [0, 30, 120, 900]
    """
    if failures < FREE_FAILURES:
        return timedelta(0)
    return min(LONGEST_WAIT, FIRST_WAIT * (1 << min(failures - FREE_FAILURES, 10)))
