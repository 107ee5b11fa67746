"""Why long work failed, and why a quote has no price by another edition: the sentence itself, for every language."""

import sqlalchemy as sa
from alembic import op

revision = "0019"
down_revision = "0018"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forth; what was kept before has its English text alone."""
    for table in ("operation", "repriced_quote"):
        op.add_column(table, sa.Column("told", sa.LargeBinary(), nullable=True))


def downgrade() -> None:
    """Back."""
    for table in ("repriced_quote", "operation"):
        with op.batch_alter_table(table) as altered:
            altered.drop_column("told")
