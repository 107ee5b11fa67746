"""The database by its URL: SQLite set so that nothing is lost, or PostgreSQL.

SQLite: write-ahead log, BEGIN IMMEDIATE, synchronous FULL. With the driver's own defaults concurrent updates are
silently lost. Source: the pragmas' documentation, and trials with concurrent writers.
"""

from __future__ import annotations

import sqlite3
import time
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, create_engine, event, make_url

WAIT_SECONDS = 10
"""A lock that somebody else holds is waited for so long, on both databases."""
MIGRATION_SECONDS = 600
"""So long a migration waits for another process that moves the same tables."""
PAUSE_SECONDS = 0.02
PRAGMAS = (
    "synchronous=FULL",
    "trusted_schema=OFF",
    "journal_size_limit=67108864",
)


def open_engine(url: str, *, for_migrations: bool = False) -> Engine:
    """An engine for that URL; every SQLite connection is set up before its first use.

    Migrations run with foreign keys off: rebuilding a table with them on would delete the rows that refer to it.
    """
    if not url.startswith("sqlite"):
        engine = create_engine(url, pool_pre_ping=True)
        if not for_migrations and engine.dialect.name == "postgresql":
            event.listen(engine, "connect", _wait_no_longer)
        return engine
    engine = create_engine(url)
    keys = "foreign_keys=OFF" if for_migrations else "foreign_keys=ON"
    wait = MIGRATION_SECONDS if for_migrations else WAIT_SECONDS

    def prepare(connection: Any, _record: object) -> None:
        connection.isolation_level = None
        connection.execute(f"PRAGMA busy_timeout={wait * 1_000}")
        _log_ahead(connection, time.monotonic() + wait)
        for pragma in (*PRAGMAS, keys):
            connection.execute(f"PRAGMA {pragma}")

    event.listen(engine, "connect", prepare)
    event.listen(engine, "begin", _begin)
    return engine


def _log_ahead(connection: Any, until: float) -> None:
    """Switch to the write-ahead log; while another process does, SQLite says so at once, whatever the time to wait."""
    while True:
        try:
            connection.execute("PRAGMA journal_mode=WAL")
        except sqlite3.OperationalError as fault:
            if fault.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY or time.monotonic() > until:
                raise
            time.sleep(PAUSE_SECONDS)
        else:
            return


def keep_private(url: str) -> None:
    """Nobody but the user of the service reads the file of an embedded database; its log takes over who may."""
    name = make_url(url).database
    if not name or name == ":memory:" or name.startswith("file:"):
        return
    place = Path(name)
    place.touch(mode=0o600)
    place.chmod(place.stat().st_mode & 0o700)


def _wait_no_longer(connection: Any, _record: object) -> None:
    """A lock that another transaction holds is waited for as long as SQLite waits, not without end."""
    with connection.cursor() as cursor:
        cursor.execute(f"SET lock_timeout = '{WAIT_SECONDS}s'")
    connection.commit()


def for_reading(engine: Engine) -> Engine:
    """The same database for transactions that change nothing."""
    return engine.execution_options(reads_only=True)


def for_looking_up(engine: Engine) -> Engine:
    """The same database for single statements that read: none is surrounded by a beginning and an end."""
    if engine.dialect.name == "sqlite":
        return engine.execution_options(reads_singly=True)  # the driver's own mode would be reset to another than ours
    return engine.execution_options(isolation_level="AUTOCOMMIT")


def _begin(connection: Any) -> None:
    options = connection.get_execution_options()
    if not options.get("reads_singly"):
        reads_only = options.get("reads_only")
        connection.connection.cursor().execute("BEGIN" if reads_only else "BEGIN IMMEDIATE")
