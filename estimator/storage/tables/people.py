"""The tables of people: accounts, the sessions of their browsers, and attempts to sign in that failed."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Index, String
from sqlalchemy.orm import Mapped, mapped_column

from estimator.storage.roles import ROLES
from estimator.storage.tables.base import Base, Id, Word, one_of


class AccountRow(Base):
    """Somebody who signs in. Without ``password`` only the invitation opens it; only the digest of that is kept.

    ``issuer`` and ``subject`` are what a house's provider of OpenID Connect calls them, once they have come from there.
    """

    __tablename__ = "account"
    __table_args__ = (
        one_of("role", ROLES),
        Index(None, "issuer", "subject", unique=True),
    )

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), index=True)
    login: Mapped[str] = mapped_column(String(254), unique=True)
    name: Mapped[str] = mapped_column(String(200))
    role: Mapped[str] = mapped_column(Word)
    language: Mapped[str] = mapped_column(String(16))
    units: Mapped[str] = mapped_column(String(16))
    password: Mapped[str | None] = mapped_column(String(300))
    invitation: Mapped[str | None] = mapped_column(String(64), index=True)
    invited_until: Mapped[datetime | None]
    created_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    issuer: Mapped[str | None] = mapped_column(String(300))
    subject: Mapped[str | None] = mapped_column(String(255))
    signed_in_at: Mapped[datetime | None]


class BrowserSessionRow(Base):
    """A browser that is signed in: only the digest of its token is kept."""

    __tablename__ = "browser_session"

    digest: Mapped[str] = mapped_column(String(64), primary_key=True)
    account_id: Mapped[str] = mapped_column(ForeignKey("account.id"), index=True)
    created_at: Mapped[datetime]
    seen_at: Mapped[datetime] = mapped_column(index=True)


class SignInAttemptRow(Base):
    """Failures to sign in under one name, known or not, since the last success; or from one address, lately."""

    __tablename__ = "sign_in_attempt"

    digest: Mapped[str] = mapped_column(String(64), primary_key=True)
    failures: Mapped[int]
    last_at: Mapped[datetime]


class ProviderVisitRow(Base):
    """A browser that was sent to the house's provider and has not come back: what its answer is held against."""

    __tablename__ = "provider_visit"

    digest: Mapped[str] = mapped_column(String(64), primary_key=True)
    visitor: Mapped[str] = mapped_column(String(64))
    nonce: Mapped[str] = mapped_column(String(64))
    verifier: Mapped[str] = mapped_column(String(128))
    onward: Mapped[str] = mapped_column(String(2_000))
    started_at: Mapped[datetime] = mapped_column(index=True)
