"""From the network to the app: what is read before a worker thread is taken, and what is told without one.

Sources: PEP 3333 (environ), the ASGI specification 3.0 (scope, messages), RFC 9110 section 5.3 (repeated fields).
"""

import asyncio
import json
import threading
import time

import pytest

from estimator.api.transport import BodyLimits, Bridge
from estimator.api.transport.wsgi import environ_of
from tests.api.house import House

LIMITS = BodyLimits(largest=1_000, idle_seconds=0.2, held_at_once=1_500)


def a_scope(path="/v1/jobs", method="POST", headers=(("authorization", "Bearer x"), ("transfer-encoding", "chunked"))):
    return {
        "type": "http", "method": method, "path": path, "raw_path": path.encode(), "query_string": b"a=1",
        "http_version": "1.1", "scheme": "http", "server": ("localhost", 80), "client": ("192.0.2.1", 5),
        "headers": [(name.encode(), value.encode()) for name, value in headers],
    }  # fmt: skip


def echo(environ, start):
    body = environ["wsgi.input"].read()
    start("200 OK", [("Content-Type", "text/plain"), ("X-Length", environ["CONTENT_LENGTH"])])
    return [b"read ", body]


class Connection:
    """One request's messages, and what is sent back."""

    def __init__(self, *messages, then_silent=False):
        self.messages, self.then_silent, self.sent = list(messages), then_silent, []

    async def receive(self):
        if self.messages:
            return self.messages.pop(0)
        if self.then_silent:
            await asyncio.sleep(60)
        return {"type": "http.disconnect"}

    async def send(self, message):
        self.sent.append(message)

    @property
    def status(self):
        return self.sent[0]["status"]

    @property
    def headers(self):
        return dict(self.sent[0]["headers"])

    @property
    def body(self):
        return self.sent[1]["body"]


def piece(body, *, more=False):
    return {"type": "http.request", "body": body, "more_body": more}


def called(bridge, connection, scope=None):
    asyncio.run(bridge(scope or a_scope(), connection.receive, connection.send))
    return connection


def test_a_body_in_pieces_is_handed_on_whole_with_its_length():
    answer = called(Bridge(echo, 1, LIMITS), Connection(piece(b"one ", more=True), piece(b"two")))
    assert (answer.status, answer.body, answer.headers[b"x-length"]) == (200, b"read one two", b"7")


def test_a_body_of_which_nothing_more_comes_takes_no_thread_and_is_ended():
    def never(environ, start):
        raise AssertionError("a thread was taken")

    answer = called(Bridge(never, 1, LIMITS), Connection(piece(b"one ", more=True), then_silent=True))
    assert answer.status == 408
    assert json.loads(answer.body)["type"] == "/problems/body-too-slow"


@pytest.mark.parametrize(
    "headers",
    [(("authorization", "x"), ("content-length", "1001")), (("authorization", "x"), ("transfer-encoding", "chunked"))],
)
def test_a_body_over_the_limit_is_too_large_whether_or_not_it_says_so(headers):
    answer = called(Bridge(echo, 1, LIMITS), Connection(piece(b"x" * 1_001, more=True)), a_scope(headers=headers))
    assert (answer.status, json.loads(answer.body)["type"]) == (413, "/problems/too-large")


def test_a_browser_is_told_on_a_page_in_its_language_and_a_program_is_not(tmp_path):
    house = House(tmp_path)
    bridge, form = Bridge(house.client.application, 1, LIMITS), Connection(piece(b"x" * 1_001, more=True))
    sent = (("cookie", "session=x"), ("transfer-encoding", "chunked"), ("accept-language", "de"))
    answer = called(bridge, form, a_scope("/jobs/import", headers=(*sent, ("accept", "text/html,*/*;q=0.8"))))
    assert (answer.status, answer.headers[b"connection"]) == (413, b"close")
    assert answer.headers[b"content-type"].startswith(b"text/html")
    assert b'lang="de"' in answer.body
    program = called(bridge, Connection(piece(b"x" * 1_001, more=True)), a_scope(headers=(*sent, ("accept", "*/*"))))
    assert (program.status, json.loads(program.body)["type"]) == (413, "/problems/too-large")
    house.close()


def test_more_large_bodies_than_are_held_at_once_are_told_to_come_later():
    bridge = Bridge(echo, 1, LIMITS)

    async def both():
        first = Connection(piece(b"x" * 900, more=True), then_silent=True)
        second = Connection(piece(b"x" * 900))
        waiting = asyncio.create_task(bridge(a_scope(), first.receive, first.send))
        await asyncio.sleep(0.05)
        await bridge(a_scope(), second.receive, second.send)
        await waiting
        return first, second

    first, second = asyncio.run(both())
    assert (first.status, second.status) == (408, 503)
    assert int(second.headers[b"retry-after"]) >= 1
    assert called(bridge, Connection(piece(b"x" * 900))).status == 200


def test_a_client_that_hangs_up_is_answered_nothing():
    assert called(Bridge(echo, 1, LIMITS), Connection(piece(b"one ", more=True))).sent == []


def test_a_body_over_http_2_needs_no_length():
    """RFC 9113, section 8.1: the end of the stream is the end of the body."""
    scope = a_scope(headers=(("authorization", "x"),)) | {"http_version": "2"}
    assert called(Bridge(echo, 1, LIMITS), Connection(piece(b"two")), scope).body == b"read two"


def test_a_request_without_a_body_is_not_waited_for():
    scope = a_scope(method="GET", headers=(("authorization", "x"), ("content-length", "0")))
    assert called(Bridge(echo, 1, LIMITS), Connection(then_silent=True), scope).body == b"read "


def test_without_a_key_the_body_is_not_waited_for():
    answer = called(Bridge(echo, 1, LIMITS), Connection(then_silent=True), a_scope(headers=()))
    assert (answer.status, answer.body) == (200, b"read ")


def test_health_is_told_while_every_worker_thread_is_taken_and_what_waits_too_long_comes_later(monkeypatch):
    monkeypatch.setattr("estimator.api.transport.bridge.WAITING_FOR_EACH_THREAD", 1)
    over = threading.Event()

    def held(environ, start):
        if environ["PATH_INFO"] != "/livez":
            over.wait(20)
        start("200 OK", [])
        return [b""]

    bridge = Bridge(held, 1, LIMITS)

    async def all_at_once():
        taken = [Connection(piece(b"")) for _ in range(2)]
        tasks = [asyncio.create_task(bridge(a_scope(), each.receive, each.send)) for each in taken]
        await asyncio.sleep(0.05)
        begun, health, later = time.monotonic(), Connection(piece(b"")), Connection(piece(b""))
        await bridge(a_scope("/livez", "GET"), health.receive, health.send)
        await bridge(a_scope(), later.receive, later.send)
        seconds = time.monotonic() - begun
        over.set()
        await asyncio.gather(*tasks)
        return health.status, later.status, seconds, [each.status for each in taken]

    health, later, seconds, taken = asyncio.run(all_at_once())
    assert (health, later, taken) == (200, 503, [200, 200])
    assert seconds < 10


def test_the_environ_has_the_bytes_of_the_path_and_repeated_fields_as_one_list():
    headers = (("accept", "a"), ("accept", "b"), ("cookie", "c=1"), ("cookie", "d=2"), ("content-type", "text/plain"))
    scope = a_scope(headers=headers) | {"raw_path": b"/v1/jobs/%C3%A9%00", "path": "/v1/jobs/x"}
    environ = environ_of(scope, b"12")
    assert environ["PATH_INFO"] == "/v1/jobs/\xc3\xa9\x00"
    assert (environ["HTTP_ACCEPT"], environ["HTTP_COOKIE"]) == ("a,b", "c=1; d=2")
    assert (environ["CONTENT_TYPE"], environ["CONTENT_LENGTH"], environ["QUERY_STRING"]) == ("text/plain", "2", "a=1")
