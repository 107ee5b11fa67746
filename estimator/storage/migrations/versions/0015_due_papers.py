"""Issued quotes whose papers are still to be written and kept."""

import sqlalchemy as sa
from alembic import op

from estimator.storage.types import UtcDateTime

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forth; papers of quotes issued before are kept when they are first handed out, as ever."""
    op.create_table(
        "due_papers",
        sa.Column("quote_id", sa.String(length=36), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("not_before", UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(["quote_id"], ["quote.id"], name=op.f("fk_due_papers_quote_id_quote")),
        sa.PrimaryKeyConstraint("quote_id", name=op.f("pk_due_papers")),
    )
    op.create_index(op.f("ix_due_papers_not_before"), "due_papers", ["not_before"], unique=False)


def downgrade() -> None:
    """Back."""
    op.drop_table("due_papers")
