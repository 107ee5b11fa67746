"""The tables: forth and back with rows in every one, exact amounts, instants with a zone, no update lost.

On SQLite and on a real PostgreSQL; the latter is skipped where neither its wheel nor its programs are installed.
"""

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal

import pytest
from sqlalchemy import func, insert, inspect, select, text
from sqlalchemy.exc import IntegrityError, StatementError
from sqlalchemy.orm import Session

from estimator.storage import migrate, tables
from estimator.storage.engine import open_engine
from tests import postgres
from tests.references import missing, require_module

NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
VALUES = {
    "Boolean": True, "Double": 1.5,
    "String": "x", "Integer": 1, "Amount": Decimal("1.2345"), "UtcDateTime": NOW, "Json": {"a": [1, None]},
    "LargeBinary": b"\x00\xff", "Date": date(2026, 11, 25),
}  # fmt: skip
FIXED = {
    "standing": "waiting",
    "webhook_state": "active",
    "delivery_state": "pending",
    "role": "admin",
    "state": "draft",
    "currency": "EUR",
    "revises_id": None,
    "operation.state": "queued",
    "who_kind": "key",
}


@pytest.fixture(scope="module")
def server():
    if postgres.programs() is None:
        missing("postgresql")
    require_module("psycopg")
    with postgres.running() as address:
        yield address


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request, tmp_path):
    sqlite = f"sqlite:///{tmp_path / 'test.db'}"
    address = sqlite if request.param == "sqlite" else request.getfixturevalue("server")
    migrate.upgrade(address)
    yield address
    migrate.downgrade(address, "base")


@pytest.fixture
def engine(url):
    made = open_engine(url)
    yield made
    made.dispose()


def _value(column):
    return VALUES[type(column.type).__name__]


def a_row(table):
    return {
        column.name: next(
            (FIXED[name] for name in (f"{table.name}.{column.name}", column.name) if name in FIXED), _value(column)
        )
        for column in table.columns
    }


def filled(engine):
    with engine.begin() as connection:
        for table in tables.Base.metadata.sorted_tables:
            connection.execute(insert(table).values(a_row(table)))


def counts(engine):
    with engine.connect() as connection:
        return {
            table.name: connection.scalar(select(func.count()).select_from(table))
            for table in tables.Base.metadata.sorted_tables
        }


def test_tables_and_migrations_say_the_same(url):
    migrate.check(url)


def test_the_newest_form_is_known_to_be_the_newest(url, engine):
    assert migrate.is_current(engine)
    migrate.downgrade(url, "base")
    assert not migrate.is_current(engine)
    migrate.upgrade(url)
    assert migrate.is_current(engine)


def test_an_upgrade_with_rows_in_every_table_loses_none(url, engine):
    filled(engine)
    before = counts(engine)
    assert set(before.values()) == {1}
    migrate.upgrade(url)
    assert counts(engine) == before


def test_every_column_gives_back_what_it_was_given(engine):
    filled(engine)
    with engine.connect() as connection:
        for table in tables.Base.metadata.sorted_tables:
            row = connection.execute(select(table)).mappings().one()
            assert dict(row) == a_row(table)


def test_an_amount_is_exact_where_a_float_is_not(engine):
    amount = Decimal("12345678901234.5678")
    with Session(engine) as session:
        filled(engine)
        quote = session.scalars(select(tables.QuoteRow)).one()
        quote.total = amount
        session.commit()
        session.expire_all()
        assert session.scalars(select(tables.QuoteRow)).one().total == amount
        quote.total = Decimal("0.12345")
        with pytest.raises(StatementError) as refused:
            session.commit()
        assert type(refused.value.orig) is ValueError


def test_an_instant_comes_back_in_utc_and_needs_a_zone(engine):
    filled(engine)
    with Session(engine) as session:
        job = session.scalars(select(tables.JobRow)).one()
        job.updated_at = datetime(2026, 11, 25, 14, 0, tzinfo=timezone(timedelta(hours=2)))
        session.commit()
        session.expire_all()
        assert session.scalars(select(tables.JobRow)).one().updated_at == NOW
        job.updated_at = datetime(2026, 11, 25, 14, 0)  # noqa: DTZ001 - the point of the test
        with pytest.raises(StatementError) as refused:
            session.commit()
        assert type(refused.value.orig) is ValueError


@pytest.mark.parametrize(("column", "value"), [("state", "lost"), ("job_id", "no such job")])
def test_the_database_itself_refuses_what_makes_no_sense(engine, column, value):
    filled(engine)
    with engine.begin() as connection, pytest.raises(IntegrityError):
        connection.execute(tables.QuoteRow.__table__.update().values({column: value}))


def test_a_quote_is_ordered_once_by_the_database_too(engine):
    filled(engine)
    with engine.begin() as connection, pytest.raises(IntegrityError):
        connection.execute(insert(tables.OrderedQuoteRow).values(quote_id="x", order_list_id="x"))


def test_no_update_is_lost_when_many_write_at_once(engine):
    filled(engine)

    def add_one(_):
        with Session(engine) as session, session.begin():
            row = session.scalars(select(tables.OrganisationRow).with_for_update()).one()
            row.last_number += 1

    with ThreadPoolExecutor(8) as pool:
        list(pool.map(add_one, range(80)))
    with Session(engine) as session:
        assert session.scalars(select(tables.OrganisationRow.last_number)).one() == 81


def test_sqlite_is_set_so_that_nothing_is_lost(tmp_path):
    engine = open_engine(f"sqlite:///{tmp_path / 'set.db'}")
    with engine.connect() as connection:
        asked = {name: connection.scalar(text(f"PRAGMA {name}")) for name in ("journal_mode", "synchronous")}
        assert asked == {"journal_mode": "wal", "synchronous": 2}
        assert connection.scalar(text("PRAGMA foreign_keys")) == 1
    engine.dispose()


def test_every_row_names_its_house(engine):
    free = {
        "organisation",
        "ordered_quote",
        "quote_document",
        "quote_answer",
        "due_papers",
        "rate_limit",
        "alembic_version",
    }
    free |= {"browser_session", "sign_in_attempt"}  # an account's, and names that nobody may have
    free |= {"provider_visit", "seal_check"}  # of somebody who is not signed in yet; of all machines
    inspector = inspect(engine)
    for name in set(inspector.get_table_names()) - free:
        assert "organisation_id" in {column["name"] for column in inspector.get_columns(name)}, name
