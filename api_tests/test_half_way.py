"""Uploads that stop half-way, and answers while every worker thread is taken: the service goes on."""

import socket
import time

import pytest
import requests

from api_tests.all_calls import AllCalls as Client
from api_tests.conftest import Service
from api_tests.posted import a_job

HALF_WAY = 80
"""More than any process has worker threads."""


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    service = Service(tmp_path_factory.mktemp("half-way"))
    service.environment |= {"ESTIMATOR_THREADS": "4", "ESTIMATOR_BODY_SECONDS": "3"}
    service.start()
    yield service, service.key("crm")
    service.stop()


def half_way(service, key, length=100_000):
    """A connection that has sent the head of a job and the beginning of its body."""
    made = socket.create_connection(("127.0.0.1", service.port), timeout=20)
    head = [
        "POST /v1/jobs HTTP/1.1", "Host: localhost", f"Authorization: Bearer {key}", "Content-Type: application/json",
        f"Content-Length: {length}",
    ]  # fmt: skip
    made.sendall("\r\n".join([*head, "", '{"reference": "half-way", ']).encode())
    return made


@pytest.fixture
def stopped(served):
    service, key = served
    open_ones = [half_way(service, key) for _ in range(HALF_WAY)]
    time.sleep(0.5)
    yield open_ones
    for each in open_ones:
        each.close()


def test_uploads_that_stop_half_way_hold_nobody_up(served, stopped):
    service, key = served
    for path in ("/livez", "/readyz", "/v1/jobs"):
        answer = requests.get(service.base + path, headers={"Authorization": f"Bearer {key}"}, timeout=2)
        assert answer.status_code == 200, path
    assert Client(service.base, key).post_job(a_job()).status_code == 201


def test_an_upload_that_stops_half_way_is_ended_and_told_why(served, stopped):
    answer = stopped[0].recv(65_536).decode()
    assert answer.startswith("HTTP/1.1 408")
    assert "/problems/body-too-slow" in answer


def test_a_client_that_hangs_up_half_way_leaves_nothing(served):
    service, key = served
    for _ in range(20):
        half_way(service, key).close()
    answer = requests.get(
        f"{service.base}/v1/jobs?reference=half-way", headers={"Authorization": f"Bearer {key}"}, timeout=2
    )
    assert answer.json()["items"] == []


def test_a_body_without_a_key_is_not_waited_for(served):
    service, _ = served
    with socket.create_connection(("127.0.0.1", service.port), timeout=2) as made:
        made.sendall(b"POST /v1/jobs HTTP/1.1\r\nHost: localhost\r\nContent-Length: 100000\r\n\r\n")
        assert made.recv(65_536).startswith(b"HTTP/1.1 401")


def test_a_body_in_pieces_over_the_limit_is_too_large(served):
    service, key = served

    def pieces():
        for _ in range(20):
            yield b" " * 1_000_000

    answer = requests.post(
        service.base + "/v1/jobs", data=pieces(), timeout=20,
        headers={"Authorization": f"Bearer {key}", "Content-Type": "application/json"},
    )  # fmt: skip
    assert answer.status_code == 413
    assert answer.json()["type"].endswith("/problems/too-large")
