"""The headers of answers, as the description tells them."""

from __future__ import annotations

from typing import Any

from estimator.api.routes import Route
from estimator.contract.requests.queries import PageSchema

UNKNOWN = {400, 401, 403, 404, 408, 413, 429, 500, 503}
"""What may be answered before it is known whose share a request is taken from."""


def headers_of(route: Route, status: int) -> dict[str, Any]:
    """The headers that an answer of this route and status has."""
    names = ["X-Request-ID", "Server-Timing"]
    if status not in UNKNOWN:
        names += ["RateLimit-Policy", "RateLimit"]
    if route.versioned and status in {200, 201, 304}:
        names.append("ETag")
    if status in {201, 202}:
        names.append("Location")
    if status in {429, 503}:
        names.append("Retry-After")
    if status == 401:
        names.append("WWW-Authenticate")
    if status == 200 and route.query is not None and issubclass(route.query, PageSchema):
        names.append("Link")
    return {name: HEADERS[name] for name in names}


def _text(about: str, example: str) -> dict[str, Any]:
    return {"description": about, "schema": {"type": "string", "examples": [example]}, "required": True}


HEADERS: dict[str, dict[str, Any]] = {
    "X-Request-ID": _text("What the service's log knows the request by; the client's own where it sent one.", "a1b2c3"),
    "Server-Timing": _text("Where the time of the answer went, in milliseconds.", "total;dur=4.1"),
    "RateLimit-Policy": _text("How many requests (q) a key may send within how many seconds (w).", '"key";q=600;w=10'),
    "RateLimit": _text("How many are left (r), and the seconds until all are available again (t).", '"key";r=599;t=1'),
    "ETag": _text("The version of the answer: for If-Match, and for If-None-Match.", '"v1"'),
    "Location": _text("Where the new resource is.", "/v1/jobs/0193a5c2-7b1e-7c3d-9f00-1a2b3c4d5e6f"),
    "Retry-After": {
        "description": "After how many seconds to try again.",
        "schema": {"type": "integer", "minimum": 1, "examples": [3]},
        "required": True,
    },
    "WWW-Authenticate": _text("How to send a key.", 'Bearer realm="estimator"'),
    "Link": _text("The first page, and the next where there is one (RFC 8288).", '</v1/jobs?limit=50>; rel="first"'),
}
