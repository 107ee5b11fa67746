"""Stored jobs and choices of version 0.1 in the words of today, and back again, on both databases."""

import copy

import pytest
from sqlalchemy import MetaData, insert, select

from estimator.contract.faults import read
from estimator.contract.requests.choices import ChoicesSchema
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.storage import migrate
from estimator.storage.engine import open_engine
from estimator.storage.types import Json
from tests import postgres
from tests.contract.requests.posted_job.test_job import JOB
from tests.references import missing, require_module
from tests.storage.tables.test_tables import NOW, VALUES

OLD_TO_NEW = [("side_rail", "rail_on_side"), ("bottom_rail", "rail_on_top"), ("direct", "direct"), (None, None)]
DOCUMENTS = {("job", "document"), ("quote", "job_document"), ("quote", "choices")}


@pytest.fixture(scope="module")
def server():
    if postgres.programs() is None:
        missing("postgresql")
    require_module("psycopg")
    with postgres.running() as address:
        yield address


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request, tmp_path):
    sqlite = f"sqlite:///{tmp_path / 'older.db'}"
    address = sqlite if request.param == "sqlite" else request.getfixturevalue("server")
    migrate.upgrade(address, "0001")
    yield address
    migrate.downgrade(address, "base")


def a_job(arrangement, omit):
    """A good job but for its older words."""
    job = copy.deepcopy(JOB)
    job["mounting"] = {"arrangement": arrangement, "material": "aluminium"}
    job["roofs"][0]["arrays"][0] |= {"omit": omit}
    return job


def filled(engine):
    """A row in every table, and for each arrangement a job and a quote of it."""
    metadata = MetaData()
    metadata.reflect(engine)
    with engine.begin() as connection:
        for table in metadata.sorted_tables:
            if table.name == "alembic_version":
                continue
            for column in table.columns:
                if (table.name, column.name) in DOCUMENTS | {("order_list", "request"), ("answered", "headers")}:
                    column.type = Json()
            count = len(OLD_TO_NEW) if table.name in {"job", "quote"} else 1
            connection.execute(insert(table), [a_row(table, number) for number in range(count)])
    return metadata


def a_row(table, number):
    fixed = {
        "id": f"id {number}", "job_id": f"id {number}", "organisation_id": "id 0", "quote_id": "id 0",
        "order_list_id": "id 0",
        "api_key_id": "id 0", "reference": f"R-{number}", "revision": number, "role": "admin", "state": "draft",
        "currency": "EUR", "revises_id": None, "request": {}, "headers": {},
        "document": a_job(OLD_TO_NEW[number][0], [[0, 0], [1, 4]]),
        "job_document": a_job(OLD_TO_NEW[number][0], [[0, 0]]),
        "choices": {"arrangement": OLD_TO_NEW[number][0], "margin": "0.2"} if number else {},
    }  # fmt: skip
    plain = {"VARCHAR": "x", "INTEGER": 1, "BIGINT": 1, "DATE": VALUES["Date"], "TEXT": "{}"}
    return {
        column.name: fixed[column.name] if column.name in fixed else plain.get(kind_of(column), value_of(column))
        for column in table.columns
    }


def kind_of(column):
    return str(column.type).partition("(")[0]


def value_of(column):
    return NOW if "TIME" in str(column.type) else b"\x00"


def documents(engine, metadata):
    with engine.connect() as connection:
        return {
            (table, name): list(connection.scalars(select(metadata.tables[table].c[name]).order_by("id")))
            for table, name in sorted(DOCUMENTS)
        }


def counts(engine, metadata):
    with engine.connect() as connection:
        return {table.name: len(connection.execute(select(table)).all()) for table in metadata.sorted_tables}


def test_stored_jobs_and_choices_are_read_anew_and_nothing_is_lost(url):
    engine = open_engine(url)
    metadata = filled(engine)
    before, rows = documents(engine, metadata), counts(engine, metadata)
    migrate.upgrade(url, "0002")
    after = documents(engine, metadata)
    assert counts(engine, metadata) == rows
    for number, (_, new) in enumerate(OLD_TO_NEW):
        job = read(JobSchema(), after["job", "document"][number])
        assert job.mounting.arrangement == new
        assert job.roofs[0].arrays[0].omit == {(0, 0), (1, 4)}
        assert read(JobSchema(), after["quote", "job_document"][number]).roofs[0].arrays[0].omit == {(0, 0)}
        assert read(ChoicesSchema(), after["quote", "choices"][number])["choices"].arrangement == (
            new if number else None
        )
    migrate.downgrade(url, "0001")
    assert documents(engine, metadata) == before
    engine.dispose()


def test_a_change_made_to_the_older_words_is_stale_and_one_to_the_same_words_is_not(url):
    engine = open_engine(url)
    metadata = filled(engine)
    job = metadata.tables["job"]
    plain = a_job("direct", [])
    with engine.begin() as connection:
        connection.execute(job.update().where(job.c.id == "id 2").values(document=plain))
    migrate.upgrade(url, "0002")
    with engine.connect() as connection:
        versions = dict(connection.execute(select(job.c.id, job.c.version)).all())
    assert versions == {"id 0": 2, "id 1": 2, "id 2": 1, "id 3": 2}
    engine.dispose()
