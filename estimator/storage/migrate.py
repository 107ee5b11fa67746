"""Brings a database's tables to the newest form, and says whether they have it.

All steps of one call are one transaction that begins before the form of the tables is looked up, on both databases: of
several machines that start at once one moves the tables, the others find them moved.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine, text

from estimator.storage.engine import open_engine

HERE = Path(__file__).parent / "migrations"


def configuration() -> Config:
    """Alembic's settings: the scripts shipped with the package."""
    config = Config()
    config.set_main_option("script_location", str(HERE).replace("%", "%%"))
    return config


def upgrade(url: str, revision: str = "head") -> None:
    """Run what is missing, one machine at a time."""
    _run(url, lambda config: command.upgrade(config, revision))


def downgrade(url: str, revision: str) -> None:
    """Back to an earlier form of the tables."""
    _run(url, lambda config: command.downgrade(config, revision))


def check(url: str) -> None:
    """Raise if the tables as declared and the migrations differ."""
    _run(url, command.check)


def revisions() -> frozenset[str]:
    """Every form of the tables that this version knows."""
    return frozenset(each.revision for each in ScriptDirectory.from_config(configuration()).walk_revisions())


def is_current(engine: Engine) -> bool:
    """Whether the tables have their newest form."""
    heads = set(ScriptDirectory.from_config(configuration()).get_heads())
    with engine.connect().execution_options(reads_only=True) as connection:
        return set(MigrationContext.configure(connection).get_current_heads()) == heads


def _run(url: str, act: Callable[[Config], None]) -> None:
    engine = open_engine(url, for_migrations=True)
    config = configuration()
    try:
        with engine.connect() as connection, connection.begin():
            config.attributes["connection"] = connection
            act(config)
            if engine.dialect.name == "sqlite":
                broken = connection.execute(text("PRAGMA foreign_key_check")).all()
                if broken:
                    raise RuntimeError(f"the migration left rows that refer to nothing: {broken[:5]}")
    finally:
        engine.dispose()
