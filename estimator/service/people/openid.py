"""Signing in through the house's provider: a browser is sent there, and what it comes back with opens a session.

Only people with an account come in. The first time they are known by the address that the provider has verified,
which is the name they sign in with; from then on by the provider's own name for them, whatever their address.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from datetime import timedelta

from sqlalchemy import delete, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from estimator.errors import EstimatorError, NotFound
from estimator.sentences import say
from estimator.service.access.audit import Thing, write_down
from estimator.service.context import ServiceContext
from estimator.service.identity_provider import Chances, Proven, Provider, ProviderFailed, ProviderRefused
from estimator.service.people.accounts import token_digest
from estimator.service.people.records import Person, person_of
from estimator.service.people.sessions import begin_attempt_from, forgive_attempt_from, open_session
from estimator.storage.tables import AccountRow, ProviderVisitRow

AWAY = timedelta(minutes=10)
"""How long somebody may take at the provider."""


class NotInvited(EstimatorError):
    """The provider knows who came, but nobody has invited them here."""


def leave(context: ServiceContext, visitor: str, onward: str, address: str) -> str:
    """Where to send a browser, known by its random token. Errors: NotFound, ProviderFailed, SignInTooOften."""
    provider = _provider(context)
    begin_attempt_from(context, address)
    chances = Chances(secrets.token_urlsafe(32), secrets.token_urlsafe(32), secrets.token_urlsafe(64))
    to = provider.address(chances)
    now = context.clock()
    with context.writing() as session:
        session.execute(delete(ProviderVisitRow).where(ProviderVisitRow.started_at <= now - AWAY))
        session.add(
            ProviderVisitRow(
                digest=token_digest(chances.state),
                visitor=token_digest(visitor),
                nonce=chances.nonce,
                verifier=chances.verifier,
                onward=onward[:2_000],
                started_at=now,
            )
        )
    return to


def come_back(
    context: ServiceContext, visitor: str, answer: Mapping[str, str], address: str
) -> tuple[str, Person, str]:
    """The token of a new session, who signed in, and where they wanted to go.

    Errors: ProviderRefused, ProviderFailed, NotInvited, NotFound.
    """
    provider = _provider(context)
    visit = _taken(context, visitor, answer.get("state", ""))
    chances = Chances(answer["state"], visit.nonce, visit.verifier)
    proven = provider.proven(answer, chances, context.clock())
    try:
        person = _known(context, proven, address)
    except IntegrityError as fault:  # two of the same person's first visits, at the same moment
        raise ProviderRefused(say("somebody came in by this name at the same moment")) from fault
    forgive_attempt_from(context, address)
    return open_session(context, person, visitor), person, visit.onward


def ending_at_provider(context: ServiceContext) -> str:
    """Where somebody who has signed out here does so at the provider; nothing where it offers none or fails."""
    if context.ways.provider is None:
        return ""
    try:
        return context.ways.provider.ending()
    except ProviderFailed:
        return ""


def _provider(context: ServiceContext) -> Provider:
    if context.ways.provider is None:
        raise NotFound(say("this house has no provider to sign in through"))
    return context.ways.provider


def _taken(context: ServiceContext, visitor: str, state: str) -> ProviderVisitRow:
    """The visit that an answer belongs to: this browser's, begun lately, and answered once."""
    digest = token_digest(state)
    with context.writing() as session:
        row = session.get(ProviderVisitRow, digest, with_for_update=True)
        if row is not None:
            session.delete(row)
    if row is None or row.visitor != token_digest(visitor) or row.started_at <= context.clock() - AWAY:
        raise ProviderRefused(say("this browser did not ask for such an answer, or it was used already"))
    return row


def _known(context: ServiceContext, proven: Proven, address: str) -> Person:
    with context.writing() as session:
        row = _bound(session, proven) or _first_time(session, proven)
        if row is None or row.ended_at is not None:
            raise NotInvited(say("nobody was invited under this name; an administrator can do that"))
        is_new = row.subject is None
        row.issuer, row.subject = proven.issuer, proven.subject
        row.invitation = row.invited_until = None
        person = person_of(row)
        if is_new:
            client = person.client
            detail = {"issuer": proven.issuer, "address": address[:64]}
            write_down(session, context, client, "account.bound", Thing("account", row.id), detail)
        return person


def _bound(session: Session, proven: Proven) -> AccountRow | None:
    where = (AccountRow.issuer == proven.issuer) & (AccountRow.subject == proven.subject)
    return session.scalar(select(AccountRow).where(where))


def _first_time(session: Session, proven: Proven) -> AccountRow | None:
    """Whose account has the verified address, and is not somebody else's already."""
    if not proven.email:
        return None
    login = proven.email.strip().casefold()
    where = (AccountRow.login == login) & AccountRow.subject.is_(None)
    return session.scalar(select(AccountRow).where(where).with_for_update())
