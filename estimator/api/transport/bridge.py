"""From the network to the app: bodies are read by the event loop before a worker thread is taken.

However many uploads stop half-way, worker threads stay free for requests that are whole; the health of the service is
told on a thread of its own. Source: PEP 3333 for the environ, the ASGI specification 3.0 for scope and messages.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Mapping, MutableMapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from threading import Event
from typing import Any
from urllib.parse import quote
from wsgiref.types import WSGIApplication

from estimator.api.transport.bodies import BodyLimits, BodyReader, Gone
from estimator.api.transport.wsgi import REFUSAL, WsgiAnswer, environ_of, run
from estimator.contract.answers.writing import dump
from estimator.contract.problems.documents import problem_entry, problem_of
from estimator.contract.problems.refusals import Busy
from estimator.errors import EstimatorError
from estimator.sentences import say

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
HEALTH = frozenset({"/livez", "/readyz", "/metrics"})
SEEN_EVERY_SECONDS = 0.2
WAITING_FOR_EACH_THREAD = 32
"""So many whole requests may wait for each worker thread; more are told to come later."""


def nothing_to_end() -> None:
    """Where nothing is left to do when the server ends."""


class Bridge:
    """The app as an ASGI server calls it, on so many worker threads."""

    def __init__(
        self, app: WSGIApplication, threads: int, limits: BodyLimits, at_end: Callable[[], None] = nothing_to_end
    ) -> None:
        self._app, self._at_end = app, at_end
        self._workers = ThreadPoolExecutor(threads, thread_name_prefix="request")
        self._health = ThreadPoolExecutor(1, thread_name_prefix="health")
        self._bodies = BodyReader(limits)
        self._most = threads * (1 + WAITING_FOR_EACH_THREAD)
        self._under_way = 0

    async def __call__(self, scope: Mapping[str, Any], receive: Receive, send: Send) -> None:
        """One connection's request; or the server's end, when its requests are answered."""
        if scope["type"] == "lifespan":
            await _lifespan(receive, send, self._at_end)
        elif scope["type"] == "http":
            await self._request(scope, receive, send)

    async def _request(self, scope: Mapping[str, Any], receive: Receive, send: Send) -> None:
        try:
            with self._bodies.reading() as reading:
                body = await reading.whole(scope, receive)
                answer = await self._answered(scope, body, receive)
        except Gone:
            return
        except EstimatorError as refusal:
            answer = await self._refused(refusal, scope)
        await _send(answer, send)

    async def _refused(self, refusal: EstimatorError, scope: Mapping[str, Any]) -> WsgiAnswer:
        """A page of the app's where a browser asks for one and a thread may be had; else a problem without one."""
        if not asks_for_page(scope) or self._under_way >= self._most:
            return refused(refusal, scope["path"])
        self._under_way += 1
        try:
            environ = environ_of(scope, b"") | {REFUSAL: refusal}
            page = await asyncio.get_running_loop().run_in_executor(self._workers, run, self._app, environ)
        finally:
            self._under_way -= 1
        return replace(page, headers=[*page.headers, ("Connection", "close")])

    async def _answered(self, scope: Mapping[str, Any], body: bytes, receive: Receive) -> WsgiAnswer:
        loop, environ = asyncio.get_running_loop(), environ_of(scope, body)
        if scope["path"] in HEALTH:
            return await loop.run_in_executor(self._health, run, self._app, environ)
        if self._under_way >= self._most:
            raise Busy(say("more requests wait than can be worked on"))
        self._under_way += 1
        gone = Event()
        watching = loop.create_task(_watch(receive, gone))
        try:
            return await loop.run_in_executor(self._workers, run, self._app, environ, gone)
        finally:
            watching.cancel()
            self._under_way -= 1


async def _watch(receive: Receive, gone: Event) -> None:
    """Notice that the client hangs up while it is answered."""
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            gone.set()
            return
        await asyncio.sleep(SEEN_EVERY_SECONDS)


def asks_for_page(scope: Mapping[str, Any]) -> bool:
    """Whether a browser sent it, and would show what it gets."""
    accepted = b",".join(value for name, value in scope["headers"] if name == b"accept")
    return b"text/html" in accepted


def refused(refusal: EstimatorError, path: str) -> WsgiAnswer:
    """A refusal that the app never sees, as a problem; the connection ends with it."""
    problem = replace(problem_of(refusal), instance=quote(path[:400]))
    headers = [("Content-Type", "application/problem+json"), ("Cache-Control", "no-store"), ("Connection", "close")]
    if refusal.retry_after is not None:
        headers.append(("Retry-After", str(refusal.retry_after)))
    return WsgiAnswer(problem.status, headers, dump(problem_entry(problem)))


async def _send(answer: WsgiAnswer, send: Send) -> None:
    headers = [(name.lower().encode("latin-1"), value.encode("latin-1")) for name, value in answer.headers]
    await send({"type": "http.response.start", "status": answer.status, "headers": headers})
    await send({"type": "http.response.body", "body": answer.body})


async def _lifespan(receive: Receive, send: Send, at_end: Callable[[], None]) -> None:
    while True:
        message = await receive()
        if message["type"] == "lifespan.shutdown":
            await asyncio.get_running_loop().run_in_executor(None, at_end)
        await send({"type": f"{message['type']}.complete"})
        if message["type"] == "lifespan.shutdown":
            return
