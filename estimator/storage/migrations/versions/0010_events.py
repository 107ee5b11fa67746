"""Events, webhooks, deliveries."""

import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def _id(name: str = "id", *, null: bool = False) -> sa.Column:
    return sa.Column(name, sa.String(length=36), nullable=null)


def _of(table: str, column: str, other: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [f"{other}.id"], name=op.f(f"fk_{table}_{column}_{other}"))


def _moment(name: str, *, null: bool = False) -> sa.Column:
    return sa.Column(name, types.UtcDateTime(), nullable=null)


def upgrade() -> None:
    """Forth."""
    op.create_table(
        "event_count",
        _id("organisation_id"),
        sa.Column("last", sa.Integer(), nullable=False),
        _of("event_count", "organisation_id", "organisation"),
        sa.PrimaryKeyConstraint("organisation_id", name=op.f("pk_event_count")),
    )
    op.create_table(
        "event",
        _id(),
        _id("organisation_id"),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=80), nullable=False),
        sa.Column("subject", sa.String(length=200), nullable=False),
        sa.Column("document", types.Json(), nullable=False),
        _moment("at"),
        _of("event", "organisation_id", "organisation"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_event")),
        sa.UniqueConstraint("organisation_id", "position", name=op.f("uq_event_organisation_id_position")),
    )
    op.create_table(
        "webhook",
        _id(),
        _id("organisation_id"),
        _id("client_id"),
        sa.Column("url", sa.String(length=2000), nullable=False),
        sa.Column("kinds", types.Json(), nullable=True),
        sa.Column("webhook_state", sa.String(length=80), nullable=False),
        sa.Column("secret", sa.String(length=100), nullable=False),
        sa.Column("older_secret", sa.String(length=100), nullable=True),
        _moment("older_until", null=True),
        _moment("created_at"),
        _moment("updated_at"),
        sa.CheckConstraint("webhook_state IN ('active', 'ended')", name=op.f("ck_webhook_webhook_state")),
        _of("webhook", "organisation_id", "organisation"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_webhook")),
    )
    op.create_index(op.f("ix_webhook_organisation_id_id"), "webhook", ["organisation_id", "id"], unique=False)
    op.create_table(
        "delivery",
        _id(),
        _id("organisation_id"),
        _id("webhook_id"),
        _id("event_id"),
        sa.Column("subject", sa.String(length=200), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("delivery_state", sa.String(length=80), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        _moment("next_at"),
        _id("claim"),
        _moment("claimed_until", null=True),
        _moment("created_at"),
        _moment("updated_at"),
        sa.CheckConstraint(
            "delivery_state IN ('pending', 'delivered', 'given_up')", name=op.f("ck_delivery_delivery_state")
        ),
        _of("delivery", "organisation_id", "organisation"),
        _of("delivery", "webhook_id", "webhook"),
        _of("delivery", "event_id", "event"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_delivery")),
    )
    op.create_index(
        op.f("ix_delivery_delivery_state_next_at"), "delivery", ["delivery_state", "next_at"], unique=False
    )
    op.create_index(
        op.f("ix_delivery_webhook_id_subject_position"),
        "delivery",
        ["webhook_id", "subject", "position"],
        unique=False,
    )
    op.create_table(
        "delivery_attempt",
        _id(),
        _id("organisation_id"),
        _id("delivery_id"),
        _moment("at"),
        sa.Column("milliseconds", sa.Integer(), nullable=False),
        sa.Column("status", sa.Integer(), nullable=True),
        sa.Column("fault", sa.String(length=400), nullable=True),
        _of("delivery_attempt", "organisation_id", "organisation"),
        _of("delivery_attempt", "delivery_id", "delivery"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_delivery_attempt")),
    )
    op.create_index(op.f("ix_delivery_attempt_delivery_id"), "delivery_attempt", ["delivery_id"], unique=False)


def downgrade() -> None:
    """Back."""
    for table in ("delivery_attempt", "delivery", "webhook", "event", "event_count"):
        op.drop_table(table)
