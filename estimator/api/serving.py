"""How a request is read before its view sees it, in this order: key, scope, share, query, version, body, once only."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from flask import Response, g, request

from estimator.api.asked import Asked
from estimator.api.limits import Buckets
from estimator.api.replies import JSON, Reply, send
from estimator.api.routes import Route
from estimator.api.scopes import SCOPES
from estimator.contract.faults import parse_json, read
from estimator.contract.problems.refusals import BadHeader, NoKey, NotAcceptable, NoVersion, WrongMedia
from estimator.contract.requests.queries import NoQuerySchema, QueryRefused
from estimator.errors import Fault, NotAllowed, StaleVersion
from estimator.service.keys import identify
from estimator.service.office import Client, Office
from estimator.service.receipts import Answer, Receipt, claim, release

_KEY = re.compile(r"[\x21-\x7e]{1,255}\Z")
_ETAG = re.compile(r'"v(\d{1,9})(-[a-z]+)?"\Z')
_BEARER = re.compile(r"[Bb]earer +([A-Za-z0-9._~+/-]+=*) *\Z")


@dataclass(frozen=True, slots=True)
class Counter:
    """What stands between the network and the service: the shares of keys and of addresses, the cursors' secret."""

    office: Office
    by_key: Buckets
    by_address: Buckets
    cursor_secret: bytes


def serve(route: Route, counter: Counter) -> Callable[..., Response]:
    """The function that the web framework calls for a route."""

    def answer(**path: str) -> Response:
        client = _client(counter)
        _check_scope(client, route)
        counter.by_key.take(client.key)
        _check_accept(route)
        asked = Asked(counter.office, client, path, _query(route), cursor_secret=counter.cursor_secret)
        if route.changes:
            asked = replace(asked, version=_version())
        if route.has_body:
            asked = _with_body(route, asked)
        return _once_only(route, asked)

    answer.__name__ = route.name
    return answer


def _client(counter: Counter) -> Client:
    header = request.headers.get("Authorization", "")
    match = _BEARER.match(header)
    client = identify(counter.office, match[1]) if match else None
    if client is None:
        counter.by_address.take(request.remote_addr or "")
        raise NoKey("send Authorization: Bearer and a key" if not match else "the key is unknown, expired or revoked")
    g.client = client
    return client


def _check_scope(client: Client, route: Route) -> None:
    if route.scope not in SCOPES.get(client.role, frozenset()):
        raise NotAllowed(f"the role {client.role} does not include {route.scope}")


def _check_accept(route: Route) -> None:
    given = route.documents or (JSON,)
    if route.documents or not request.accept_mimetypes:
        return
    if not request.accept_mimetypes.best_match(list(given)):
        raise NotAcceptable(f"this address gives {', '.join(given)}")


def _query(route: Route) -> dict[str, Any]:
    given = request.args.to_dict(flat=False)
    twice = [Fault(f"/{name}", "given more than once") for name, values in given.items() if len(values) > 1]
    single = {name: values[0] for name, values in given.items()}
    if twice:
        raise QueryRefused("a query parameter is given more than once", twice)
    loaded: dict[str, Any] = read((route.query or NoQuerySchema)(), single, QueryRefused)
    return loaded


def _version() -> int:
    header = request.headers.get("If-Match", "")
    if not header:
        raise NoVersion("send If-Match with the ETag that was read")
    match = _ETAG.match(header.strip())
    if match is None:
        if header.strip().startswith(("W/", '"')) or header.strip() == "*":
            raise StaleVersion("If-Match names no version of this thing")
        raise BadHeader('If-Match is not an ETag; it looks like "v3"')
    return int(match[1])


def _with_body(route: Route, asked: Asked) -> Asked:
    if request.max_content_length is not None:
        request.max_content_length *= route.body_limits
    content = request.get_data(cache=False)
    if not content and route.optional_body:
        return replace(asked, document={}, body=read(route.body(), {}) if route.body else {})
    if request.mimetype not in route.takes:
        raise WrongMedia(*route.takes)
    if route.body is None:
        return replace(asked, content=content)
    document = parse_json(content)
    return replace(asked, content=content, document=document, body=read(route.body(), document))


def _once_only(route: Route, asked: Asked) -> Response:
    key = request.headers.get("Idempotency-Key")
    if not route.creates or key is None:
        return _sent(route.view(asked))
    key = key.strip().strip('"')
    if not _KEY.match(key):
        raise BadHeader("Idempotency-Key: 1 to 255 printable characters without spaces")
    content = asked.content or b""
    fingerprint = hashlib.sha256(b"\0".join([request.method.encode(), request.full_path.encode(), content]))
    receipt = claim(asked.office, asked.client, key, fingerprint.hexdigest())
    if isinstance(receipt, Answer):
        response = Response(receipt.body, receipt.status, receipt.headers, content_type=JSON)
        response.headers["Idempotent-Replayed"] = "true"
        return response
    return _first_time(route, replace(asked, receipt=receipt), receipt)


def _first_time(route: Route, asked: Asked, receipt: Receipt) -> Response:
    try:
        return _sent(route.view(asked))
    except BaseException:
        release(asked.office, receipt)
        raise


def _sent(reply: Reply | Response) -> Response:
    return send(reply) if isinstance(reply, Reply) else reply
