"""People may come from a provider of OpenID Connect; when somebody signed in last is kept."""

import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forth."""
    with op.batch_alter_table("account") as account:
        account.add_column(sa.Column("issuer", sa.String(length=300), nullable=True))
        account.add_column(sa.Column("subject", sa.String(length=255), nullable=True))
        account.add_column(sa.Column("signed_in_at", types.UtcDateTime(), nullable=True))
    op.create_index(op.f("ix_account_issuer_subject"), "account", ["issuer", "subject"], unique=True)
    op.create_table(
        "provider_visit",
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("visitor", sa.String(length=64), nullable=False),
        sa.Column("nonce", sa.String(length=64), nullable=False),
        sa.Column("verifier", sa.String(length=128), nullable=False),
        sa.Column("onward", sa.String(length=2000), nullable=False),
        sa.Column("started_at", types.UtcDateTime(), nullable=False),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_provider_visit")),
    )
    op.create_index(op.f("ix_provider_visit_started_at"), "provider_visit", ["started_at"], unique=False)


def downgrade() -> None:
    """Back."""
    op.drop_table("provider_visit")
    op.drop_index(op.f("ix_account_issuer_subject"), table_name="account")
    with op.batch_alter_table("account") as account:
        account.drop_column("signed_in_at")
        account.drop_column("subject")
        account.drop_column("issuer")
