"""Long work: operations with leases."""

import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

STATES = "'queued', 'running', 'succeeded', 'failed', 'cancelled'"
ROLES = "'crm', 'estimator', 'purchasing', 'pricing', 'admin'"


def upgrade() -> None:
    """Forth."""
    op.create_table(
        "operation",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("client_id", sa.String(length=36), nullable=False),
        sa.Column("key", sa.String(length=36), nullable=False),
        sa.Column("client_name", sa.String(length=200), nullable=False),
        sa.Column("role", sa.String(length=80), nullable=False),
        sa.Column("kind", sa.String(length=80), nullable=False),
        sa.Column("state", sa.String(length=80), nullable=False),
        sa.Column("request", types.Json(), nullable=False),
        sa.Column("done", sa.Integer(), nullable=False),
        sa.Column("total", sa.Integer(), nullable=True),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("claim", sa.String(length=36), nullable=False),
        sa.Column("claimed_until", types.UtcDateTime(), nullable=True),
        sa.Column("not_before", types.UtcDateTime(), nullable=False),
        sa.Column("location", sa.String(length=200), nullable=True),
        sa.Column("result", sa.LargeBinary(), nullable=True),
        sa.Column("problem", types.Json(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("created_at", types.UtcDateTime(), nullable=False),
        sa.Column("updated_at", types.UtcDateTime(), nullable=False),
        sa.Column("started_at", types.UtcDateTime(), nullable=True),
        sa.Column("finished_at", types.UtcDateTime(), nullable=True),
        sa.CheckConstraint(f"state IN ({STATES})", name=op.f("ck_operation_state")),
        sa.CheckConstraint(f"role IN ({ROLES})", name=op.f("ck_operation_role")),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_operation_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_operation")),
    )
    op.create_index(op.f("ix_operation_organisation_id_id"), "operation", ["organisation_id", "id"], unique=False)
    op.create_index(op.f("ix_operation_state_not_before"), "operation", ["state", "not_before"], unique=False)


def downgrade() -> None:
    """Back."""
    op.drop_table("operation")
