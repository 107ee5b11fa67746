"""Order lists count on their own, keys know who made them, and limits are shared between processes.

Numbers given so far stand: each series goes on after its own highest.
"""

import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forth."""
    op.add_column("organisation", sa.Column("last_order_number", sa.Integer(), nullable=False, server_default="0"))
    for organisation in _organisations():
        counted = {
            "last_number": _highest("quote", organisation),
            "last_order_number": _highest("order_list", organisation),
        }
        op.get_bind().execute(
            sa.text(
                "UPDATE organisation SET last_number = :last_number, last_order_number = :last_order_number "
                "WHERE id = :id"
            ),
            {**counted, "id": organisation},
        )
    op.add_column("api_key", sa.Column("made_by", sa.String(length=36), nullable=True))
    op.create_table(
        "rate_limit",
        sa.Column("name", sa.String(length=100), nullable=False),
        sa.Column("level", sa.Double(), nullable=False),
        sa.Column("drawn", sa.Integer(), nullable=False),
        sa.Column("at", types.UtcDateTime(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_rate_limit")),
        prefixes=["UNLOGGED"] if op.get_bind().dialect.name == "postgresql" else [],
    )
    op.create_index(op.f("ix_rate_limit_at"), "rate_limit", ["at"], unique=False)


def downgrade() -> None:
    """Back: both series go on after the higher of the two."""
    op.drop_table("rate_limit")
    op.drop_column("api_key", "made_by")
    op.execute(
        "UPDATE organisation SET last_number = last_order_number WHERE last_order_number > last_number"
    )
    op.drop_column("organisation", "last_order_number")


def _organisations() -> list[str]:
    return list(op.get_bind().execute(sa.text("SELECT id FROM organisation")).scalars())


def _highest(table: str, organisation: str) -> int:
    """The highest number of a series, such as 42 of Q-2026-00042."""
    statement = sa.text(f"SELECT DISTINCT number FROM {table} WHERE organisation_id = :id")
    numbers = op.get_bind().execute(statement, {"id": organisation}).scalars()
    endings = [number.rpartition("-")[2] for number in numbers]
    return max((int(ending) for ending in endings if ending.isdigit()), default=0)
