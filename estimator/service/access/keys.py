"""Keys: made once, kept as a digest, expiring, replaceable with two live at once.

A key is 256 random bits, so a fast digest is enough: slow ones protect words that people choose.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import re
import secrets
import zlib
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from sqlalchemy import bindparam, func, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from estimator.errors import ChoiceRefused, Conflict, Fault, NotFound
from estimator.sentences import say
from estimator.service.access.audit import Thing, command_line, write_down
from estimator.service.access.key_terms import DEFAULT_DAYS, FIRST_ORGANISATION
from estimator.service.context import Client, ServiceContext, StoreResponse, new_id
from estimator.storage.roles import ROLES
from estimator.storage.tables import ApiKeyRow, OrganisationRow

_TOKEN = re.compile(r"est_([0-9a-z]{10})_([A-Za-z0-9_-]{43})([0-9a-f]{8})\Z")
_SEEN_EVERY = timedelta(hours=1)
OF_PREFIX = select(
    ApiKeyRow.id,
    ApiKeyRow.organisation_id,
    ApiKeyRow.client_id,
    ApiKeyRow.role,
    ApiKeyRow.name,
    ApiKeyRow.digest,
    ApiKeyRow.expires_at,
    ApiKeyRow.revoked_at,
    ApiKeyRow.last_used_at,
).where(ApiKeyRow.prefix == bindparam("prefix"))
KEYS = select(ApiKeyRow, OrganisationRow.name).join(OrganisationRow)


KeyState = Literal["live", "expired", "revoked"]
LIVE_AT_ONCE = 2
"""Keys of one client that are live at the same time: the one in use, and the one that takes its place."""


@dataclass(frozen=True, slots=True)
class KeySummary:
    """What may be shown of a key; ``client`` is the same for a key and those that replace it."""

    id: str
    client: str
    organisation: str
    prefix: str
    role: str
    name: str
    state: KeyState
    created_at: datetime
    expires_at: datetime
    revoked_at: datetime | None
    last_used_at: datetime | None


@dataclass(frozen=True, slots=True)
class MadeKey:
    """A key that was just made: the only time that it is known whole."""

    token: str
    card: KeySummary


@dataclass(frozen=True, slots=True)
class KeyKind:
    """What a key is for: its role, who or what uses it, and for how many days."""

    role: str
    name: str
    days: int = DEFAULT_DAYS


def create_key(
    context: ServiceContext, organisation: str, role: str, name: str, days: int = DEFAULT_DAYS
) -> tuple[str, KeySummary]:
    """A new key and its card; the organisation is made if there is none of that name. The key is shown only here."""
    _refuse_unknown(role)
    with context.writing() as session:
        row = session.scalar(select(OrganisationRow).where(OrganisationRow.name == organisation))
        row = row or _new_organisation(session, context, organisation)
        made = _add_key(session, context, row, KeyKind(role, name, days))
        _tell(session, context, command_line(row.id), "key.made", made.card)
        return made.token, made.card


def make_key(context: ServiceContext, client: Client, kind: KeyKind, store: StoreResponse) -> MadeKey:
    """A new key of the client's own organisation."""
    _refuse_unknown(kind.role)
    with context.writing() as session:
        made = _add_key(
            session, context, session.get_one(OrganisationRow, client.organisation), kind, made_by=client.id
        )
        _tell(session, context, client, "key.made", made.card)
        store(session, made)
        return made


def first_key(context: ServiceContext) -> str | None:
    """An admin key if the service has no organisation yet, else nothing; of servers starting at once one makes it."""
    try:
        with context.writing() as session:
            if session.scalar(select(OrganisationRow.id).limit(1)) is not None:
                return None
            row = _new_organisation(session, context, FIRST_ORGANISATION)
            made = _add_key(session, context, row, KeyKind("admin", "first key"))
            _tell(session, context, command_line(row.id), "key.made", made.card)
            return made.token
    except IntegrityError:
        return None


def _new_organisation(session: Session, context: ServiceContext, name: str) -> OrganisationRow:
    row = OrganisationRow(id=new_id(), name=name, last_number=0, created_at=context.clock())
    session.add(row)
    session.flush()
    return row


def identify(context: ServiceContext, token: str, address: str = "", request_id: str = "") -> Client | None:
    """Whose key it is, if it is live; its use is recorded at most once an hour."""
    match = _TOKEN.match(token)
    if match is None or f"{zlib.crc32(token[:-8].encode()):08x}" != match[3]:
        return None
    now = context.clock()
    with context.looking_up() as connection:
        row = connection.execute(OF_PREFIX, {"prefix": match[1]}).one_or_none()
    if row is None or not hmac.compare_digest(row.digest, _digest(token)):
        return None
    if row.expires_at <= now or (row.revoked_at is not None and row.revoked_at <= now):
        return None
    client = Client(
        row.organisation_id, row.id, row.role, row.name, row.client_id, address=address, request_id=request_id
    )
    if row.last_used_at is None or now - row.last_used_at > _SEEN_EVERY:
        with context.writing() as session:
            session.get_one(ApiKeyRow, row.id).last_used_at = now
            write_down(session, context, client, "key.used", Thing("key", row.id))
    return client


def list_keys(context: ServiceContext) -> tuple[KeySummary, ...]:
    """All keys of all organisations, oldest first, without anything secret."""
    with context.reading() as session:
        rows = session.execute(KEYS.order_by(ApiKeyRow.id)).all()
        return tuple(_summary(row, name, context.clock()) for row, name in rows)


def page_of_keys(
    context: ServiceContext, client: Client, *, before: str | None, limit: int, since: datetime | None = None
) -> tuple[KeySummary, ...]:
    """The keys of an organisation, the newest first, from the one after ``before`` on."""
    statement = KEYS.where(ApiKeyRow.organisation_id == client.organisation)
    if before:
        statement = statement.where(ApiKeyRow.id < before)
    if since is not None:
        statement = statement.where(func.coalesce(ApiKeyRow.revoked_at, ApiKeyRow.created_at) >= since)
    with context.reading() as session:
        rows = session.execute(statement.order_by(ApiKeyRow.id.desc()).limit(limit)).all()
        return tuple(_summary(row, name, context.clock()) for row, name in rows)


def get_key(context: ServiceContext, client: Client, key_id: str) -> KeySummary:
    """One key of the client's organisation. Errors: NotFound, also for another organisation's."""
    with context.reading() as session:
        row, organisation = _own(session, client, key_id)
        return _summary(row, organisation.name, context.clock())


def revoke_key(context: ServiceContext, prefix: str) -> KeySummary:
    """Revoke a key."""
    with context.writing() as session:
        row, organisation = _find(session, prefix)
        card = _revoked(context, row, organisation)
        _tell(session, context, command_line(organisation.id), "key.revoked", card)
        return card


def revoke_own_key(context: ServiceContext, client: Client, key_id: str, store: StoreResponse) -> KeySummary:
    """As ``revoke_key``, for a key of the client's organisation. Errors: NotFound."""
    with context.writing() as session:
        card = _revoked(context, *_own(session, client, key_id))
        _tell(session, context, client, "key.revoked", card)
        session.flush()
        store(session, card)
        return card


def rotate_key(
    context: ServiceContext, prefix: str, overlap_days: int = 7, days: int = DEFAULT_DAYS
) -> tuple[str, KeySummary]:
    """A new key of the same role; the old one stays valid for the overlap, so that programs can change over.

    Errors: NotFound; Conflict where it is revoked, or where another key has taken its place that is live too.
    """
    with context.writing() as session:
        found = _find(session, prefix)
        made = _rotated(session, context, found, (overlap_days, days), None)
        _tell(session, context, command_line(found[1].id), "key.rotated", made.card, instead_of=found[0].id)
        return made.token, made.card


def rotate_own_key(
    context: ServiceContext, client: Client, key_id: str, spans: tuple[int, int], store: StoreResponse
) -> MadeKey:
    """As ``rotate_key``, for a key of the client's organisation; ``spans``: days of overlap, days of the new key."""
    with context.writing() as session:
        made = _rotated(session, context, _own(session, client, key_id), spans, client.id)
        _tell(session, context, client, "key.rotated", made.card, instead_of=key_id)
        store(session, made)
        return made


def _rotated(
    session: Session,
    context: ServiceContext,
    found: tuple[ApiKeyRow, OrganisationRow],
    spans: tuple[int, int],
    made_by: str | None,
) -> MadeKey:
    (row, organisation), (overlap_days, days), now = found, spans, context.clock()
    if row.revoked_at is not None:
        raise Conflict(say("the key is revoked; make a new one"))
    of_client = select(ApiKeyRow).where(
        ApiKeyRow.organisation_id == row.organisation_id, ApiKeyRow.client_id == row.client_id
    )
    others = [each for each in session.scalars(of_client.with_for_update()) if each.id != row.id]
    live = [each for each in others if _state(each, now) == "live"]
    if len(live) >= LIVE_AT_ONCE - 1 and _state(row, now) == "live":
        raise Conflict(
            say(
                "two keys of this client are live already; revoke est_{prefix}_... or est_{prefix2}_...",
                prefix=live[0].prefix,
                prefix2=row.prefix,
            )
        )
    row.expires_at = min(row.expires_at, now + timedelta(days=overlap_days))
    kind = KeyKind(row.role, row.name, days)
    return _add_key(session, context, organisation, kind, client_id=row.client_id, made_by=made_by)


def _revoked(context: ServiceContext, row: ApiKeyRow, organisation: OrganisationRow) -> KeySummary:
    row.revoked_at = row.revoked_at or context.clock()
    return _summary(row, organisation.name, context.clock())


def _refuse_unknown(role: str) -> None:
    if role not in ROLES:
        raise ChoiceRefused(
            say("no role {role}", role=repr(role)),
            [Fault("/role", say("no role {role}", role=repr(role)), ", ".join(ROLES))],
        )


def _add_key(
    session: Session,
    context: ServiceContext,
    organisation: OrganisationRow,
    kind: KeyKind,
    *,
    client_id: str | None = None,
    made_by: str | None = None,
) -> MadeKey:
    prefix = "".join(secrets.choice("0123456789abcdefghijklmnopqrstuvwxyz") for _ in range(10))
    secret = base64.urlsafe_b64encode(secrets.token_bytes(32)).rstrip(b"=").decode()
    body = f"est_{prefix}_{secret}"
    token = f"{body}{zlib.crc32(body.encode()):08x}"
    now = context.clock()
    key_id = new_id()
    row = ApiKeyRow(
        id=key_id,
        organisation_id=organisation.id,
        client_id=client_id or key_id,
        prefix=prefix,
        digest=_digest(token),
        role=kind.role,
        name=kind.name,
        created_at=now,
        expires_at=now + timedelta(days=kind.days),
        made_by=made_by,
    )
    session.add(row)
    session.flush()
    return MadeKey(token, _summary(row, organisation.name, now))


def _find(session: Session, prefix: str) -> tuple[ApiKeyRow, OrganisationRow]:
    asked = prefix.removeprefix("est_").split("_")[0]
    found = session.execute(
        select(ApiKeyRow, OrganisationRow).join(OrganisationRow).where(ApiKeyRow.prefix == asked)
    ).first()
    if found is None:
        raise NotFound(say("no key begins with {asked}", asked=repr(asked)))
    return found[0], found[1]


def _own(session: Session, client: Client, key_id: str) -> tuple[ApiKeyRow, OrganisationRow]:
    statement = select(ApiKeyRow, OrganisationRow).join(OrganisationRow)
    found = session.execute(
        statement.where(ApiKeyRow.id == key_id, ApiKeyRow.organisation_id == client.organisation)
    ).first()
    if found is None:
        raise NotFound(say("no such key"))
    return found[0], found[1]


def _tell(
    session: Session, context: ServiceContext, client: Client, action: str, card: KeySummary, **detail: str
) -> None:
    known = {"name": card.name, "role": card.role, "begins_with": f"est_{card.prefix}_", **detail}
    write_down(session, context, client, action, Thing("key", card.id), known)


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def _state(row: ApiKeyRow, now: datetime) -> KeyState:
    if row.revoked_at is not None and row.revoked_at <= now:
        return "revoked"
    return "live" if row.expires_at > now else "expired"


def _summary(row: ApiKeyRow, organisation: str, now: datetime) -> KeySummary:
    return KeySummary(
        row.id,
        row.client_id,
        organisation,
        row.prefix,
        row.role,
        row.name,
        _state(row, now),
        row.created_at,
        row.expires_at,
        row.revoked_at,
        row.last_used_at,
    )
