"""Keys: made once, kept as a digest, expiring, replaceable with two live at once.

A key is 256 bits of chance, so a fast digest is enough: slow ones guard words that people choose.
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

from sqlalchemy import bindparam, select
from sqlalchemy.orm import Session

from estimator.errors import ChoiceRefused, Fault, NotFound
from estimator.service.context import Client, ServiceContext, new_id
from estimator.service.key_terms import DEFAULT_DAYS, FIRST_ORGANISATION
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


@dataclass(frozen=True, slots=True)
class KeySummary:
    """What may be shown of a key."""

    id: str
    organisation: str
    prefix: str
    role: str
    name: str
    created_at: datetime
    expires_at: datetime
    revoked_at: datetime | None
    last_used_at: datetime | None


def create_key(
    context: ServiceContext, organisation: str, role: str, name: str, days: int = DEFAULT_DAYS
) -> tuple[str, KeySummary]:
    """A new key and its card; the organisation is made if there is none of that name. The key is shown only here."""
    if role not in ROLES:
        raise ChoiceRefused(f"no role {role!r}", [Fault("/role", f"no role {role!r}", ", ".join(ROLES))])
    with context.writing() as session:
        row = session.scalar(select(OrganisationRow).where(OrganisationRow.name == organisation))
        if row is None:
            row = OrganisationRow(id=new_id(), name=organisation, last_number=0, created_at=context.clock())
            session.add(row)
            session.flush()
        return _add_key(session, context, row.id, organisation, (role, name, days))


def first_key(context: ServiceContext) -> str | None:
    """An admin key if the service has no organisation yet, else nothing."""
    with context.writing() as session:
        if session.scalar(select(OrganisationRow.id).limit(1)) is not None:
            return None
    return create_key(context, FIRST_ORGANISATION, "admin", "first key")[0]


def identify(context: ServiceContext, token: str) -> Client | None:
    """Whose key it is, if it is live."""
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
    if row.last_used_at is None or now - row.last_used_at > _SEEN_EVERY:
        with context.writing() as session:
            session.get_one(ApiKeyRow, row.id).last_used_at = now
    return Client(row.organisation_id, row.id, row.role, row.name, row.client_id)


def list_keys(context: ServiceContext) -> tuple[KeySummary, ...]:
    """All keys, oldest first, without anything secret."""
    with context.reading() as session:
        rows = session.execute(
            select(ApiKeyRow, OrganisationRow.name).join(OrganisationRow).order_by(ApiKeyRow.id)
        ).all()
        return tuple(_summary(row, name) for row, name in rows)


def revoke_key(context: ServiceContext, prefix: str) -> KeySummary:
    """From now on the key opens nothing."""
    with context.writing() as session:
        row, name = _find(session, prefix)
        row.revoked_at = row.revoked_at or context.clock()
        return _summary(row, name)


def rotate_key(
    context: ServiceContext, prefix: str, overlap_days: int = 7, days: int = DEFAULT_DAYS
) -> tuple[str, KeySummary]:
    """A new key of the same role; the old one lives on for the overlap, so that programs can change over."""
    with context.writing() as session:
        row, name = _find(session, prefix)
        row.expires_at = min(row.expires_at, context.clock() + timedelta(days=overlap_days))
        return _add_key(session, context, row.organisation_id, name, (row.role, row.name, days), row.client_id)


def _add_key(
    session: Session,
    context: ServiceContext,
    organisation_id: str,
    organisation: str,
    kind: tuple[str, str, int],
    client_id: str | None = None,
) -> tuple[str, KeySummary]:
    role, name, days = kind
    prefix = "".join(secrets.choice("0123456789abcdefghijklmnopqrstuvwxyz") for _ in range(10))
    secret = base64.urlsafe_b64encode(secrets.token_bytes(32)).rstrip(b"=").decode()
    body = f"est_{prefix}_{secret}"
    token = f"{body}{zlib.crc32(body.encode()):08x}"
    now = context.clock()
    key_id = new_id()
    row = ApiKeyRow(
        id=key_id,
        organisation_id=organisation_id,
        client_id=client_id or key_id,
        prefix=prefix,
        digest=_digest(token),
        role=role,
        name=name,
        created_at=now,
        expires_at=now + timedelta(days=days),
    )
    session.add(row)
    session.flush()
    return token, _summary(row, organisation)


def _find(session: Session, prefix: str) -> tuple[ApiKeyRow, str]:
    asked = prefix.removeprefix("est_").split("_")[0]
    found = session.execute(
        select(ApiKeyRow, OrganisationRow.name).join(OrganisationRow).where(ApiKeyRow.prefix == asked)
    ).first()
    if found is None:
        raise NotFound(f"no key begins with {asked!r}")
    return found[0], found[1]


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def _summary(row: ApiKeyRow, organisation: str) -> KeySummary:
    return KeySummary(
        row.id,
        organisation,
        row.prefix,
        row.role,
        row.name,
        row.created_at,
        row.expires_at,
        row.revoked_at,
        row.last_used_at,
    )
