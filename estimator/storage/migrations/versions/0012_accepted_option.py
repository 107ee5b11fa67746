"""Which option of a quote was accepted."""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forth: quotes accepted before had no options."""
    with op.batch_alter_table("quote") as quote:
        quote.add_column(sa.Column("accepted_option", sa.String(length=80), nullable=True))


def downgrade() -> None:
    """Back."""
    with op.batch_alter_table("quote") as quote:
        quote.drop_column("accepted_option")
