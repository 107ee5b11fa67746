"""A copy of the embedded database that is whole whatever is written meanwhile, and the way back.

SQLite writes the copy itself (VACUUM INTO), as of one moment. Source: SQLite's documentation, "VACUUM INTO" and
"How To Corrupt An SQLite Database File" (copying the file of a database in use loses what stands in its log).
PostgreSQL has its own tools.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import make_url

from estimator.errors import Conflict, Fault, Refused
from estimator.sentences import Sentence, say
from estimator.storage.migrate import revisions

POSTGRESQL = "pg_dump --format=custom --file=FILE URL, and pg_restore --clean --if-exists --dbname=URL FILE"
BESIDE = ("-wal", "-shm", "-journal")


@dataclass(frozen=True, slots=True)
class Copied:
    """A copy: where it is, its size, the form of its tables, and how many rows they hold."""

    place: Path
    size: int
    revision: str
    rows: int


def back_up(url: str, target: Path) -> Copied:
    """Copy the database to a file that must not be there yet. Errors: Refused, Conflict."""
    source = database_file(url)
    if not source.exists():
        raise Refused(say("there is no database to copy"), [Fault("ESTIMATOR_DATA", say("no database lies there"))])
    if target.exists():
        raise Conflict(say("{target} is there already; a backup never takes another's place", target=str(target)))
    target.parent.mkdir(parents=True, exist_ok=True)
    half = target.with_name(f".{target.name}.{os.getpid()}.half")
    half.unlink(missing_ok=True)
    try:
        with closing(sqlite3.connect(source, isolation_level=None, timeout=60)) as connection:
            connection.execute("VACUUM INTO ?", (str(half),))
        half.chmod(0o600)
        _flush(half)
        copied = looked_at(half)
        half.rename(target)
    finally:
        half.unlink(missing_ok=True)
    _flush(target.parent)
    return Copied(target, copied.size, copied.revision, copied.rows)


def restore(url: str, source: Path, *, replace: bool) -> Copied:
    """Put a copy in the place of the database. What was there is kept beside it.

    Errors: Refused for a file that is no whole copy; Conflict where a database is there, or the service uses it.
    """
    copied, target = looked_at(source), database_file(url)
    if target.exists():
        if not replace:
            raise Conflict(
                say("{target} is there already; --replace keeps it beside the restored one", target=str(target))
            )
        _refuse_used(target)
    target.parent.mkdir(parents=True, exist_ok=True)
    half = target.with_name(f".{target.name}.{os.getpid()}.half")
    half.unlink(missing_ok=True)
    with closing(sqlite3.connect(source)) as kept, closing(sqlite3.connect(half)) as new:
        kept.backup(new)
    half.chmod(0o600)
    _flush(half)
    if target.exists():
        _set_aside(target)
    half.rename(target)
    _flush(target.parent)
    return Copied(target, copied.size, copied.revision, copied.rows)


def looked_at(place: Path) -> Copied:
    """A copy, once every page, every reference and the form of its tables was looked at. Errors: Refused."""
    try:
        with closing(sqlite3.connect(f"{place.absolute().as_uri()}?mode=ro", uri=True)) as connection:
            whole = connection.execute("PRAGMA integrity_check").fetchone()[0]
            broken = connection.execute("PRAGMA foreign_key_check").fetchall()
            (revision,) = connection.execute("SELECT version_num FROM alembic_version").fetchone()
            names = [name for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")]
            counts = [connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in names]  # noqa: S608
    except (sqlite3.DatabaseError, TypeError) as fault:
        raise _no_copy(place, say("it is no database of this service, or a damaged one")) from fault
    if whole != "ok" or broken:
        raise _no_copy(place, say("it is damaged"))
    if revision not in revisions():
        raise _no_copy(place, say("its tables are of a later version of the service"))
    return Copied(place, place.stat().st_size, revision, sum(counts))


def database_file(url: str) -> Path:
    """The file of an embedded database. Errors: Refused for another one, with the tools that serve there."""
    parsed = make_url(url)
    if parsed.get_backend_name() != "sqlite" or not parsed.database:
        said = Fault("ESTIMATOR_DATABASE_URL", say("PostgreSQL is backed up by its own tools"), POSTGRESQL)
        raise Refused(say("this is for the embedded database"), [said])
    return Path(parsed.database)


def _refuse_used(target: Path) -> None:
    """A database that another process holds open is not replaced: the process would go on writing to the old file."""
    try:
        with closing(sqlite3.connect(target, isolation_level=None, timeout=1)) as connection:
            connection.execute("PRAGMA locking_mode=EXCLUSIVE")
            connection.execute("BEGIN EXCLUSIVE")
            connection.execute("ROLLBACK")
    except sqlite3.OperationalError as fault:
        raise Conflict(say("the service uses this database; stop it first")) from fault
    except sqlite3.DatabaseError:
        return  # no database any more: it is what is to be replaced


def _set_aside(target: Path) -> None:
    aside, at = target.with_name(f"{target.name}.before-restore"), 1
    while aside.exists():
        aside, at = target.with_name(f"{target.name}.before-restore-{at}"), at + 1
    target.rename(aside)
    for ending in BESIDE:
        beside = target.with_name(target.name + ending)
        if beside.exists():
            beside.rename(aside.with_name(aside.name + ending))


def _flush(place: Path) -> None:
    """To the disk, so that a loss of power keeps it."""
    handle = os.open(place, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _no_copy(place: Path, reason: Sentence) -> Refused:
    return Refused(
        say("{place} cannot be restored: {reason}", place=str(place), reason=reason),
        [Fault(str(place), reason, say("a file of estimator backup"))],
    )
