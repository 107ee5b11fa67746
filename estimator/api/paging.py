"""Pages by cursor: where the next begins, signed so that nobody makes one up. Source: RFC 8288 for the links."""

from __future__ import annotations

import base64
import hashlib
import hmac
from collections.abc import Callable, Sequence
from typing import Any, TypeVar
from urllib.parse import urlencode

from estimator.api.asked import Asked
from estimator.api.replies import Document, Reply
from estimator.contract.requests.queries import QueryRefused
from estimator.errors import Fault

T = TypeVar("T")


def page(
    asked: Asked, path: str, find: Callable[[str | None, int], Sequence[T]], show: Callable[[T], Document]
) -> Reply:
    """One page of a list of things with an ``id``; ``find`` takes where it begins and how many."""
    limit = asked.query["limit"]
    cursor = asked.query.get("cursor")
    found = find(_opened(asked, cursor) if cursor else None, limit + 1)
    shown: list[Any] = list(found[:limit])
    links = [f'<{_address(path, asked, None)}>; rel="first"']
    following = None
    if len(found) > limit:
        following = _address(path, asked, _sealed(asked, shown[-1].id))
        links.append(f'<{following}>; rel="next"')
    body = {"items": [show(each) for each in shown], "next": following}
    return Reply(body, headers={"Link": ", ".join(links)})


def _address(path: str, asked: Asked, cursor: str | None) -> str:
    query = {name: value for name, value in asked.query.items() if name != "cursor" and value is not None}
    return f"{path}?{urlencode({**query, **({'cursor': cursor} if cursor else {})})}"


def _sealed(asked: Asked, place: str) -> str:
    return base64.urlsafe_b64encode(_signature(asked, place) + place.encode()).rstrip(b"=").decode()


def _opened(asked: Asked, cursor: str) -> str:
    try:
        content = base64.urlsafe_b64decode(cursor + "=" * (-len(cursor) % 4))
        place = content[16:].decode("ascii")
    except ValueError:
        content, place = b"", ""
    if not place or not hmac.compare_digest(content[:16], _signature(asked, place)):
        raise QueryRefused("the cursor is none of ours", [Fault("/cursor", "not a cursor of this list")])
    return place


def _signature(asked: Asked, place: str) -> bytes:
    told = f"{asked.client.organisation}|{place}".encode()
    return hmac.new(asked.cursor_secret, told, hashlib.sha256).digest()[:16]
