"""What went wrong, for people: a problem that a browser would show as JSON becomes a page in their language."""

from __future__ import annotations

import orjson
import structlog
from flask import Flask, Response, g, request

from estimator.contract.problems.table import SERVER_FAULT, kinds
from estimator.web.door import Door
from estimator.web.visits import Visit

PROBLEM = "application/problem+json"
FOR_PROGRAMS = ("/v1/", "/openapi.json", "/livez", "/readyz", "/metrics")
KEPT = ("Retry-After", "Allow")
"""Headers of an answer that its page has, too."""
log = structlog.get_logger("estimator")


def register_problem_pages(app: Flask, door: Door) -> None:
    """Pages in the place of problems, wherever people look; programs keep getting JSON."""
    table = kinds()

    @app.after_request
    def for_people(response: Response) -> Response:
        if response.mimetype != PROBLEM or not _is_for_people():
            return response
        told = orjson.loads(response.get_data())
        kind = table.get(str(told.get("type", "")).rpartition("/")[2], SERVER_FAULT)
        visit = _visitor(door)
        page = visit.page("refused.html", response.status_code, kind=kind, request_id=told.get("request_id", ""))
        for name in KEPT:
            if name in response.headers:
                page.headers[name] = response.headers[name]
        return page


def _is_for_people() -> bool:
    """Whether a browser asked for a page: it names HTML, and no script of these pages asked on its behalf."""
    asks_for_pages = any(kind == "text/html" and quality > 0 for kind, quality in request.accept_mimetypes)
    return asks_for_pages and not request.headers.get("X-Form-Token") and not request.path.startswith(FOR_PROGRAMS)


def _visitor(door: Door) -> Visit:
    try:
        known: Visit = g.get("visit") or door.visit({})
    except Exception as fault:
        log.warning("visitor unknown", error=type(fault).__name__)
        return door.stranger()
    return known
