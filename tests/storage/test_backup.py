"""A backup taken while the service writes is whole, and what it holds comes back; nothing is replaced unseen."""

import sqlite3
import time
from concurrent.futures import ThreadPoolExecutor
from threading import Event

import pytest
from click.testing import CliRunner
from sqlalchemy import select, text

from estimator.cli.main import main
from estimator.errors import Conflict, Refused
from estimator.service.context import store_nothing
from estimator.service.jobs import post_job
from estimator.storage import tables
from estimator.storage.backup import back_up, looked_at, restore
from estimator.storage.engine import open_engine
from tests.builders import a_job
from tests.facts import refusing
from tests.service.contexts import DIRECT, a_client, a_context


def url_of(folder):
    return f"sqlite:///{folder / 'estimator.db'}"


def test_backups_taken_under_load_hold_all_that_was_answered_before_and_no_half_of_anything(tmp_path):
    """Source of what must hold: a backup is one moment's state (SQLite, VACUUM INTO runs in a read transaction)."""
    context, _, _ = a_context(tmp_path, url_of(tmp_path))
    client = a_client(context)
    over, answered = Event(), []

    def write(thread):
        at = 0
        while not over.is_set():
            reference = f"T-{thread}-{at}"
            job = a_job(reference=reference, mounting=DIRECT)
            post_job(context, client, job, {"reference": reference, "filler": "x" * 2_000}, store_nothing)
            answered.append(reference)
            at += 1

    with ThreadPoolExecutor(4) as pool:
        writers = [pool.submit(write, thread) for thread in range(4)]
        taken = []
        while len(answered) < 20:
            time.sleep(0.01)
        for at in range(5):
            before = set(answered)
            taken.append((before, back_up(url_of(tmp_path), tmp_path / "copies" / f"{at}.db")))
        over.set()
        [each.result() for each in writers]
    context.engine.dispose()
    assert len(answered) > len(taken[0][0])
    for at, (before, copied) in enumerate(taken):
        assert copied.place.stat().st_mode & 0o777 == 0o600
        folder = tmp_path / f"restored {at}"
        restore(url_of(folder), copied.place, replace=False)
        engine = open_engine(url_of(folder))
        with engine.connect() as connection:
            found = set(connection.execute(select(tables.JobRow.reference)).scalars())
            posted = connection.scalar(text("SELECT count(*) FROM audit WHERE action = 'job.posted'"))
            events = connection.execute(text("SELECT position FROM event ORDER BY position")).scalars().all()
        engine.dispose()
        assert before <= found <= set(answered)
        assert posted == len(found)
        assert events == list(range(1, len(found) + 1))


def a_database(folder):
    context, _, _ = a_context(folder, url_of(folder))
    a_client(context)
    return context


def test_a_backup_takes_nobodys_place_and_a_restore_keeps_what_was_there(tmp_path):
    a_database(tmp_path).engine.dispose()
    copy = tmp_path / "copy.db"
    back_up(url_of(tmp_path), copy)
    with refusing(Conflict, holds=(str(copy),)):
        back_up(url_of(tmp_path), copy)
    with refusing(Conflict, holds=(str(tmp_path / "estimator.db"),)):
        restore(url_of(tmp_path), copy, replace=False)
    restore(url_of(tmp_path), copy, replace=True)
    restore(url_of(tmp_path), copy, replace=True)
    kept = sorted(path.name for path in tmp_path.glob("estimator.db.before-restore*"))
    assert kept == ["estimator.db.before-restore", "estimator.db.before-restore-1"]
    assert looked_at(tmp_path / kept[0]).rows == looked_at(copy).rows


def test_a_database_in_use_is_not_replaced(tmp_path):
    context = a_database(tmp_path)
    copy = tmp_path / "copy.db"
    back_up(url_of(tmp_path), copy)
    with context.reading() as session:
        session.execute(text("SELECT 1"))
    with refusing(Conflict):
        restore(url_of(tmp_path), copy, replace=True)
    context.engine.dispose()
    restore(url_of(tmp_path), copy, replace=True)


@pytest.mark.parametrize("damage", ["cut", "overwritten", "no database", "later"])
def test_a_damaged_copy_is_not_restored(tmp_path, damage):
    a_database(tmp_path).engine.dispose()
    copy = tmp_path / "copy.db"
    back_up(url_of(tmp_path), copy)
    content = bytearray(copy.read_bytes())
    if damage == "cut":
        copy.write_bytes(content[: len(content) // 2])
    elif damage == "overwritten":
        content[5000:9000] = b"\xff" * 4000
        copy.write_bytes(content)
    elif damage == "no database":
        copy.write_bytes(b"something else")
    else:
        with sqlite3.connect(copy) as connection:
            connection.execute("UPDATE alembic_version SET version_num = '9999'")
    with pytest.raises(Refused):
        restore(url_of(tmp_path / "new"), copy, replace=False)
    assert not (tmp_path / "new" / "estimator.db").exists()


def test_postgresql_is_told_its_own_tools(tmp_path):
    with pytest.raises(Refused) as refusal:
        back_up("postgresql+psycopg://estimator@/estimator", tmp_path / "x")
    assert "pg_dump" in refusal.value.faults[0].allowed


def test_the_commands_do_it_too(tmp_path):
    a_database(tmp_path).engine.dispose()
    copy, new = str(tmp_path / "copy.db"), str(tmp_path / "new")
    done = CliRunner().invoke(main, ["backup", copy, "--data", str(tmp_path)], env={"ESTIMATOR_DATA": str(tmp_path)})
    assert done.exit_code == 0, done.output
    assert "secrets.key" in done.stderr  # what a copy lacks is told while there is time to keep it
    done = CliRunner().invoke(main, ["restore", copy, "--data", new], env={"ESTIMATOR_DATA": new})
    assert done.exit_code == 0, done.output
    assert "secrets.key" in done.stderr
    assert "--secrets-key-lost" in done.stderr
    again = CliRunner().invoke(main, ["restore", copy, "--data", new], env={"ESTIMATOR_DATA": new})
    assert again.exit_code != 0
    assert "--replace" in again.output
