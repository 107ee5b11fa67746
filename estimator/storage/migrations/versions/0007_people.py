"""People have accounts, and their browsers sessions."""

import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

ROLES = "role IN ('crm', 'estimator', 'purchasing', 'pricing', 'admin')"


def upgrade() -> None:
    """Forth."""
    op.create_table(
        "account",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("login", sa.String(length=254), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("role", sa.String(length=80), nullable=False),
        sa.Column("language", sa.String(length=16), nullable=False),
        sa.Column("units", sa.String(length=16), nullable=False),
        sa.Column("password", sa.String(length=300), nullable=True),
        sa.Column("invitation", sa.String(length=64), nullable=True),
        sa.Column("invited_until", types.UtcDateTime(), nullable=True),
        sa.Column("created_at", types.UtcDateTime(), nullable=False),
        sa.Column("ended_at", types.UtcDateTime(), nullable=True),
        sa.CheckConstraint(ROLES, name=op.f("ck_account_role")),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_account_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_account")),
        sa.UniqueConstraint("login", name=op.f("uq_account_login")),
    )
    op.create_index(op.f("ix_account_organisation_id"), "account", ["organisation_id"], unique=False)
    op.create_index(op.f("ix_account_invitation"), "account", ["invitation"], unique=False)
    op.create_table(
        "browser_session",
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("account_id", sa.String(length=36), nullable=False),
        sa.Column("created_at", types.UtcDateTime(), nullable=False),
        sa.Column("seen_at", types.UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"], name=op.f("fk_browser_session_account_id_account")),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_browser_session")),
    )
    op.create_index(op.f("ix_browser_session_account_id"), "browser_session", ["account_id"], unique=False)
    op.create_index(op.f("ix_browser_session_seen_at"), "browser_session", ["seen_at"], unique=False)
    op.create_table(
        "sign_in_attempt",
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("failures", sa.Integer(), nullable=False),
        sa.Column("last_at", types.UtcDateTime(), nullable=False),
        sa.PrimaryKeyConstraint("digest", name=op.f("pk_sign_in_attempt")),
    )


def downgrade() -> None:
    """Back."""
    op.drop_table("sign_in_attempt")
    op.drop_table("browser_session")
    op.drop_table("account")
