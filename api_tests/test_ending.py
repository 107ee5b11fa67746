"""Processes that are told to end: requests under way are answered, and work under way goes on elsewhere at once.

The house's rule: nothing lost, nothing twice.
"""

import signal
import sqlite3
import threading

import pytest
import requests

from api_tests.all_calls import AllCalls as Client
from api_tests.conftest import Service
from api_tests.test_forced import until
from api_tests.test_killed import large_job
from api_tests.test_operations import ASYNC, Work, finished, rails
from tests import postgres
from tests.references import missing, require_module

CUTS = {
    "unit": "mm",
    "kerf": 3,
    "stocks": [{"length": 6_000, "price": "21.50", "available": None}],
    "pieces": [{"length": 1_450, "count": 8}],
}


def huge_job():
    """A job whose quote takes many seconds."""
    job = large_job()
    job["roofs"][0] |= {"eave_length": 900_000, "slope_length": 200_000}
    job["roofs"][0]["arrays"][0] |= {"rows": 80, "columns": 500}
    return job


def test_a_request_under_way_is_answered_before_the_process_ends(tmp_path):
    service = Service(tmp_path, from_nothing=True).start()
    client = Client(service.base, service.key("estimator"))
    first, job = (client.post_job(each).json()["id"] for each in (rails("FIRST"), rails("NEXT")))
    assert client.quote_job(first).status_code == 201  # the process that calculates has begun
    answers = []
    asked = threading.Thread(target=lambda: answers.append(client.quote_job(job, once="under-way")))
    asked.start()
    with sqlite3.connect(service.folder / "estimator.db") as database:
        claimed = "SELECT count(*) FROM idempotency WHERE status IS NULL"
        assert until(lambda: answers or database.execute(claimed).fetchone()[0])
    service.stop()
    asked.join(60)
    assert [each.status_code for each in answers] == [201], answers
    assert service.process.returncode == 0


def test_an_operation_under_way_waits_for_the_next_process_and_counts_no_attempt(tmp_path):
    service = Service(tmp_path, searching=True)
    service.environment |= {"ESTIMATOR_OPERATION_MODULES": "100000"}
    service.start()
    client = Client(service.base, service.key("estimator"))
    job = client.post_job(huge_job()).json()["id"]
    where = client.post(f"/v1/jobs/{job}/quotes", {}, headers=ASYNC).headers["Location"]
    assert until(lambda: client.get(where).json()["state"] == "running")
    service.stop()
    with sqlite3.connect(service.folder / "estimator.db") as database:
        stood = database.execute("SELECT state, attempts, claim FROM operation").fetchall()
    assert stood == [("queued", 0, "")]


@pytest.fixture
def apart(tmp_path):
    """A service on PostgreSQL that leaves operations to workers."""
    if postgres.programs() is None:
        missing("postgresql")
    require_module("psycopg")
    require_module("procrastinate")
    with postgres.running() as address:
        service = Service(tmp_path, searching=True)
        service.environment |= {"ESTIMATOR_DATABASE_URL": address, "ESTIMATOR_OPERATIONS": "apart"}
        service.start()
        yield service
        service.stop()


def test_a_worker_that_is_told_to_end_hands_its_work_to_another_at_once(apart):
    first = Work(apart, from_nothing=True)
    try:
        client = Client(apart.base, apart.key("estimator"))
        job = client.post_job(large_job()).json()["id"]
        where = client.post(f"/v1/jobs/{job}/quotes", {}, headers=ASYNC).headers["Location"]
        assert until(lambda: client.get(where).json()["state"] == "running")
        first.process.send_signal(signal.SIGTERM)
        assert first.process.wait(20) == 0
        assert client.get(where).json()["state"] == "queued"
        second = Work(apart)
        try:
            assert until(lambda: finished(client, [where]))
            assert client.get(where).json()["state"] == "succeeded"
            assert len(client.quotes().json()["items"]) == 1
        finally:
            second.kill()
    finally:
        first.kill()


def test_a_worker_that_is_told_to_end_as_soon_as_it_works_ends_in_order(apart):
    work = Work(apart, from_nothing=True)
    try:
        log = apart.folder / "work.txt"
        assert until(lambda: "Working" in log.read_text("utf-8"))
        work.process.send_signal(signal.SIGTERM)
        assert work.process.wait(20) == 0
    finally:
        work.kill()


def test_a_worker_tells_its_numbers(apart, tmp_path):
    spare = Service(tmp_path)  # a port that is free
    work = Work(apart, "--metrics-port", str(spare.port))
    try:
        client = Client(apart.base, apart.key("estimator"))
        where = client.post("/v1/cut-plans", CUTS, headers=ASYNC).headers["Location"]
        assert until(lambda: finished(client, [where]))
        text = requests.get(spare.base + "/metrics", timeout=20).text
        assert 'estimator_operation_seconds_count{kind="cut_plan",outcome="succeeded"} 1.0' in text
    finally:
        work.kill()
