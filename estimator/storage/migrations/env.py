"""How Alembic runs the steps: on the connection it is given, all in one transaction."""

from alembic import context
from sqlalchemy import text

from estimator.storage.tables import Base

LOCK = 727_110_001  # any number, so long as every machine of the service takes the same


def render_own_types(kind: str, item: object, autogen: object) -> str | bool:
    """Write our column types by name, with their import."""
    if kind == "type" and type(item).__module__ == "estimator.storage.types":
        autogen.imports.add("from estimator.storage import types")
        return f"types.{type(item).__name__}()"
    return False


def is_ours(name: str | None, kind: str, _parents: object) -> bool:
    """Whether a table is one of the service's; those of the queue have a library that makes them."""
    return kind != "table" or not (name or "").startswith("procrastinate_")


connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=Base.metadata,
    render_as_batch=True,
    compare_type=True,
    render_item=render_own_types,
    include_name=is_ours,
)
with context.begin_transaction():
    if connection.dialect.name == "postgresql":
        connection.execute(text(f"SELECT pg_advisory_xact_lock({LOCK})"))
    context.run_migrations()
