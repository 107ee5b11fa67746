"""A running service whose processes are killed, and whose limits are tried."""

import os
import signal
import time
from pathlib import Path

import requests

from api_tests.all_calls import AllCalls as Client
from api_tests.conftest import Service
from api_tests.posted import a_job

WAIT_SECONDS = 60


def workers(service):
    """The server's processes below its main one, by their ids."""
    main = service.process.pid
    return [int(pid) for pid in Path(f"/proc/{main}/task/{main}/children").read_text().split()]


def until(holds):
    end = time.monotonic() + WAIT_SECONDS
    while time.monotonic() < end:
        try:
            if holds():
                return True
        except requests.RequestException:
            pass
        time.sleep(0.1)
    return False


def is_alive(pid):
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


def test_a_killed_process_is_replaced_and_none_outlives_the_main_one(tmp_path):
    service = Service(tmp_path, from_nothing=True).start()
    client = Client(service.base, service.key("estimator"))
    job = client.post_job(a_job()).json()
    for pid in workers(service):
        os.kill(pid, signal.SIGKILL)
    assert until(lambda: client.job(job["id"]).status_code == 200)
    assert service.process.poll() is None
    left = workers(service)
    os.kill(service.process.pid, signal.SIGKILL)
    service.process.wait(timeout=20)
    assert until(lambda: not any(map(is_alive, left))), left
    service.start()
    assert client.job(job["id"]).json() == job
    service.stop()


def test_a_body_over_the_limit_is_too_large_whether_its_length_is_told_or_not(service, estimator):
    """Source: RFC 9110, section 15.5.14 (413)."""
    piece = b'{"title": "' + b"x" * 1_000_000

    def chunks():
        for _ in range(8):
            yield piece

    for body in (piece * 8, chunks()):
        answer = estimator.post("/v1/jobs", data=body, headers={"Content-Type": "application/json"})
        assert answer.status_code == 413, answer.text[:200]
        assert answer.json()["type"] == "/problems/too-large"
