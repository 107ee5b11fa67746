"""A request as WSGI has it, and the app called with it. Source: PEP 3333."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from threading import Event
from typing import Any
from urllib.parse import unquote_to_bytes
from wsgiref.types import WSGIApplication

from estimator.tasks.hang_up import GONE, somebody_waits

REFUSAL = "estimator.refusal"
"""Where the environ holds a refusal that is already decided: the app tells it in its own way."""
BODILESS = frozenset({"HTTP_CONTENT_LENGTH", "HTTP_TRANSFER_ENCODING"})


@dataclass(frozen=True, slots=True)
class WsgiAnswer:
    """What the app answered: status, headers and the whole body."""

    status: int
    headers: list[tuple[str, str]]
    body: bytes


def environ_of(scope: Mapping[str, Any], body: bytes) -> dict[str, Any]:
    """The environ of a request whose body has been read: its length is that of what was read."""
    path = unquote_to_bytes(scope.get("raw_path") or scope["path"].encode())
    host, port = scope.get("server") or ("localhost", 80)
    client = scope.get("client") or ("", 0)
    environ = {
        "REQUEST_METHOD": scope["method"],
        "SCRIPT_NAME": "",
        "PATH_INFO": path.partition(b"?")[0].decode("latin-1"),
        "QUERY_STRING": scope["query_string"].decode("latin-1"),
        "SERVER_NAME": host,
        "SERVER_PORT": str(port),
        "SERVER_PROTOCOL": f"HTTP/{scope['http_version']}",
        "REMOTE_ADDR": client[0],
        "wsgi.version": (1, 0),
        "wsgi.url_scheme": scope.get("scheme", "http"),
        "wsgi.input": io.BytesIO(body),
        "wsgi.errors": sys.stderr,
        "wsgi.multithread": True,
        "wsgi.multiprocess": True,
        "wsgi.run_once": False,
    }
    return environ | _headers(scope["headers"]) | {"CONTENT_LENGTH": str(len(body))}


def _headers(given: Iterable[tuple[bytes, bytes]]) -> dict[str, str]:
    """Headers by their names in WSGI; one that comes more than once is one list (RFC 9110, section 5.3)."""
    headers: dict[str, str] = {}
    for name, value in given:
        key = "HTTP_" + name.decode("latin-1").upper().replace("-", "_")
        key = "CONTENT_TYPE" if key == "HTTP_CONTENT_TYPE" else key
        text = value.decode("latin-1")
        if key not in BODILESS:
            headers[key] = f"{headers[key]}{'; ' if key == 'HTTP_COOKIE' else ','}{text}" if key in headers else text
    return headers


def run(app: WSGIApplication, environ: dict[str, Any], gone: Event | None = None) -> WsgiAnswer:
    """Call the app and take its whole answer; calculations end where the client has ``gone``."""
    GONE.set(gone.is_set if gone is not None else somebody_waits)
    begun: list[tuple[int, list[tuple[str, str]]]] = []

    def start(status: str, headers: list[tuple[str, str]], exc_info: object = None) -> Any:
        begun.append((int(status.partition(" ")[0]), headers))
        return _write

    parts = app(environ, start)
    try:
        body = b"".join(parts)
    finally:
        close = getattr(parts, "close", None)
        if close is not None:
            close()
    status, headers = begun[-1]
    return WsgiAnswer(status, headers, body)


def _write(_piece: bytes) -> None:
    raise NotImplementedError("the app gives its body back as a whole")
