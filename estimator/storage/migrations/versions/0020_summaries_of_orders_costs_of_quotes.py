"""What lists of orders show, and what parts of quotes cost, beside what is kept whole."""

import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0020"
down_revision = "0019"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forth; what is kept already gets both from the service, soon after its start or when it is asked for."""
    op.add_column("order_list", sa.Column("summary", types.Json(), nullable=True))
    op.create_table(
        "quote_costs",
        sa.Column("quote_id", sa.String(length=36), nullable=False),
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("pricebook", sa.String(length=80), nullable=False),
        sa.Column("edition", sa.String(length=80), nullable=False),
        sa.Column("lines", types.Json(), nullable=False),
        sa.ForeignKeyConstraint(["quote_id"], ["quote.id"], name=op.f("fk_quote_costs_quote_id_quote")),
        sa.PrimaryKeyConstraint("quote_id", name=op.f("pk_quote_costs")),
    )
    columns = ["organisation_id", "pricebook", "edition"]
    op.create_index(op.f("ix_quote_costs_organisation_id_pricebook_edition"), "quote_costs", columns, unique=False)


def downgrade() -> None:
    """Back."""
    op.drop_table("quote_costs")
    with op.batch_alter_table("order_list") as altered:
        altered.drop_column("summary")
