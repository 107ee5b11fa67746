"""What the key of the secrets sealed first: a machine whose key does not open it has another key."""

import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0018"
down_revision = "0017"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forth."""
    op.create_table(
        "seal_check",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("sealed", sa.String(length=400), nullable=False),
        sa.Column("sealed_at", types.UtcDateTime(), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_seal_check_single")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_seal_check")),
    )


def downgrade() -> None:
    """Back."""
    op.drop_table("seal_check")
