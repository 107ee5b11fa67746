"""Pages by cursor: where the next begins, signed so that nobody makes one up. Source: RFC 8288 for the links."""

from __future__ import annotations

import base64
import hashlib
import hmac
from collections.abc import Callable, Sequence
from typing import Any, TypeVar
from urllib.parse import urlencode

from estimator.api.replies import Document, Reply
from estimator.api.request import Request
from estimator.contract.requests.queries import QueryRefused
from estimator.errors import Fault

T = TypeVar("T")


def page(
    request: Request, path: str, find: Callable[[str | None, int], Sequence[T]], show: Callable[[T], Document]
) -> Reply:
    """One page of a list of things with an ``id``; ``find`` takes where it begins and how many."""
    limit = request.query["limit"]
    cursor = request.query.get("cursor")
    found = find(_opened(request, cursor) if cursor else None, limit + 1)
    shown: list[Any] = list(found[:limit])
    links = [f'<{_address(path, request, None)}>; rel="first"']
    following = None
    if len(found) > limit:
        following = _address(path, request, _sealed(request, shown[-1].id))
        links.append(f'<{following}>; rel="next"')
    body = {"items": [show(each) for each in shown], "next": following}
    return Reply(body, headers={"Link": ", ".join(links)})


def _address(path: str, request: Request, cursor: str | None) -> str:
    query = {name: value for name, value in request.query.items() if name != "cursor" and value is not None}
    return f"{path}?{urlencode({**query, **({'cursor': cursor} if cursor else {})})}"


def _sealed(request: Request, place: str) -> str:
    return base64.urlsafe_b64encode(_signature(request, place) + place.encode()).rstrip(b"=").decode()


def _opened(request: Request, cursor: str) -> str:
    try:
        content = base64.urlsafe_b64decode(cursor + "=" * (-len(cursor) % 4))
        place = content[16:].decode("ascii")
    except ValueError:
        content, place = b"", ""
    if not place or not hmac.compare_digest(content[:16], _signature(request, place)):
        raise QueryRefused("the cursor is none of ours", [Fault("/cursor", "not a cursor of this list")])
    return place


def _signature(request: Request, place: str) -> bytes:
    told = f"{request.client.organisation}|{place}".encode()
    return hmac.new(request.cursor_secret, told, hashlib.sha256).digest()[:16]
