"""Lists of quotes are read from small rows of their own."""

import orjson
import sqlalchemy as sa
from alembic import op

from estimator.storage import types

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

SAME = "organisation_id, number, revision, state, currency, total, errors, dated, valid_until, answered_at, prepared_by"
AT_A_TIME = 500


def upgrade() -> None:
    """Forth, with a listing for every quote there is."""
    op.create_table(
        "quote_listing",
        sa.Column("quote_id", sa.String(length=36), nullable=False),
        sa.Column("organisation_id", sa.String(length=36), nullable=False),
        sa.Column("number", sa.String(length=80), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=80), nullable=False),
        sa.Column("reference", sa.String(length=200), nullable=False),
        sa.Column("title", sa.String(length=400), nullable=False),
        sa.Column("customer", sa.String(length=200), nullable=False),
        sa.Column("words", sa.String(length=1200), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("total", types.Amount(), nullable=False),
        sa.Column("errors", sa.Integer(), nullable=False),
        sa.Column("dated", sa.Date(), nullable=False),
        sa.Column("valid_until", sa.Date(), nullable=False),
        sa.Column("answered_at", types.UtcDateTime(), nullable=True),
        sa.Column("prepared_by", sa.String(length=200), nullable=False),
        sa.ForeignKeyConstraint(["quote_id"], ["quote.id"], name=op.f("fk_quote_listing_quote_id_quote")),
        sa.PrimaryKeyConstraint("quote_id", name=op.f("pk_quote_listing")),
    )
    for columns in (("quote_id",), ("state", "valid_until"), ("valid_until",), ("total",)):
        name = f"ix_quote_listing_organisation_id_{'_'.join(columns)}"
        op.create_index(op.f(name), "quote_listing", ["organisation_id", *columns], unique=False)
    _fill(op.get_bind())


def downgrade() -> None:
    """Back."""
    op.drop_table("quote_listing")


def _fill(connection) -> None:
    insert = sa.text(
        f"INSERT INTO quote_listing (quote_id, reference, title, customer, words, {SAME}) "
        f"SELECT id, :reference, :title, :customer, :words, {SAME} FROM quote WHERE id = :id"
    )
    after = ""
    while True:
        found = connection.execute(
            sa.text("SELECT id, number, job_document FROM quote WHERE id > :after ORDER BY id LIMIT :most"),
            {"after": after, "most": AT_A_TIME},
        ).all()
        if not found:
            return
        for quote_id, number, document in found:
            connection.execute(insert, {"id": quote_id, **_words(number, document)})
        after = found[-1][0]


def _words(number, document):
    job = orjson.loads(document) if document else {}
    job = job if isinstance(job, dict) else {}
    customer = job.get("customer") or {}
    texts = {
        "reference": str(job.get("reference") or ""),
        "title": str(job.get("title") or ""),
        "customer": str(customer.get("name") or ""),
    }
    return {**texts, "words": " ".join((number, *texts.values())).casefold()[:1200]}
