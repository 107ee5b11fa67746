"""A process that is killed in the middle of a request leaves its key for seconds, and makes nothing twice."""

import os
import signal
import sqlite3
import threading
import time
from pathlib import Path

import requests

from api_tests.all_calls import AllCalls as Client
from api_tests.conftest import Service
from api_tests.posted import a_job


def test_after_a_kill_the_same_key_runs_again_in_seconds_and_makes_one_quote(tmp_path):
    service = Service(tmp_path, searching=True).start()
    client = Client(service.base, service.key("estimator"))
    job = client.post_job(large_job()).json()["id"]
    sent = threading.Thread(target=_ask_and_lose, args=(client, job), daemon=True)
    sent.start()
    _wait_until_claimed(service)
    kill(service)
    killed = time.monotonic()
    service.start()
    try:
        answers = []
        while time.monotonic() - killed < 60:
            answers.append(client.quote_job(job, once="killed"))
            if answers[-1].status_code != 409:
                break
            time.sleep(min(5, int(answers[-1].headers["Retry-After"])))
        assert answers[-1].status_code == 201, answers[-1].text
        assert {each.json()["type"].rpartition("/")[2] for each in answers[:-1]} <= {"still-running"}
        assert len(client.quotes().json()["items"]) == 1
        assert client.quote_job(job, once="killed").headers["Idempotent-Replayed"] == "true"
    finally:
        service.stop()


def kill(service):
    """As when the power goes: the server's processes, each before it could say anything."""
    main = service.process.pid
    for pid in (*Path(f"/proc/{main}/task/{main}/children").read_text().split(), main):
        os.kill(int(pid), signal.SIGKILL)
    service.process.wait(timeout=20)


def large_job():
    """A job whose quote takes long enough to be killed in the middle."""
    job = a_job()
    array = job["roofs"][0]["arrays"][0]
    job["roofs"][0] |= {"eave_length": 200_000, "slope_length": 60_000}
    job["roofs"][0]["arrays"] = [{**array, "x": 2_000, "y": 2_000, "rows": 20, "columns": 90}]
    job["mounting"] = {"arrangement": "rail_on_side", "max_span": 1_000, "max_cantilever": 300}
    return job


def _ask_and_lose(client, job):
    try:
        client.quote_job(job, once="killed")
    except requests.ConnectionError:
        return


def _wait_until_claimed(service):
    """The claim stands in the database once the request is under way."""
    with sqlite3.connect(service.folder / "estimator.db") as database:
        for _ in range(500):
            if database.execute("SELECT count(*) FROM idempotency WHERE status IS NULL").fetchone()[0]:
                return
            time.sleep(0.01)
    raise AssertionError("the request never began")
