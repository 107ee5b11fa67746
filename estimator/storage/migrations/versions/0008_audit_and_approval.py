"""Who did what, append-only; a house's policy; approvals of quotes; superseded as a state of its own."""

import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

OLD_STATES = "state IN ('draft', 'issued', 'accepted', 'declined', 'expired')"
NEW_STATES = "state IN ('draft', 'issued', 'accepted', 'declined', 'expired', 'superseded')"
WHO_KINDS = "who_kind IN ('key', 'account', 'command_line', 'service')"
LATER = (
    "SELECT 1 FROM quote AS later WHERE later.organisation_id = quote.organisation_id AND later.number = quote.number "
    "AND later.id <> quote.id AND ((later.state = 'issued' AND later.revision > quote.revision) "
    "OR later.state = 'accepted')"
)


def upgrade() -> None:
    """Forth: an issued quote whose place another revision has taken becomes superseded, as it could not be accepted."""
    _quote_states(NEW_STATES)
    with op.batch_alter_table("quote") as quote:
        quote.add_column(sa.Column("prepared_by_id", sa.String(length=36), nullable=True))
        quote.add_column(sa.Column("prepared_role", sa.String(length=80), nullable=True))
        quote.add_column(sa.Column("needs_approval", sa.Boolean(), nullable=False, server_default=sa.false()))
        quote.add_column(sa.Column("expiring_told_at", types.UtcDateTime(), nullable=True))
    op.execute(
        f"UPDATE quote SET state = 'superseded', version = version + 1 WHERE state = 'issued' AND EXISTS ({LATER})"
    )
    op.create_table(
        "house_policy",
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("document", types.Json(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("updated_at", types.UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_house_policy_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("organisation_id", name=op.f("pk_house_policy")),
    )
    op.create_table(
        "approval",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("quote_id", sa.String(length=36), nullable=False),
        *_who(),
        sa.Column("reason", sa.String(length=1000), nullable=False),
        sa.Column("at", types.UtcDateTime(), nullable=False),
        sa.CheckConstraint(WHO_KINDS, name=op.f("ck_approval_who_kind")),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_approval_organisation_id_organisation")
        ),
        sa.ForeignKeyConstraint(["quote_id"], ["quote.id"], name=op.f("fk_approval_quote_id_quote")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_approval")),
    )
    op.create_index(op.f("ix_approval_quote_id"), "approval", ["quote_id"], unique=False)
    op.create_table(
        "audit",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("at", types.UtcDateTime(), nullable=False),
        *_who(),
        sa.Column("key_id", sa.String(length=36), nullable=True),
        sa.Column("action", sa.String(length=80), nullable=False),
        sa.Column("thing_kind", sa.String(length=80), nullable=False),
        sa.Column("thing_id", sa.String(length=200), nullable=False),
        sa.Column("detail", types.Json(), nullable=True),
        sa.Column("address", sa.String(length=64), nullable=False),
        sa.Column("request_id", sa.String(length=64), nullable=False),
        sa.CheckConstraint(WHO_KINDS, name=op.f("ck_audit_who_kind")),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_audit_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_audit")),
    )
    op.create_index(op.f("ix_audit_organisation_id_id"), "audit", ["organisation_id", "id"], unique=False)
    op.create_index(op.f("ix_audit_thing_id"), "audit", ["thing_id"], unique=False)
    _append_only()


def downgrade() -> None:
    """Back: what is superseded is issued again, as it was shown before."""
    op.drop_table("audit")
    if op.get_bind().dialect.name == "postgresql":
        op.execute("DROP FUNCTION audit_is_append_only()")
    op.drop_table("approval")
    op.drop_table("house_policy")
    op.execute("UPDATE quote SET state = 'issued' WHERE state = 'superseded'")
    with op.batch_alter_table("quote") as quote:
        for name in ("expiring_told_at", "needs_approval", "prepared_role", "prepared_by_id"):
            quote.drop_column(name)
    _quote_states(OLD_STATES)


def _quote_states(states: str) -> None:
    if op.get_bind().dialect.name == "postgresql":
        op.drop_constraint(op.f("ck_quote_state"), "quote", type_="check")
        op.create_check_constraint(op.f("ck_quote_state"), "quote", states)
        return
    with op.batch_alter_table("quote") as quote:
        quote.drop_constraint(op.f("ck_quote_state"), type_="check")
        quote.create_check_constraint(op.f("ck_quote_state"), states)


def _who() -> list[sa.Column]:
    return [
        sa.Column("who_kind", sa.String(length=80), nullable=False),
        sa.Column("who_id", sa.String(length=36), nullable=False),
        sa.Column("who_name", sa.String(length=200), nullable=False),
        sa.Column("who_role", sa.String(length=80), nullable=False),
    ]


def _append_only() -> None:
    """The database itself refuses to change or take out a line."""
    if op.get_bind().dialect.name == "postgresql":
        op.execute(
            "CREATE FUNCTION audit_is_append_only() RETURNS trigger LANGUAGE plpgsql AS "
            "$$ BEGIN RAISE EXCEPTION 'the audit log is append-only'; END $$"
        )
        op.execute(
            "CREATE TRIGGER audit_append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON audit "
            "FOR EACH STATEMENT EXECUTE FUNCTION audit_is_append_only()"
        )
        return
    for act in ("UPDATE", "DELETE"):
        op.execute(
            f"CREATE TRIGGER audit_no_{act.lower()} BEFORE {act} ON audit "
            "BEGIN SELECT RAISE(ABORT, 'the audit log is append-only'); END"
        )
