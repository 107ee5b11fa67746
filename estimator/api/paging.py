"""Pages by cursor: where the next begins, signed so that nobody makes one up. Source: RFC 8288 for the links."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any
from urllib.parse import urlencode

from itsdangerous import BadData, URLSafeSerializer

from estimator.api.replies import Reply
from estimator.api.request import Request
from estimator.contract.answers.writing import Answer, Telling
from estimator.contract.requests.queries import QueryRefused
from estimator.errors import Fault
from estimator.sentences import say


def page(request: Request, path: str, find: Callable[[str | None, int], Sequence[Any]], schema: type[Answer]) -> Reply:
    """One page of a list of things with an ``id``; ``find`` takes where it begins and how many."""
    limit = request.query["limit"]
    cursor = request.query.get("cursor")
    found = find(_opened(request, path, cursor) if cursor else None, limit + 1)
    shown: list[Any] = list(found[:limit])
    links = [f'<{_address(path, request, None)}>; rel="first"']
    following = None
    if len(found) > limit:
        following = _address(path, request, _sealed(request, path, shown[-1].id))
        links.append(f'<{following}>; rel="next"')
    body = schema.entry((shown, following), Telling(request.may("costs:read")))
    return Reply(body, headers={"Link": ", ".join(links)})


def pages_on(request: Request, path: str, find: Callable[[int, int], Sequence[Any]], schema: type[Answer]) -> Reply:
    """One page of a list that goes on: things with a ``position``, the oldest first; the next page is always named."""
    limit, cursor = request.query["limit"], request.query.get("cursor")
    after = int(_opened(request, path, cursor)) if cursor else 0
    shown = list(find(after, limit))
    following = _address(path, request, _sealed(request, path, str(shown[-1].position if shown else after)))
    links = [f'<{_address(path, request, None)}>; rel="first"', f'<{following}>; rel="next"']
    body = schema.entry((shown, following), Telling(request.may("costs:read")))
    return Reply(body, headers={"Link": ", ".join(links)})


def since(request: Request) -> datetime | None:
    """From when on, on a list whose things never change: ``since`` or ``updated_since``, of both the later."""
    told = (request.query.get("since"), request.query.get("updated_since"))
    return max((each for each in told if each is not None), default=None)


def _address(path: str, request: Request, cursor: str | None) -> str:
    given = {name: value for name, value in request.query.items() if name != "cursor" and value is not None}
    query = {name: value.isoformat() if isinstance(value, datetime) else value for name, value in given.items()}
    return f"{path}?{urlencode({**query, **({'cursor': cursor} if cursor else {})})}"


def _sealed(request: Request, path: str, place: str) -> str:
    return str(_signer(request, path).dumps(place))


def _opened(request: Request, path: str, cursor: str) -> str:
    try:
        return str(_signer(request, path).loads(cursor))
    except BadData as fault:
        raise QueryRefused(say("invalid cursor"), [Fault("/cursor", say("invalid cursor"))]) from fault


def _signer(request: Request, path: str) -> URLSafeSerializer:
    """Signs for one list of one organisation: a cursor is valid nowhere else."""
    salt = f"cursor of {path} of {request.client.organisation}"
    return URLSafeSerializer(request.cursor_secret, salt=salt, signer_kwargs={"digest_method": hashlib.sha256})
