"""Listings of quotes say what each waits for, so that nobody has to look through those that wait for nothing."""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None

INDEXES = (("state", "quote_id"), ("state", "total", "quote_id"), ("waits_for", "waits_on"))
ORDERED = "quote_id IN (SELECT quote_id FROM ordered_quote)"


def upgrade() -> None:
    """Forth, with what every listed quote waits for."""
    with op.batch_alter_table("quote_listing") as listing:
        listing.add_column(sa.Column("waits_for", sa.String(length=80), nullable=True))
        listing.add_column(sa.Column("waits_on", sa.Date(), nullable=True))
    for columns in INDEXES:
        op.create_index(op.f(_name(columns)), "quote_listing", ["organisation_id", *columns], unique=False)
    for waits_for, which in (
        ("failing", "state = 'draft' AND errors > 0"),
        ("ending", "state = 'issued'"),
        ("to_order", f"state = 'accepted' AND NOT {ORDERED}"),
    ):
        op.execute(f"UPDATE quote_listing SET waits_for = '{waits_for}', waits_on = valid_until WHERE {which}")
    op.execute(
        "UPDATE quote_listing SET waits_for = 'declined', waits_on = "
        f"{_day('answered_at')} WHERE state = 'declined' AND answered_at IS NOT NULL"
    )


def downgrade() -> None:
    """Back."""
    for columns in INDEXES:
        op.drop_index(op.f(_name(columns)), table_name="quote_listing")
    with op.batch_alter_table("quote_listing") as listing:
        listing.drop_column("waits_on")
        listing.drop_column("waits_for")


def _name(columns) -> str:
    return f"ix_quote_listing_organisation_id_{'_'.join(columns)}"


def _day(instant: str) -> str:
    if op.get_bind().dialect.name == "postgresql":
        return f"CAST({instant} AT TIME ZONE 'UTC' AS DATE)"
    return f"substr({instant}, 1, 10)"
