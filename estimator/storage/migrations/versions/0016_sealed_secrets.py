"""Room for sealed secrets of webhooks; which shared editions a house was told of."""

import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None
PLAIN = "whsec_"


def upgrade() -> None:
    """Forth; plain secrets are sealed by the service at its start, since the keys are no affair of the database."""
    with op.batch_alter_table("webhook") as table:
        table.alter_column("secret", existing_type=sa.String(length=100), type_=sa.String(length=400))
        table.alter_column("older_secret", existing_type=sa.String(length=100), type_=sa.String(length=400))
    op.add_column("organisation", sa.Column("editions_seen_at", types.UtcDateTime(), nullable=True))
    op.create_table(
        "seen_edition",
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("pricebook", sa.String(length=80), nullable=False),
        sa.Column("edition", sa.String(length=80), nullable=False),
        sa.Column("seen_at", types.UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_seen_edition_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("organisation_id", "pricebook", "edition", name=op.f("pk_seen_edition")),
    )


def downgrade() -> None:
    """Back; webhooks whose secrets are sealed end, since nobody could open them."""
    webhook = sa.table("webhook", *map(sa.column, ("secret", "older_secret", "webhook_state")))
    sealed = sa.not_(webhook.c.secret.startswith(PLAIN))
    op.execute(sa.update(webhook).where(sealed).values(secret="", webhook_state="ended"))
    older = sa.not_(webhook.c.older_secret.startswith(PLAIN))
    op.execute(sa.update(webhook).where(older).values(older_secret=None))
    op.drop_table("seen_edition")
    with op.batch_alter_table("organisation") as table:
        table.drop_column("editions_seen_at")
    with op.batch_alter_table("webhook") as table:
        table.alter_column("secret", existing_type=sa.String(length=400), type_=sa.String(length=100))
        table.alter_column("older_secret", existing_type=sa.String(length=400), type_=sa.String(length=100))
