"""What the API answers where the database is held by others, gone, or cannot take a name."""

import sqlite3

import pytest
from sqlalchemy import event

from estimator.app import create_app, open_context
from estimator.service.access.keys import create_key, first_key
from estimator.settings import from_environment
from tests import postgres
from tests.contract.requests.posted_job.test_job import JOB
from tests.references import missing, require_module


@pytest.fixture(scope="module")
def server():
    if postgres.programs() is None:
        missing("postgresql")
    require_module("psycopg")
    with postgres.running() as address:
        yield address


@pytest.fixture(params=["sqlite", "postgresql"])
def served(request, tmp_path):
    environment = {"ESTIMATOR_DATA": str(tmp_path)}
    if request.param == "postgresql":
        environment["ESTIMATOR_DATABASE_URL"] = request.getfixturevalue("server")
    settings = from_environment(environment)
    context = open_context(settings)
    headers = {"Authorization": f"Bearer {create_key(context, 'house', 'admin', 'Ann')[0]}"}
    yield create_app(settings, context).test_client(), headers, context
    context.engine.dispose()


UNPRINTABLE = (
    "/v1/jobs/a%00b", "/v1/quotes/%00", "/v1/quotes/%00/quote.pdf", "/v1/order-lists/a%00",
    "/v1/pricebooks/a%00/editions/b%07",
)  # fmt: skip


@pytest.mark.parametrize("path", UNPRINTABLE)
def test_a_name_that_cannot_be_printed_names_nothing(served, path):
    http, headers, _ = served
    answer = http.get(path, headers=headers)
    assert answer.status_code == 404, answer.text
    assert answer.json["type"].endswith("/problems/not-found")


def test_a_name_longer_than_any_names_nothing_and_is_not_kept(served):
    http, headers, _ = served
    columns = {"part": "Article", "cost": "Net"}
    for length, status in ((80, 200), (81, 404)):
        answer = http.post(f"/v1/suppliers/{'a' * length}/price-list-columns", json=columns, headers=headers)
        assert answer.status_code == status, answer.text


@pytest.mark.parametrize("path", ["/v1/jobs?reference=%00", "/v1/quotes?job=%00", "/v1/quotes?cursor=%00"])
def test_a_question_that_cannot_be_printed_is_refused(served, path):
    http, headers, _ = served
    assert http.get(path, headers=headers).status_code == 422


@pytest.fixture
def embedded(tmp_path):
    settings = from_environment({"ESTIMATOR_DATA": str(tmp_path)})
    context = open_context(settings)
    event.listen(context.engine, "connect", lambda made, _: made.execute("PRAGMA busy_timeout=50"))
    headers = {"Authorization": f"Bearer {first_key(context)}", "Idempotency-Key": "once"}
    context.engine.dispose()
    yield create_app(settings, context).test_client(), headers, tmp_path / "estimator.db"
    context.engine.dispose()


def test_a_database_that_others_hold_is_busy_and_the_same_request_may_come_again(embedded):
    http, headers, file = embedded
    assert http.get("/v1/jobs", headers=headers).status_code == 200
    other = sqlite3.connect(file, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    answer = http.post("/v1/jobs", json=JOB, headers=headers)
    assert answer.status_code == 503
    assert answer.json["type"].endswith("/problems/busy")
    assert int(answer.headers["Retry-After"]) >= 1
    other.execute("ROLLBACK")
    assert http.post("/v1/jobs", json=JOB, headers=headers).status_code == 201
    other.close()


@pytest.mark.parametrize("lock", ["ACCESS EXCLUSIVE", "SHARE"])
def test_a_table_that_others_lock_on_postgresql_is_busy_and_the_same_request_may_come_again(server, tmp_path, lock):
    """A migration by hand, or a dump with locks. Without a time to wait the request would hang as long as they do."""
    settings = from_environment({"ESTIMATOR_DATA": str(tmp_path), "ESTIMATOR_DATABASE_URL": server})
    context = open_context(settings)
    headers = {"Authorization": f"Bearer {create_key(context, 'house', 'admin', 'Ann')[0]}"}
    http, job = create_app(settings, context).test_client(), {**JOB, "reference": f"locked {lock}"}
    assert http.get("/v1/jobs", headers=headers).status_code == 200
    with context.engine.connect() as own:
        assert own.exec_driver_sql("SHOW lock_timeout").scalar() == "10s"
    event.listen(context.engine, "begin", lambda made: made.exec_driver_sql("SET LOCAL lock_timeout = '100ms'"))
    other = open_context(settings)
    with other.engine.begin() as holding:
        holding.exec_driver_sql(f"LOCK TABLE job IN {lock} MODE")
        answer = http.post("/v1/jobs", json=job, headers=headers)
        assert answer.status_code == 503, answer.text
        assert (answer.json["type"], answer.json["code"]) == ("/problems/busy", "database_locked")
        assert int(answer.headers["Retry-After"]) >= 1
        assert http.get("/v1/jobs", headers=headers).status_code == (503 if lock.startswith("ACCESS") else 200)
    assert http.post("/v1/jobs", json=job, headers=headers).status_code == 201
    for each in (context, other):
        each.engine.dispose()


def test_a_request_that_still_runs_says_when_to_come_again(embedded):
    http, headers, file = embedded
    other = sqlite3.connect(file, isolation_level=None)
    assert http.post("/v1/jobs", json=JOB, headers=headers).status_code == 201
    other.execute("UPDATE idempotency SET status = NULL, claimed_until = '2999-01-01 00:00:00.000000'")
    answer = http.post("/v1/jobs", json=JOB, headers=headers)
    assert answer.status_code == 409
    assert answer.json["type"].endswith("/problems/still-running")
    assert int(answer.headers["Retry-After"]) >= 1
    other.close()
