"""The body of a request, read whole by the event loop, within limits of time and size.

A body is not waited for where no key is sent, since the request is refused without it.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Iterator, Mapping, MutableMapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from estimator.contract.problems.refusals import BodyTooLarge, BodyTooSlow, Busy
from estimator.sentences import figure, say

Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]


class Gone(Exception):
    """The client has hung up."""


SIGNED = frozenset({b"authorization", b"cookie"})
"""A body is read for whoever shows a key, or a cookie of the pages; for nobody else, and nothing is done with it."""


@dataclass(frozen=True, slots=True)
class BodyLimits:
    """What a body may take: bytes in all, seconds between two pieces, bytes of all bodies read at the same time."""

    largest: int
    idle_seconds: float
    held_at_once: int


class BodyReader:
    """Reads bodies, and knows how many bytes of them are held."""

    def __init__(self, limits: BodyLimits) -> None:
        self.limits = limits
        self.held = 0

    @contextmanager
    def reading(self) -> Iterator[BodyReading]:
        """One body; what it holds is let go at the end."""
        one = BodyReading(self)
        try:
            yield one
        finally:
            self.held -= one.held


@dataclass(slots=True)
class BodyReading:
    """One body while its request lasts."""

    reader: BodyReader
    held: int = 0

    async def whole(self, scope: Mapping[str, Any], receive: Receive) -> bytes:
        """The body. Errors: BodyTooLarge, BodyTooSlow, Busy where too many are read at once, Gone."""
        headers: dict[bytes, bytes] = dict(scope["headers"])
        length = headers.get(b"content-length", b"")
        is_empty = length == b"0" or not (length or b"transfer-encoding" in headers or scope["http_version"] == "2")
        if is_empty or not SIGNED & headers.keys():
            return b""
        if length.isdigit() and int(length) > self.reader.limits.largest:
            raise BodyTooLarge(
                say(
                    "the body has {count} bytes; at most {most} are taken",
                    count=int(length),
                    most=self.reader.limits.largest,
                )
            )
        pieces: list[bytes] = []
        more = True
        while more:
            piece, more = await self._next(receive)
            self._hold(len(piece))
            pieces.append(piece)
        return b"".join(pieces)

    async def _next(self, receive: Receive) -> tuple[bytes, bool]:
        seconds = self.reader.limits.idle_seconds
        try:
            async with asyncio.timeout(seconds):
                message = await receive()
        except TimeoutError as silence:
            raise BodyTooSlow(
                say("nothing of the body came for {seconds} s", seconds=figure(seconds, "g"))
            ) from silence
        if message["type"] == "http.disconnect":
            raise Gone
        return message.get("body", b""), message.get("more_body", False)

    def _hold(self, size: int) -> None:
        limits = self.reader.limits
        self.held += size
        self.reader.held += size
        if self.held > limits.largest:
            raise BodyTooLarge(say("the body has more than {most} bytes", most=limits.largest))
        if self.reader.held > limits.held_at_once:
            raise Busy(say("too many large bodies are read at the same time"))
