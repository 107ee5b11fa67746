"""Responses under Idempotency-Keys depend on the client, not on the key it signs with, and claims on them are leases."""

import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

SAME = "fingerprint, status, headers, body, claimed_until, created_at"


def upgrade() -> None:
    """Forth: a key that was there before is a client of its own."""
    op.add_column("api_key", sa.Column("client_id", sa.String(length=36), nullable=False, server_default=""))
    op.execute("UPDATE api_key SET client_id = id")
    op.create_table(
        "idempotency",
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("client_id", sa.String(length=36), nullable=False),
        sa.Column("key", sa.String(length=255), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("claim", sa.String(length=36), nullable=False),
        sa.Column("status", sa.Integer(), nullable=True),
        sa.Column("headers", types.Json(), nullable=True),
        sa.Column("body", sa.LargeBinary(), nullable=True),
        sa.Column("claimed_until", types.UtcDateTime(), nullable=False),
        sa.Column("created_at", types.UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_idempotency_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("organisation_id", "client_id", "key", name=op.f("pk_idempotency")),
    )
    op.create_index(op.f("ix_idempotency_created_at"), "idempotency", ["created_at"], unique=False)
    op.execute(
        f"INSERT INTO idempotency (organisation_id, client_id, key, claim, {SAME}) "
        f"SELECT api_key.organisation_id, api_key.client_id, answered.key, '', {_of_answered()} "
        "FROM answered JOIN api_key ON api_key.id = answered.api_key_id"
    )
    op.drop_table("answered")


def downgrade() -> None:
    """Back: a client is its first key again."""
    op.create_table(
        "answered",
        sa.Column("api_key_id", sa.String(length=36), nullable=False),
        sa.Column("key", sa.String(length=255), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("status", sa.Integer(), nullable=True),
        sa.Column("headers", types.Json(), nullable=True),
        sa.Column("body", sa.LargeBinary(), nullable=True),
        sa.Column("claimed_until", types.UtcDateTime(), nullable=False),
        sa.Column("created_at", types.UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(["api_key_id"], ["api_key.id"], name=op.f("fk_answered_api_key_id_api_key")),
        sa.PrimaryKeyConstraint("api_key_id", "key", name=op.f("pk_answered")),
    )
    op.create_index(op.f("ix_answered_created_at"), "answered", ["created_at"], unique=False)
    op.execute(
        f"INSERT INTO answered (api_key_id, key, {SAME}) SELECT idempotency.client_id, idempotency.key, "
        f"{_of_answered('idempotency')} FROM idempotency JOIN api_key ON api_key.id = idempotency.client_id"
    )
    op.drop_table("idempotency")
    op.drop_column("api_key", "client_id")


def _of_answered(table: str = "answered") -> str:
    return ", ".join(f"{table}.{name}" for name in SAME.split(", "))
