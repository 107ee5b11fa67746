"""Operations of a running service: followed, cancelled, and once only, whatever is killed. On both databases.

Sources: RFC 7240 (Prefer), RFC 9110 (202, Retry-After); nothing lost, nothing twice: the house's rule.
"""

import os
import signal
import subprocess
import time
from pathlib import Path

import pytest

from api_tests.all_calls import AllCalls as Client
from api_tests.conftest import ESTIMATOR, Service
from api_tests.posted import a_job
from api_tests.test_forced import is_alive, until, workers
from tests import postgres, warm
from tests.references import missing, require_module

ASYNC = {"Prefer": "respond-async"}
COUNT = 4


def rails(reference=None):
    """A job that takes some seconds, and may be killed in the middle."""
    job = a_job(reference)
    job["roofs"][0] |= {"eave_length": 60_000, "slope_length": 30_000}
    array = job["roofs"][0]["arrays"][0]
    job["roofs"][0]["arrays"] = [{**array, "x": 2_000, "y": 2_000, "rows": 3, "columns": 9}]
    job["mounting"] = {**job["mounting"], "arrangement": "rail_on_side"}
    return job


@pytest.fixture(params=["sqlite", "postgresql"])
def house(request, tmp_path):
    """A service, and on PostgreSQL two workers of its own; ``kill`` kills one of its processes."""
    if request.param == "sqlite":
        yield from _running(tmp_path, {}, 0)
        return
    if postgres.programs() is None:
        missing("postgresql")
    require_module("psycopg")
    require_module("procrastinate")
    with postgres.running() as address:
        apart = {"ESTIMATOR_DATABASE_URL": address, "ESTIMATOR_OPERATIONS": "apart", "ESTIMATOR_WORKERS": "2"}
        yield from _running(tmp_path, apart, 2)


def _running(folder, environment, count):
    service = Service(folder, searching=True)
    service.environment |= environment
    service.start()
    work = [Work(service) for _ in range(count)]
    yield service, work
    for each in work:
        each.kill()
    service.stop()


class Work:
    """``estimator work`` as a process, begun like services."""

    def __init__(self, service, *words, from_nothing=False):
        self.service, self.words, self.from_nothing = service, ["work", "--processes", "1", *words], from_nothing
        self.start()

    def start(self):
        environment = self.service.environment
        with (self.service.folder / "work.txt").open("ab") as log:
            if self.from_nothing:
                self.process = subprocess.Popen([ESTIMATOR, *self.words], env=environment, stdout=log, stderr=log)
            else:
                self.process = warm.begin(self.words, environment, log, log, checkout=False)

    def kill(self):
        self.process.kill()
        self.process.wait()


def finished(client, addresses):
    return all(client.get(each).json()["state"] in {"succeeded", "failed", "cancelled"} for each in addresses)


def test_a_quote_asked_for_later_is_followed_to_its_draft(house):
    service, _ = house
    client = Client(service.base, service.key("estimator"))
    job = client.post_job(a_job()).json()["id"]
    answer = client.post(f"/v1/jobs/{job}/quotes", {}, headers=ASYNC)
    assert answer.status_code == 202
    where = answer.headers["Location"]
    assert until(lambda: finished(client, [where])), client.get(where).text
    operation = client.get(where).json()
    assert operation["state"] == "succeeded", operation
    assert client.get(operation["links"]["result"]).json()["state"] == "draft"


def test_whatever_is_killed_nothing_is_lost_and_nothing_made_twice(house):
    service, work = house
    client = Client(service.base, service.key("estimator"))
    jobs = [client.post_job(rails(f"KILLED-{at}")).json()["id"] for at in range(COUNT)]
    started = [
        client.post(f"/v1/jobs/{job}/quotes", {}, once=f"killed-{job}", headers=ASYNC).headers["Location"]
        for job in jobs
    ]
    assert until(lambda: any(client.get(each).json()["state"] == "running" for each in started))
    for each in work:
        each.kill()
        each.start()
    for pid in workers(service):
        os.kill(pid, signal.SIGKILL)
    assert until(lambda: client.get(started[0]).status_code == 200)
    time.sleep(2)
    if work:
        work[0].kill()
        work[0].start()
    else:
        left = workers(service)
        os.kill(service.process.pid, signal.SIGKILL)
        service.process.wait(timeout=20)
        assert until(lambda: not any(map(is_alive, left))), left  # until they see that they are orphans they answer
        service.start()
    end = time.monotonic() + 180
    while not finished(client, started) and time.monotonic() < end:
        time.sleep(1)
    operations = [client.get(each).json() for each in started]
    assert [each["state"] for each in operations] == ["succeeded"] * COUNT, operations
    for job, operation in zip(jobs, operations, strict=True):
        quotes = client.quotes(job=job).json()["items"]
        assert [f"/v1/quotes/{each['id']}" for each in quotes] == [operation["links"]["result"]]
    numbers = sorted(each["number"] for each in client.quotes().json()["items"])
    assert [int(each.rpartition("-")[2]) for each in numbers] == list(range(1, COUNT + 1))


def test_a_client_that_hangs_up_stops_its_calculation(tmp_path):
    import requests  # noqa: PLC0415

    service = Service(tmp_path, from_nothing=True)
    service.environment |= {"ESTIMATOR_CALCULATORS": "1", "ESTIMATOR_OPERATION_MODULES": "100000"}
    service.start()
    try:
        client = Client(service.base, service.key("estimator"))
        assert client.estimate(a_job()).status_code == 200
        [calculator] = _calculators(service)
        job = rails()
        job["roofs"][0]["arrays"][0] |= {"rows": 14, "columns": 40, "x": 2_000}
        job["roofs"][0]["eave_length"] = 200_000
        with pytest.raises(requests.ReadTimeout):
            client.session.post(client.base + "/v1/estimates", json={"job": job}, timeout=0.3)
        assert until(lambda: calculator not in _calculators(service))
        assert client.estimate(a_job()).status_code == 200
    finally:
        service.stop()


def _calculators(service):
    found = []
    for worker in workers(service):
        for pid in Path(f"/proc/{worker}/task").iterdir():
            found += (pid / "children").read_text().split()
    return [int(pid) for pid in found if b"estimator.tasks.calculator" in Path(f"/proc/{pid}/cmdline").read_bytes()]
