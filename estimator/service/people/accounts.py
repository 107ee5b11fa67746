"""Accounts: made by an invitation that is opened once, changed, ended; nobody chooses a password for somebody else."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy import delete, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from estimator.errors import AlreadyUsed, ChoiceRefused, Conflict, EstimatorError, Fault, NotFound
from estimator.sentences import LANGUAGES, say
from estimator.service.access.audit import Document, Thing, command_line, write_down
from estimator.service.context import Client, ServiceContext, new_id
from estimator.service.people.passwords import digest_of, is_right
from estimator.service.people.records import UNITS, Person, person_of
from estimator.storage.roles import ROLES
from estimator.storage.tables import AccountRow, BrowserSessionRow, OrganisationRow

INVITATION_DAYS = 7


class WrongPassword(EstimatorError):
    """The present password, asked for before it is changed, is another one."""


@dataclass(frozen=True, slots=True)
class Newcomer:
    """Who is invited: ``login`` is what they sign in with, ``name`` what "prepared by" prints."""

    login: str
    name: str
    role: str
    language: str = "en"
    units: str = "metric"


def invite(
    context: ServiceContext, organisation: str, newcomer: Newcomer, by: Client | None = None
) -> tuple[str, Person]:
    """A new account and the token of its invitation, which is shown only here and opens it once.

    ``by``: who invites into their own house; without it the command line does.

    Errors: ChoiceRefused with every fault; AlreadyUsed if somebody signs in by that login.
    """
    _check(newcomer)
    now, token = context.clock(), secrets.token_urlsafe(32)
    try:
        with context.writing() as session:
            row = AccountRow(
                id=new_id(),
                organisation_id=by.organisation if by else _organisation(session, context, organisation),
                login=_login(newcomer.login),
                name=newcomer.name.strip(),
                role=newcomer.role,
                language=newcomer.language,
                units=newcomer.units,
                invitation=token_digest(token),
                invited_until=now + timedelta(days=INVITATION_DAYS),
                created_at=now,
            )
            session.add(row)
            session.flush()
            _write_down(session, context, row, "account.invited", _terms(row), by)
            return token, person_of(row)
    except IntegrityError as fault:
        raise AlreadyUsed(say("somebody signs in as {login} already", login=repr(newcomer.login))) from fault


def invite_again(context: ServiceContext, login: str, by: Client | None = None) -> tuple[str, Person]:
    """A new invitation to an account, with which its owner chooses a new password; the old one ends with that."""
    token = secrets.token_urlsafe(32)
    with context.writing() as session:
        row = _find(session, login)
        if row.ended_at is not None:
            raise Conflict(say("the account has ended"))
        row.invitation = token_digest(token)
        row.invited_until = context.clock() + timedelta(days=INVITATION_DAYS)
        _write_down(session, context, row, "account.invited_again", by=by)
        return token, person_of(row)


def invited(context: ServiceContext, token: str) -> Person:
    """Whose invitation it is. Errors: NotFound where it was opened, has ended or never was."""
    with context.reading() as session:
        return person_of(_invited(session, context, token))


def take_invitation(context: ServiceContext, token: str, password: str) -> Person:
    """Set the password; the invitation and all sessions end. Errors: NotFound, PasswordRefused."""
    known = invited(context, token)
    digest = digest_of(password, known.name, known.login)
    with context.writing() as session:
        row = _invited(session, context, token)
        row.password, row.invitation, row.invited_until = digest, None, None
        session.execute(delete(BrowserSessionRow).where(BrowserSessionRow.account_id == row.id))
        themselves = Client(row.organisation_id, "", row.role, row.name, row.id, kind="account")
        write_down(session, context, themselves, "account.password_chosen", Thing("account", row.id))
        return person_of(row)


def change_password(context: ServiceContext, client: Client, present: str, password: str) -> None:
    """Another password for whoever shows the present one; all sessions end. Errors: WrongPassword, PasswordRefused."""
    with context.reading() as session:
        row = session.get_one(AccountRow, client.id)
        kept, names = row.password, (row.name, row.login)
    if not is_right(kept, present):
        raise WrongPassword(say("the present password is another one"))
    digest = digest_of(password, *names)
    with context.writing() as session:
        row = session.get_one(AccountRow, client.id)
        row.password, row.invitation, row.invited_until = digest, None, None
        session.execute(delete(BrowserSessionRow).where(BrowserSessionRow.account_id == row.id))
        write_down(session, context, client, "account.password_changed", Thing("account", row.id))


def set_password(context: ServiceContext, login: str, password: str) -> Person:
    """Set a password from the machine the service runs on. Errors: NotFound, PasswordRefused."""
    digest = digest_of(password, login)
    with context.writing() as session:
        row = _find(session, login)
        row.password, row.invitation, row.invited_until = digest, None, None
        session.execute(delete(BrowserSessionRow).where(BrowserSessionRow.account_id == row.id))
        _write_down(session, context, row, "account.password_set")
        return person_of(row)


def change_person(context: ServiceContext, login: str, changes: dict[str, str], by: Client | None = None) -> Person:
    """Another name, role, language or other units. Errors: NotFound, ChoiceRefused."""
    with context.writing() as session:
        row = _find(session, login)
        before = _terms(row)
        for name, value in changes.items():
            setattr(row, name, value)
        _check(Newcomer(row.login, row.name, row.role, row.language, row.units))
        _write_down(session, context, row, "account.changed", {"before": before, "after": _terms(row)}, by)
        return person_of(row)


def end_account(context: ServiceContext, login: str, by: Client | None = None) -> Person:
    """End an account and its sessions; what it did stays."""
    with context.writing() as session:
        row = _find(session, login)
        row.ended_at = row.ended_at or context.clock()
        row.invitation = row.invited_until = None
        session.execute(delete(BrowserSessionRow).where(BrowserSessionRow.account_id == row.id))
        _write_down(session, context, row, "account.ended", by=by)
        return person_of(row)


def list_people(context: ServiceContext) -> tuple[tuple[Person, str], ...]:
    """Everybody with the name of their organisation, oldest first."""
    statement = select(AccountRow, OrganisationRow.name).join(OrganisationRow).order_by(AccountRow.id)
    with context.reading() as session:
        return tuple((person_of(row), name) for row, name in session.execute(statement).all())


def people_of(context: ServiceContext, client: Client) -> tuple[Person, ...]:
    """Everybody of the client's organisation, by name; those whose account has ended last."""
    statement = select(AccountRow).where(AccountRow.organisation_id == client.organisation)
    with context.reading() as session:
        found = [person_of(row) for row in session.scalars(statement)]
    return tuple(sorted(found, key=lambda each: (each.standing == "ended", each.name.casefold(), each.login)))


def token_digest(token: str) -> str:
    """The digest of a random token, under which it is kept."""
    return hashlib.sha256(token.encode()).hexdigest()


def _terms(row: AccountRow) -> Document:
    """What an account may and reads, as it is written down."""
    return {"login": row.login, "name": row.name, "role": row.role, "language": row.language, "units": row.units}


def _write_down(
    session: Session,
    context: ServiceContext,
    row: AccountRow,
    action: str,
    detail: Document = None,
    by: Client | None = None,
) -> None:
    """Record an action on an account in its organisation's log, by somebody or from the command line."""
    detail = detail if detail is not None else {"login": row.login}
    who = by or command_line(row.organisation_id)
    write_down(session, context, who, action, Thing("account", row.id), detail)


def _check(newcomer: Newcomer) -> None:
    allowed = {"role": ROLES, "language": LANGUAGES, "units": UNITS}
    faults = [
        Fault(f"/{name}", say("no {field} {value}", field=name, value=repr(getattr(newcomer, name))), ", ".join(words))
        for name, words in allowed.items()
        if getattr(newcomer, name) not in words
    ]
    for name, longest in (("login", 254), ("name", 200)):
        text = getattr(newcomer, name).strip()
        if not 0 < len(text) <= longest or not text.isprintable():
            faults.append(
                Fault(f"/{name}", say("cannot be used"), say("1 to {longest} characters that print", longest=longest))
            )
    if faults:
        raise ChoiceRefused(say("an account cannot be made so"), faults)


def _login(text: str) -> str:
    return text.strip().casefold()


def _find(session: Session, login: str) -> AccountRow:
    row = session.scalar(select(AccountRow).where(AccountRow.login == _login(login)))
    if row is None:
        raise NotFound(say("nobody signs in as {login}", login=repr(login)))
    return row


def _invited(session: Session, context: ServiceContext, token: str) -> AccountRow:
    row = session.scalar(select(AccountRow).where(AccountRow.invitation == token_digest(token)))
    if row is None or row.ended_at or row.invited_until is None or row.invited_until <= context.clock():
        raise NotFound(say("this invitation was opened already, or has ended; ask for a new one"))
    return row


def _organisation(session: Session, context: ServiceContext, name: str) -> str:
    row = session.scalar(select(OrganisationRow).where(OrganisationRow.name == name))
    if row is None:
        row = OrganisationRow(id=new_id(), name=name, last_number=0, created_at=context.clock())
        session.add(row)
        session.flush()
    return row.id
