"""Signing in and out: sessions kept by the digest of their token, a new one at every sign-in, ended by idling.

After a few failures under one name, known or not, the next attempt has to wait, longer each time. From one address (of
IPv6: one network of 64 bits) only so many attempts fail in a while, whatever the names. Both are kept in the database,
for all machines. Source: OWASP ASVS 5.0, chapters V6 and V7, from memory.
"""

from __future__ import annotations

import secrets
from datetime import datetime, timedelta
from ipaddress import IPv6Address, ip_address, ip_network

from sqlalchemy import delete, func, select, update
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from estimator.errors import EstimatorError
from estimator.sentences import say
from estimator.service.access.audit import Thing, write_down
from estimator.service.context import Client, ServiceContext
from estimator.service.people.accounts import token_digest
from estimator.service.people.passwords import digest_of, is_outdated, is_right
from estimator.service.people.records import Person, person_of
from estimator.storage.tables import AccountRow, BrowserSessionRow, SignInAttemptRow

IDLE = timedelta(hours=2)
LONGEST = timedelta(hours=12)
FREE_FAILURES = 5
FIRST_WAIT, LONGEST_WAIT = timedelta(seconds=30), timedelta(minutes=15)
FAILURES_AT_ONCE, FORGOTTEN_EVERY = 30, timedelta(seconds=20)
"""From one address: so many at once, and one more every so often. A house behind one address still gets in."""
_SEEN_EVERY = timedelta(minutes=1)


class SignInRefused(EstimatorError):
    """No such name with such a password; which of the two is wrong is not told."""


class PasswordsOff(EstimatorError):
    """Nobody signs in with a password here: the house has a provider for that."""


class SignInTooOften(EstimatorError):
    """Too many failures under one name or from one address; ``retry_after`` tells when it may be tried again."""

    def __init__(self, seconds: int) -> None:
        super().__init__(say("too many attempts; wait {seconds} s", seconds=seconds))
        self.retry_after = seconds


def sign_in(
    context: ServiceContext, login: str, password: str, old_token: str = "", address: str = ""
) -> tuple[str, Person]:
    """A new session's token, and who signed in; the browser's old session ends.

    Errors: SignInRefused, SignInTooOften, PasswordsOff.
    """
    if not context.ways.passwords:
        raise PasswordsOff(say("this house signs in through its provider"))
    name = login.strip().casefold()
    key = token_digest(name)
    begin_attempt_from(context, address)
    _begin_attempt(context, key)
    with context.reading() as session:
        row = session.scalar(select(AccountRow).where(AccountRow.login == name[:254]))
        known = person_of(row) if row is not None and row.ended_at is None else None
        kept = row.password if row is not None and known is not None else None
    if not is_right(kept, password) or known is None:
        raise SignInRefused(say("no such name with such a password"))
    renewed = digest_of(password) if kept is not None and is_outdated(kept) else None
    with context.writing() as session:
        session.execute(delete(SignInAttemptRow).where(SignInAttemptRow.digest == key))
        if renewed is not None:
            session.execute(update(AccountRow).where(AccountRow.id == known.id).values(password=renewed))
    forgive_attempt_from(context, address)
    return open_session(context, known, old_token), known


def open_session(context: ServiceContext, person: Person, old_token: str = "") -> str:
    """The token of a new session of somebody who has shown who they are; sessions long idle are swept."""
    token, now = secrets.token_urlsafe(32), context.clock()
    with context.writing() as session:
        old = (BrowserSessionRow.digest == token_digest(old_token)) | (BrowserSessionRow.seen_at <= now - IDLE)
        session.execute(delete(BrowserSessionRow).where(old))
        session.add(BrowserSessionRow(digest=token_digest(token), account_id=person.id, created_at=now, seen_at=now))
        session.execute(update(AccountRow).where(AccountRow.id == person.id).values(signed_in_at=now))
    return token


def end_sessions(context: ServiceContext, client: Client, but: str) -> int:
    """End somebody's sessions in other browsers, and tell how many those were; the one with the token ``but`` stays."""
    others = (BrowserSessionRow.account_id == client.id) & (BrowserSessionRow.digest != token_digest(but))
    with context.writing() as session:
        count = len(session.scalars(delete(BrowserSessionRow).where(others).returning(BrowserSessionRow.digest)).all())
        write_down(session, context, client, "account.sessions_ended", Thing("account", client.id), {"count": count})
    return count


def live_sessions(context: ServiceContext, client: Client) -> int:
    """In how many browsers somebody is signed in."""
    now = context.clock()
    lives = (BrowserSessionRow.seen_at > now - IDLE) & (BrowserSessionRow.created_at > now - LONGEST)
    counted = select(func.count()).where(BrowserSessionRow.account_id == client.id, lives)
    with context.reading() as session:
        return session.scalar(counted) or 0


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
    """End a session, if there is one."""
    with context.writing() as session:
        session.execute(delete(BrowserSessionRow).where(BrowserSessionRow.digest == token_digest(token)))


def _lives(row: BrowserSessionRow, now: datetime) -> bool:
    return now < row.seen_at + IDLE and now < row.created_at + LONGEST


def begin_attempt_from(context: ServiceContext, address: str) -> None:
    """Count an attempt from an address before it is looked at. Errors: SignInTooOften."""
    now = context.clock()
    try:
        with context.writing() as session:
            row = _attempts(session, _address_key(address), now)
            gone = int((now - row.last_at) / FORGOTTEN_EVERY) if row.failures else 0
            row.failures, row.last_at = max(0, row.failures - gone), row.last_at + gone * FORGOTTEN_EVERY
            if row.failures >= FAILURES_AT_ONCE:
                wait = row.last_at + FORGOTTEN_EVERY - now
                raise SignInTooOften(max(1, round(wait.total_seconds())))
            row.last_at = row.last_at if row.failures else now
            row.failures += 1
    except IntegrityError as fault:  # the first two attempts from an address, at the same moment
        raise SignInTooOften(1) from fault


def forgive_attempt_from(context: ServiceContext, address: str) -> None:
    """An attempt that succeeded counts no more; those before it stay, or whoever has one account could try all."""
    with context.writing() as session:
        row = session.get(SignInAttemptRow, _address_key(address), with_for_update=True)
        if row is not None:
            row.failures = max(0, row.failures - 1)


def _address_key(address: str) -> str:
    """An address as it is counted: of IPv6 its network, since whoever has one has all of it."""
    try:
        known = ip_address(address.partition("%")[0])
    except ValueError:
        return token_digest(f"\0{address}")
    network = ip_network((known, 64), strict=False) if isinstance(known, IPv6Address) else known
    return token_digest(f"\0{network}")


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
    """Seconds to wait: none for the first five failures, then half a minute, doubled each time.

    >>> [int(_wait(failures).total_seconds()) for failures in (4, 5, 7, 500)]
    [0, 30, 120, 900]
    """
    if failures < FREE_FAILURES:
        return timedelta(0)
    return min(LONGEST_WAIT, FIRST_WAIT * (1 << min(failures - FREE_FAILURES, 10)))
