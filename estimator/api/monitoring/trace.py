"""Every request has an id: the caller's if it is a good one, else a new one; it stands in answer, log and problem.

Source: W3C Trace Context for ``traceparent``; ``X-Request-ID`` is common practice.
"""

from __future__ import annotations

import re
import secrets
import time
from typing import Any

import structlog
from flask import Flask, Response, g
from flask import request as http_request
from prometheus_client import Counter, Histogram

from estimator.api.monitoring.timing import begin_timing, server_timing

_TRACEPARENT = re.compile(r"00-(?!0{32})([0-9a-f]{32})-(?!0{16})[0-9a-f]{16}-[0-9a-f]{2}\Z")
_REQUEST_ID = re.compile(r"[A-Za-z0-9._:-]{1,64}\Z")
METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
"""Methods that are counted by name; whatever else a client makes up is counted as "other"."""
REQUESTS = Counter("estimator_requests", "Requests answered", ["method", "route", "status"])
SECONDS = Histogram("estimator_request_seconds", "Seconds until the answer", ["method", "route"])
SECURITY = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Content-Security-Policy": "default-src 'none'; frame-ancestors 'none'",
}
log = structlog.get_logger("estimator")


def register_trace(app: Flask, *, behind_tls: bool) -> None:
    """Ids, access log, metrics and security headers on every answer."""
    headers = dict(SECURITY)
    if behind_tls:
        headers["Strict-Transport-Security"] = "max-age=31536000; includeSubDomains"
    by_name = {name.lower(): (name, value) for name, value in headers.items()}

    def begin() -> None:
        begin_timing()
        traceparent = http_request.headers.get("traceparent", "")
        match = _TRACEPARENT.match(traceparent)
        given = http_request.headers.get("X-Request-ID", "")
        g.traceparent = traceparent if match else ""
        structlog.contextvars.clear_contextvars()
        g.request_id = given if _REQUEST_ID.match(given) else match[1] if match else secrets.token_hex(16)
        structlog.contextvars.bind_contextvars(request_id=g.request_id)

    def end(response: Response) -> Response:
        there = {name.lower() for name, _ in response.headers}
        own = {"X-Request-ID": g.request_id, "Server-Timing": server_timing(), **g.get("share", {})}
        if g.traceparent:
            own["traceparent"] = g.traceparent
        for name, value in own.items():  # added at the end: looking for each among all takes longer than the rest
            if name.lower() in there:
                del response.headers[name]
            response.headers.add(name, value)
        for name, header in by_name.items():
            if name not in there:
                response.headers.add(*header)
        _record(response)
        return response

    def over(_fault: BaseException | None) -> None:
        structlog.contextvars.clear_contextvars()

    app.before_request(begin)
    app.teardown_request(over)
    app.after_request(end)


def _record(response: Response) -> None:
    seconds = time.perf_counter() - g.begun
    route = http_request.url_rule.rule if http_request.url_rule else "none"
    method = http_request.method if http_request.method in METHODS else "other"
    REQUESTS.labels(method, route, response.status_code).inc()
    SECONDS.labels(method, route).observe(seconds)
    client = getattr(g, "client", None)
    who: dict[str, Any] = {"organisation": client.organisation, "key": client.key} if client else {}
    log.info(
        "request",
        method=http_request.method,
        route=route,
        status=response.status_code,
        seconds=round(seconds, 4),
        **who,
    )
