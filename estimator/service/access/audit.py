"""The audit log: who did what, when, from where. A line is written in the action's transaction, and never changed.

The database refuses to change or delete a line (triggers of migration 0008); whoever owns the database could take the
triggers away, which no program can prevent.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeAlias

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from estimator.errors import Fault, Refused
from estimator.sentences import say
from estimator.service.access.scopes import may
from estimator.service.context import Client, ServiceContext, Who, new_id
from estimator.storage.tables import AuditRow

MOST_EXPORTED = 100_000
MOST_OF_ONE = 50
"""Lines of one thing on its page, the newest."""
Document: TypeAlias = Any


@dataclass(frozen=True, slots=True)
class Thing:
    """What an action was done to."""

    kind: str
    id: str


@dataclass(frozen=True, slots=True)
class AuditLine:
    """One line of the log."""

    id: str
    at: datetime
    who: Who
    key_id: str | None
    action: str
    thing: Thing
    detail: Document
    address: str
    request_id: str


@dataclass(frozen=True, slots=True)
class AuditFilter:
    """Which lines: from and until a moment, of one action, of one thing, of one person or key."""

    since: datetime | None = None
    until: datetime | None = None
    action: str | None = None
    thing: str | None = None
    who: str | None = None


def write_down(
    session: Session, context: ServiceContext, client: Client, action: str, thing: Thing, detail: Document = None
) -> None:
    """One more line, in the transaction of the action."""
    session.add(
        AuditRow(
            id=new_id(),
            organisation_id=client.organisation,
            at=context.clock(),
            who_kind=client.who.kind,
            who_id=client.who.id,
            who_name=client.who.name,
            who_role=client.who.role,
            key_id=client.key if client.kind == "key" else None,
            action=action,
            thing_kind=thing.kind,
            thing_id=thing.id,
            detail=detail,
            address=client.address[:64],
            request_id=client.request_id[:64],
        )
    )


def command_line(organisation_id: str) -> Client:
    """Whoever works on the machine itself, at its command line."""
    return Client(organisation_id, "", "admin", "command line", "", kind="command_line")


def note(context: ServiceContext, client: Client, action: str, thing: Thing, detail: Document = None) -> None:
    """One more line, for an action that changed nothing else."""
    with context.writing() as session:
        write_down(session, context, client, action, thing, detail)


def list_lines(
    context: ServiceContext, client: Client, which: AuditFilter, *, before: str | None, limit: int
) -> tuple[AuditLine, ...]:
    """The newest first, from the one after ``before`` on."""
    statement = _asked(client, which)
    if before:
        statement = statement.where(AuditRow.id < before)
    with context.reading() as session:
        return _lines(session.scalars(statement.order_by(AuditRow.id.desc()).limit(limit)))


def history_of(context: ServiceContext, client: Client, thing: str) -> tuple[AuditLine, ...]:
    """Who did what to one thing, the newest last, for its page; nothing for those who may not see costs."""
    if not may(client, "costs:read"):
        return ()
    return list_lines(context, client, AuditFilter(thing=thing), before=None, limit=MOST_OF_ONE)[::-1]


def export_lines(context: ServiceContext, client: Client, which: AuditFilter) -> tuple[AuditLine, ...]:
    """All lines asked for, the oldest first; that they were exported is the newest. Errors: Refused if too many."""
    note(context, client, "audit.exported", Thing("audit", client.organisation))
    with context.reading() as session:
        found = _lines(session.scalars(_asked(client, which).order_by(AuditRow.id).limit(MOST_EXPORTED + 1)))
    if len(found) > MOST_EXPORTED:
        text = say("more than {most} lines", most=MOST_EXPORTED)
        raise Refused(text, [Fault("/since", text, say("a shorter time, by since and until"))])
    return found


def _asked(client: Client, which: AuditFilter) -> Select[AuditRow]:
    row = AuditRow
    statement = select(row).where(row.organisation_id == client.organisation)
    if which.since is not None:
        statement = statement.where(row.at >= which.since)
    if which.until is not None:
        statement = statement.where(row.at < which.until)
    asked = {row.action: which.action, row.thing_id: which.thing, row.who_id: which.who}
    return statement.where(*(column == value for column, value in asked.items() if value is not None))


def _lines(rows: Iterable[AuditRow]) -> tuple[AuditLine, ...]:
    return tuple(
        AuditLine(
            row.id,
            row.at,
            Who(row.who_kind, row.who_id, row.who_name, row.who_role),
            row.key_id,
            row.action,
            Thing(row.thing_kind, row.thing_id),
            row.detail,
            row.address,
            row.request_id,
        )
        for row in rows
    )
