"""Open quotes against another edition."""

import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forth."""
    op.create_table(
        "repricing",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("operation_id", sa.String(length=36), nullable=False),
        sa.Column("pricebook", sa.String(length=80), nullable=False),
        sa.Column("edition", sa.String(length=80), nullable=False),
        sa.Column("priced_on", sa.Date(), nullable=False),
        sa.Column("request", types.Json(), nullable=False),
        sa.Column("asked_by", sa.String(length=200), nullable=False),
        sa.Column("created_at", types.UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_repricing_organisation_id_organisation")
        ),
        sa.ForeignKeyConstraint(["operation_id"], ["operation.id"], name=op.f("fk_repricing_operation_id_operation")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_repricing")),
    )
    op.create_index(op.f("ix_repricing_organisation_id_id"), "repricing", ["organisation_id", "id"], unique=False)
    op.create_table(
        "repriced_quote",
        sa.Column("repricing_id", sa.String(length=36), nullable=False),
        sa.Column("quote_id", sa.String(length=36), nullable=False),
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("plan", sa.String(length=80), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("old_total", types.Amount(), nullable=False),
        sa.Column("new_total", types.Amount(), nullable=True),
        sa.Column("old_cost", types.Amount(), nullable=False),
        sa.Column("new_cost", types.Amount(), nullable=True),
        sa.Column("causes", types.Json(), nullable=False),
        sa.Column("problem", sa.String(length=1000), nullable=True),
        sa.Column("draft_id", sa.String(length=36), nullable=True),
        sa.ForeignKeyConstraint(
            ["repricing_id"], ["repricing.id"], name=op.f("fk_repriced_quote_repricing_id_repricing")
        ),
        sa.ForeignKeyConstraint(["quote_id"], ["quote.id"], name=op.f("fk_repriced_quote_quote_id_quote")),
        sa.ForeignKeyConstraint(["draft_id"], ["quote.id"], name=op.f("fk_repriced_quote_draft_id_quote")),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_repriced_quote_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("repricing_id", "quote_id", name=op.f("pk_repriced_quote")),
    )


def downgrade() -> None:
    """Back."""
    op.drop_table("repriced_quote")
    op.drop_table("repricing")
