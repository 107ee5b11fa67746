"""Where editions stand: waiting for approval, approved, withdrawn; how suppliers name the columns of their lists."""

import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forth: an edition of which nothing is said stands as it did, approved."""
    op.create_table(
        "edition_standing",
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("pricebook", sa.String(length=80), nullable=False),
        sa.Column("edition", sa.String(length=80), nullable=False),
        sa.Column("standing", sa.String(length=80), nullable=False),
        sa.Column("put_in_by", sa.String(length=36), nullable=True),
        sa.Column("decided_by", sa.String(length=200), nullable=True),
        sa.Column("decided_at", types.UtcDateTime(), nullable=True),
        sa.Column("reason", sa.String(length=1000), nullable=False),
        sa.Column("valid_from", sa.Date(), nullable=True),
        sa.Column("in_force_told_at", types.UtcDateTime(), nullable=True),
        sa.Column("updated_at", types.UtcDateTime(), nullable=False),
        sa.CheckConstraint(
            "standing IN ('waiting', 'approved', 'withdrawn')", name=op.f("ck_edition_standing_standing")
        ),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_edition_standing_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("organisation_id", "pricebook", "edition", name=op.f("pk_edition_standing")),
    )
    op.create_table(
        "price_list_columns",
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("supplier", sa.String(length=80), nullable=False),
        sa.Column("document", types.Json(), nullable=False),
        sa.Column("updated_at", types.UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_price_list_columns_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("organisation_id", "supplier", name=op.f("pk_price_list_columns")),
    )


def downgrade() -> None:
    """Back."""
    op.drop_table("price_list_columns")
    op.drop_table("edition_standing")
