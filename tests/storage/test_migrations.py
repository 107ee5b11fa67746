"""Migrations go down and up again, step by step, with rows in every table, and from the database of version 0.1."""

import sqlite3

import pytest
from alembic.script import ScriptDirectory
from sqlalchemy import inspect, text

from estimator.storage import migrate
from estimator.storage.engine import open_engine
from tests import postgres
from tests.references import missing, require_module
from tests.storage.kept_house import unpack
from tests.storage.tables.test_tables import filled

STEPS = [each.revision for each in ScriptDirectory.from_config(migrate.configuration()).walk_revisions()]
"""Every form of the tables, the newest first."""


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request, tmp_path):
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'steps.db'}"
        return
    if postgres.programs() is None:
        missing("postgresql")
    require_module("psycopg")
    with postgres.running() as address:
        yield address


def counted(url):
    """How many rows each table has."""
    engine = open_engine(url)
    with engine.connect() as connection:
        names = set(inspect(connection).get_table_names()) - {"alembic_version"}
        found = {name: connection.scalar(text(f'SELECT count(*) FROM "{name}"')) for name in names}
    engine.dispose()
    return found


def test_every_step_down_and_up_keeps_the_rows_of_the_tables_that_stay(url):
    migrate.upgrade(url)
    engine = open_engine(url)
    filled(engine)
    engine.dispose()
    assert set(counted(url).values()) == {1}
    for revision in STEPS[1:]:
        migrate.downgrade(url, revision)
        assert set(counted(url).values()) <= {1}, revision
    core = {"organisation", "api_key", "job", "quote", "quote_document", "order_list", "ordered_quote", "used_edition"}
    assert {name for name, count in counted(url).items() if count == 1} >= core
    for revision in reversed(STEPS[:-1]):
        migrate.upgrade(url, revision)
        assert all(counted(url)[name] == 1 for name in core), revision
    migrate.check(url)
    migrate.downgrade(url, "base")


def test_the_database_of_version_0_1_goes_up_step_by_step_down_and_up_again(tmp_path):
    url = unpack(tmp_path)
    database = tmp_path / "estimator.db"
    content = "SELECT id, number, revision, state, total, offer FROM quote ORDER BY id"
    with sqlite3.connect(database) as connection:
        before = connection.execute(content).fetchall()
        orders = connection.execute("SELECT id, number, lists FROM order_list ORDER BY id").fetchall()
    for revision in reversed(STEPS):
        migrate.upgrade(url, revision)
    migrate.downgrade(url, STEPS[-1])
    with sqlite3.connect(database) as connection:
        assert connection.execute(content).fetchall() == before
        assert connection.execute("SELECT id, number, lists FROM order_list ORDER BY id").fetchall() == orders
    migrate.upgrade(url)
    migrate.check(url)
    with sqlite3.connect(database) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert [row[:3] for row in connection.execute(content).fetchall()] == [row[:3] for row in before]
