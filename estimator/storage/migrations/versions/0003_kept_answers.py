"""Parts of answers kept beside their quotes."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forth."""
    op.create_table(
        "quote_answer",
        sa.Column("quote_id", sa.String(length=36), nullable=False),
        sa.Column("part", sa.String(length=80), nullable=False),
        sa.Column("costs", sa.Boolean(), nullable=False),
        sa.Column("contract", sa.String(length=80), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["quote_id"], ["quote.id"], name=op.f("fk_quote_answer_quote_id_quote")),
        sa.PrimaryKeyConstraint("quote_id", "part", "costs", name=op.f("pk_quote_answer")),
    )


def downgrade() -> None:
    """Back."""
    op.drop_table("quote_answer")
