"""First tables."""

import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Forth."""
    _make_organisation()
    _make_api_key()
    _make_job()
    _make_order_list()
    _make_uploaded_edition()
    _make_used_edition()
    _make_answered()
    _make_quote()
    _make_ordered_quote()
    _make_quote_document()


def downgrade() -> None:
    """Back."""
    op.drop_table("quote_document")
    op.drop_table("ordered_quote")
    op.drop_table("quote")
    op.drop_table("answered")
    op.drop_table("used_edition")
    op.drop_table("uploaded_edition")
    op.drop_table("order_list")
    op.drop_table("job")
    op.drop_table("api_key")
    op.drop_table("organisation")


def _make_organisation() -> None:
    op.create_table(
        "organisation",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("last_number", sa.Integer(), nullable=False),
        sa.Column("created_at", types.UtcDateTime(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_organisation")),
        sa.UniqueConstraint("name", name=op.f("uq_organisation_name")),
    )


def _make_api_key() -> None:
    op.create_table(
        "api_key",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("prefix", sa.String(length=16), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("role", sa.String(length=80), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("created_at", types.UtcDateTime(), nullable=False),
        sa.Column("expires_at", types.UtcDateTime(), nullable=False),
        sa.Column("revoked_at", types.UtcDateTime(), nullable=True),
        sa.Column("last_used_at", types.UtcDateTime(), nullable=True),
        sa.CheckConstraint(
            "role IN ('crm', 'estimator', 'purchasing', 'pricing', 'admin')", name=op.f("ck_api_key_role")
        ),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_api_key_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_api_key")),
        sa.UniqueConstraint("prefix", name=op.f("uq_api_key_prefix")),
    )
    with op.batch_alter_table("api_key", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_api_key_organisation_id"), ["organisation_id"], unique=False)


def _make_job() -> None:
    op.create_table(
        "job",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("reference", sa.String(length=200), nullable=False),
        sa.Column("title", sa.String(length=400), nullable=False),
        sa.Column("document", types.Json(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("created_at", types.UtcDateTime(), nullable=False),
        sa.Column("updated_at", types.UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_job_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job")),
        sa.UniqueConstraint("organisation_id", "reference", name=op.f("uq_job_organisation_id_reference")),
    )
    with op.batch_alter_table("job", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_job_organisation_id_id"), ["organisation_id", "id"], unique=False)


def _make_order_list() -> None:
    op.create_table(
        "order_list",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("number", sa.String(length=80), nullable=False),
        sa.Column("lists", sa.LargeBinary(), nullable=False),
        sa.Column("request", types.Json(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("created_at", types.UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_order_list_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_order_list")),
    )
    with op.batch_alter_table("order_list", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_order_list_organisation_id_id"), ["organisation_id", "id"], unique=False)


def _make_uploaded_edition() -> None:
    op.create_table(
        "uploaded_edition",
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("pricebook", sa.String(length=80), nullable=False),
        sa.Column("edition", sa.String(length=80), nullable=False),
        sa.Column("archive", sa.LargeBinary(), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("created_at", types.UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_uploaded_edition_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("organisation_id", "pricebook", "edition", name=op.f("pk_uploaded_edition")),
    )


def _make_used_edition() -> None:
    op.create_table(
        "used_edition",
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("pricebook", sa.String(length=80), nullable=False),
        sa.Column("edition", sa.String(length=80), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("first_used_at", types.UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_used_edition_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("organisation_id", "pricebook", "edition", name=op.f("pk_used_edition")),
    )


def _make_answered() -> None:
    op.create_table(
        "answered",
        sa.Column("api_key_id", sa.String(length=36), nullable=False),
        sa.Column("key", sa.String(length=255), nullable=False),
        sa.Column("fingerprint", sa.String(length=64), nullable=False),
        sa.Column("status", sa.Integer(), nullable=True),
        sa.Column("headers", types.Json(), nullable=True),
        sa.Column("body", sa.LargeBinary(), nullable=True),
        sa.Column("claimed_until", types.UtcDateTime(), nullable=False),
        sa.Column("created_at", types.UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(["api_key_id"], ["api_key.id"], name=op.f("fk_answered_api_key_id_api_key")),
        sa.PrimaryKeyConstraint("api_key_id", "key", name=op.f("pk_answered")),
    )
    with op.batch_alter_table("answered", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_answered_created_at"), ["created_at"], unique=False)


def _make_quote() -> None:
    op.create_table(
        "quote",
        sa.Column("id", sa.String(length=36), nullable=False),
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("job_id", sa.String(length=36), nullable=False),
        sa.Column("number", sa.String(length=80), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("revises_id", sa.String(length=36), nullable=True),
        sa.Column("state", sa.String(length=80), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("pricebook", sa.String(length=80), nullable=False),
        sa.Column("edition", sa.String(length=80), nullable=False),
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("total", types.Amount(), nullable=False),
        sa.Column("errors", sa.Integer(), nullable=False),
        sa.Column("job_document", types.Json(), nullable=False),
        sa.Column("choices", types.Json(), nullable=False),
        sa.Column("offer", sa.LargeBinary(), nullable=False),
        sa.Column("prepared_by", sa.String(length=200), nullable=False),
        sa.Column("dated", sa.Date(), nullable=False),
        sa.Column("valid_until", sa.Date(), nullable=False),
        sa.Column("created_at", types.UtcDateTime(), nullable=False),
        sa.Column("updated_at", types.UtcDateTime(), nullable=False),
        sa.Column("issued_at", types.UtcDateTime(), nullable=True),
        sa.Column("answered_at", types.UtcDateTime(), nullable=True),
        sa.CheckConstraint(
            "state IN ('draft', 'issued', 'accepted', 'declined', 'expired')", name=op.f("ck_quote_state")
        ),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_quote_job_id_job")),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_quote_organisation_id_organisation")
        ),
        sa.ForeignKeyConstraint(["revises_id"], ["quote.id"], name=op.f("fk_quote_revises_id_quote")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_quote")),
        sa.UniqueConstraint(
            "organisation_id", "number", "revision", name=op.f("uq_quote_organisation_id_number_revision")
        ),
    )
    with op.batch_alter_table("quote", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_quote_job_id"), ["job_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_quote_organisation_id_id"), ["organisation_id", "id"], unique=False)
        batch_op.create_index(batch_op.f("ix_quote_organisation_id_state"), ["organisation_id", "state"], unique=False)


def _make_ordered_quote() -> None:
    op.create_table(
        "ordered_quote",
        sa.Column("quote_id", sa.String(length=36), nullable=False),
        sa.Column("order_list_id", sa.String(length=36), nullable=False),
        sa.ForeignKeyConstraint(
            ["order_list_id"], ["order_list.id"], name=op.f("fk_ordered_quote_order_list_id_order_list")
        ),
        sa.ForeignKeyConstraint(["quote_id"], ["quote.id"], name=op.f("fk_ordered_quote_quote_id_quote")),
        sa.PrimaryKeyConstraint("quote_id", name=op.f("pk_ordered_quote")),
    )
    with op.batch_alter_table("ordered_quote", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_ordered_quote_order_list_id"), ["order_list_id"], unique=False)


def _make_quote_document() -> None:
    op.create_table(
        "quote_document",
        sa.Column("quote_id", sa.String(length=36), nullable=False),
        sa.Column("kind", sa.String(length=80), nullable=False),
        sa.Column("edition", sa.String(length=80), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("created_at", types.UtcDateTime(), nullable=False),
        sa.ForeignKeyConstraint(["quote_id"], ["quote.id"], name=op.f("fk_quote_document_quote_id_quote")),
        sa.PrimaryKeyConstraint("quote_id", "kind", "edition", name=op.f("pk_quote_document")),
    )
