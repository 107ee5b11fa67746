"""The tables. They hold columns only: what a row means is the service's affair.

Every row but the organisations' own belongs to one organisation, and every look-up names it.
"""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import CheckConstraint, Date, ForeignKey, Index, LargeBinary, MetaData, String, UniqueConstraint
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from estimator.storage.roles import ROLES
from estimator.storage.types import Amount, Json, UtcDateTime

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
QUOTE_STATES = ("draft", "issued", "accepted", "declined", "expired", "superseded")
WHO_KINDS = ("key", "account", "command_line", "service")
"""Who may have done something: a key, a person with an account, the command line, or the service by itself."""
OPERATION_STATES = ("queued", "running", "succeeded", "failed", "cancelled")


class Base(DeclarativeBase):
    """What all tables share: names of constraints that every database takes."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map = {datetime: UtcDateTime, Decimal: Amount, bytes: LargeBinary, date: Date}  # noqa: RUF012


def _one_of(column: str, allowed: tuple[str, ...]) -> CheckConstraint:
    return CheckConstraint(f"{column} IN ({', '.join(repr(word) for word in allowed)})", name=column)


Id = String(36)
Word = String(80)


class OrganisationRow(Base):
    """Who uses the service; organisations never see each other's rows.

    ``last_number`` counts its quotes, ``last_order_number`` its order lists: each without a gap. From
    ``editions_seen_at`` on it is told of shared editions that come into force.
    """

    __tablename__ = "organisation"

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    name: Mapped[str] = mapped_column(String(200), unique=True)
    last_number: Mapped[int] = mapped_column(default=0)
    last_order_number: Mapped[int] = mapped_column(default=0)
    created_at: Mapped[datetime]
    editions_seen_at: Mapped[datetime | None]


class ApiKeyRow(Base):
    """A key: only its digest is kept. ``client_id`` is the same for a key and those that replace it.

    ``made_by`` is the client that made it over REST; empty where the command line did.
    """

    __tablename__ = "api_key"
    __table_args__ = (_one_of("role", ROLES),)

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), index=True)
    client_id: Mapped[str] = mapped_column(Id)
    prefix: Mapped[str] = mapped_column(String(16), unique=True)
    digest: Mapped[str] = mapped_column(String(64))
    role: Mapped[str] = mapped_column(Word)
    name: Mapped[str] = mapped_column(String(200))
    created_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    revoked_at: Mapped[datetime | None]
    last_used_at: Mapped[datetime | None]
    made_by: Mapped[str | None] = mapped_column(Id)


class RateLimitRow(Base):
    """How many requests a key or an address may still send, for all processes; PostgreSQL writes no log of it."""

    __tablename__ = "rate_limit"

    name: Mapped[str] = mapped_column(String(100), primary_key=True)
    level: Mapped[float]
    drawn: Mapped[int]
    at: Mapped[datetime] = mapped_column(index=True)


class JobRow(Base):
    """A job as it was posted; ``version`` is its ETag and the guard against lost updates."""

    __tablename__ = "job"
    __table_args__ = (UniqueConstraint("organisation_id", "reference"), Index(None, "organisation_id", "id"))

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    reference: Mapped[str] = mapped_column(String(200))
    title: Mapped[str] = mapped_column(String(400))
    document: Mapped[Any] = mapped_column(Json)
    version: Mapped[int]
    created_at: Mapped[datetime]
    updated_at: Mapped[datetime]


class QuoteRow(Base):
    """One revision of a quote: the inputs, the edition it stands on, and the whole offer."""

    __tablename__ = "quote"
    __table_args__ = (
        UniqueConstraint("organisation_id", "number", "revision"),
        Index(None, "organisation_id", "id"),
        Index(None, "organisation_id", "state"),
        _one_of("state", QUOTE_STATES),
    )

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    job_id: Mapped[str] = mapped_column(ForeignKey("job.id"), index=True)
    number: Mapped[str] = mapped_column(Word)
    revision: Mapped[int]
    revises_id: Mapped[str | None] = mapped_column(ForeignKey("quote.id"))
    state: Mapped[str] = mapped_column(Word)
    version: Mapped[int]
    pricebook: Mapped[str] = mapped_column(Word)
    edition: Mapped[str] = mapped_column(Word)
    sha256: Mapped[str] = mapped_column(String(64))
    currency: Mapped[str] = mapped_column(String(3))
    total: Mapped[Decimal]
    errors: Mapped[int]
    job_document: Mapped[Any] = mapped_column(Json)
    choices: Mapped[Any] = mapped_column(Json)
    offer: Mapped[bytes]
    prepared_by: Mapped[str] = mapped_column(String(200))
    dated: Mapped[date]
    valid_until: Mapped[date]
    created_at: Mapped[datetime]
    updated_at: Mapped[datetime]
    issued_at: Mapped[datetime | None]
    answered_at: Mapped[datetime | None]
    accepted_option: Mapped[str | None] = mapped_column(Word)
    prepared_by_id: Mapped[str | None] = mapped_column(Id)
    prepared_role: Mapped[str | None] = mapped_column(Word)
    needs_approval: Mapped[bool] = mapped_column(default=False)
    expiring_told_at: Mapped[datetime | None]


class HousePolicyRow(Base):
    """What an organisation lets its roles do without asking anybody, and what a second person must approve."""

    __tablename__ = "house_policy"

    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), primary_key=True)
    document: Mapped[Any] = mapped_column(Json)
    version: Mapped[int]
    updated_at: Mapped[datetime]


class WhoColumns:
    """Who did something: a key or an account (or the service itself), by its name and role of that time."""

    who_kind: Mapped[str] = mapped_column(Word)
    who_id: Mapped[str] = mapped_column(Id)
    who_name: Mapped[str] = mapped_column(String(200))
    who_role: Mapped[str] = mapped_column(Word)


class ApprovalRow(WhoColumns, Base):
    """A second person's word that a quote beyond its preparer's limits may be issued."""

    __tablename__ = "approval"
    __table_args__ = (_one_of("who_kind", WHO_KINDS),)

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"), index=True)
    reason: Mapped[str] = mapped_column(String(1000))
    at: Mapped[datetime]


class AuditRow(WhoColumns, Base):
    """One line of the audit log: who did what, when, from where. The database refuses to change or delete one."""

    __tablename__ = "audit"
    __table_args__ = (_one_of("who_kind", WHO_KINDS), Index(None, "organisation_id", "id"))

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    at: Mapped[datetime]
    key_id: Mapped[str | None] = mapped_column(Id)
    action: Mapped[str] = mapped_column(Word)
    thing_kind: Mapped[str] = mapped_column(Word)
    thing_id: Mapped[str] = mapped_column(String(200), index=True)
    detail: Mapped[Any | None] = mapped_column(Json)
    address: Mapped[str] = mapped_column(String(64))
    request_id: Mapped[str] = mapped_column(String(64))


class QuoteDocumentRow(Base):
    """A document of an issued quote as it was first handed out: the same bytes for ever."""

    __tablename__ = "quote_document"

    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"), primary_key=True)
    kind: Mapped[str] = mapped_column(Word, primary_key=True)
    edition: Mapped[str] = mapped_column(Word, primary_key=True)
    content: Mapped[bytes]
    created_at: Mapped[datetime]


class DuePapersRow(Base):
    """An issued quote whose papers are still to be kept; as it was at ``version`` when they became due.

    Whoever writes them puts ``not_before`` off, so that another goes on where this one stops without a word.
    """

    __tablename__ = "due_papers"

    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"), primary_key=True)
    version: Mapped[int]
    attempts: Mapped[int]
    not_before: Mapped[datetime] = mapped_column(index=True)


class QuoteAnswerRow(Base):
    """A part of a quote's answer as bytes: it holds for one version of the quote and one version of the contract."""

    __tablename__ = "quote_answer"

    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"), primary_key=True)
    part: Mapped[str] = mapped_column(Word, primary_key=True)
    costs: Mapped[bool] = mapped_column(primary_key=True)
    contract: Mapped[str] = mapped_column(Word)
    version: Mapped[int]
    content: Mapped[bytes]


class OrderListRow(Base):
    """An order list over accepted quotes, kept whole."""

    __tablename__ = "order_list"
    __table_args__ = (Index(None, "organisation_id", "id"),)

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    number: Mapped[str] = mapped_column(Word)
    lists: Mapped[bytes]
    request: Mapped[Any] = mapped_column(Json)
    version: Mapped[int]
    created_at: Mapped[datetime]


class OrderedQuoteRow(Base):
    """Which quote was ordered with which list; a quote is ordered once."""

    __tablename__ = "ordered_quote"

    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"), primary_key=True)
    order_list_id: Mapped[str] = mapped_column(ForeignKey("order_list.id"), index=True)


class IdempotencyRow(Base):
    """A response stored under its client's Idempotency-Key; ``status`` is empty while the request still runs.

    ``claim`` names the request that runs; until ``claimed_until`` nobody else may take its place.
    """

    __tablename__ = "idempotency"

    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), primary_key=True)
    client_id: Mapped[str] = mapped_column(Id, primary_key=True)
    key: Mapped[str] = mapped_column(String(255), primary_key=True)
    fingerprint: Mapped[str] = mapped_column(String(64))
    claim: Mapped[str] = mapped_column(Id)
    status: Mapped[int | None]
    headers: Mapped[Any | None] = mapped_column(Json)
    body: Mapped[bytes | None]
    claimed_until: Mapped[datetime]
    created_at: Mapped[datetime] = mapped_column(index=True)


class UsedEditionRow(Base):
    """The hash an edition had when a quote first stood on it: it never changes after that."""

    __tablename__ = "used_edition"

    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), primary_key=True)
    pricebook: Mapped[str] = mapped_column(Word, primary_key=True)
    edition: Mapped[str] = mapped_column(Word, primary_key=True)
    sha256: Mapped[str] = mapped_column(String(64))
    first_used_at: Mapped[datetime]


class UploadedEditionRow(Base):
    """An edition posted over the API, as a ZIP archive of its files."""

    __tablename__ = "uploaded_edition"

    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"), primary_key=True)
    pricebook: Mapped[str] = mapped_column(Word, primary_key=True)
    edition: Mapped[str] = mapped_column(Word, primary_key=True)
    archive: Mapped[bytes]
    sha256: Mapped[str] = mapped_column(String(64))
    created_at: Mapped[datetime]


class OperationRow(Base):
    """Long work: what was asked, by whom, how far it is, and what came of it.

    Whoever works on it holds a lease: ``claim`` names the worker's hold, and until ``claimed_until`` nobody else may
    take it up. ``role``, ``key`` and ``client_name`` are those of who asked, so that the work is done in their name.
    """

    __tablename__ = "operation"
    __table_args__ = (
        Index(None, "organisation_id", "id"),
        Index(None, "state", "not_before"),
        _one_of("state", OPERATION_STATES),
        _one_of("role", ROLES),
    )

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    client_id: Mapped[str] = mapped_column(Id)
    key: Mapped[str] = mapped_column(Id)
    client_name: Mapped[str] = mapped_column(String(200))
    role: Mapped[str] = mapped_column(Word)
    kind: Mapped[str] = mapped_column(Word)
    state: Mapped[str] = mapped_column(Word)
    request: Mapped[Any] = mapped_column(Json)
    done: Mapped[int]
    total: Mapped[int | None]
    attempts: Mapped[int]
    claim: Mapped[str] = mapped_column(Id)
    claimed_until: Mapped[datetime | None]
    not_before: Mapped[datetime]
    location: Mapped[str | None] = mapped_column(String(200))
    result: Mapped[bytes | None]
    problem: Mapped[Any | None] = mapped_column(Json)
    version: Mapped[int]
    created_at: Mapped[datetime]
    updated_at: Mapped[datetime]
    started_at: Mapped[datetime | None]
    finished_at: Mapped[datetime | None]


class RepricingRow(Base):
    """Open quotes against another edition: which edition and day, and whose quotes of which states."""

    __tablename__ = "repricing"
    __table_args__ = (Index(None, "organisation_id", "id"),)

    id: Mapped[str] = mapped_column(Id, primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    operation_id: Mapped[str] = mapped_column(ForeignKey("operation.id"))
    pricebook: Mapped[str] = mapped_column(Word)
    edition: Mapped[str] = mapped_column(Word)
    priced_on: Mapped[date]
    request: Mapped[Any] = mapped_column(Json)
    asked_by: Mapped[str] = mapped_column(String(200))
    created_at: Mapped[datetime]


class RepricedQuoteRow(Base):
    """One quote of a re-pricing: totals and costs before and after, why they differ, and the draft made of it."""

    __tablename__ = "repriced_quote"

    repricing_id: Mapped[str] = mapped_column(ForeignKey("repricing.id"), primary_key=True)
    quote_id: Mapped[str] = mapped_column(ForeignKey("quote.id"), primary_key=True)
    organisation_id: Mapped[str] = mapped_column(ForeignKey("organisation.id"))
    plan: Mapped[str] = mapped_column(Word)
    currency: Mapped[str] = mapped_column(String(3))
    old_total: Mapped[Decimal]
    new_total: Mapped[Decimal | None]
    old_cost: Mapped[Decimal]
    new_cost: Mapped[Decimal | None]
    causes: Mapped[Any] = mapped_column(Json)
    problem: Mapped[str | None] = mapped_column(String(1000))
    draft_id: Mapped[str | None] = mapped_column(ForeignKey("quote.id"))
