"""The gateway: how a request is read before its view sees it: key, scope, rate, query, version, body, idempotency."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from flask import Response, g
from flask import request as http_request
from marshmallow import Schema

from estimator.api.monitoring.timing import timed
from estimator.api.problems.database_faults import tried
from estimator.api.rate_limits import Buckets
from estimator.api.replies import JSON, Reply, send, takes_json
from estimator.api.request import Request
from estimator.api.routes import LONGEST_NAME, Route
from estimator.contract.faults import parse_json, read
from estimator.contract.problems.refusals import BadHeader, NoKey, NotAcceptable, NoVersion, WrongMedia
from estimator.contract.requests.queries import NoQuerySchema, QueryRefused
from estimator.errors import Fault, NotFound, StaleVersion
from estimator.sentences import say
from estimator.service.access.audit import Thing, note
from estimator.service.access.keys import identify
from estimator.service.access.scopes import demand
from estimator.service.context import Client, ServiceContext
from estimator.service.idempotency import Claim, StoredResponse, claim_key, kept_alive, release_key

_KEY = re.compile(r"[\x21-\x7e]{1,255}\Z")
_FORM = 'such as If-Match: "v1"'
_ETAG = re.compile(r'"v(\d{1,9})(-[a-z0-9]+)*"\Z')
_NO_KEY = say("send a key in the header, such as Authorization: Bearer est_abc123_...")
_BEARER = re.compile(r"[Bb]earer +([A-Za-z0-9._~+/-]+=*) *\Z")


@dataclass(frozen=True, slots=True)
class Gateway:
    """What stands between the network and the service: rate limits of keys and of addresses, the cursors' secret."""

    context: ServiceContext
    by_key: Buckets
    by_address: Buckets
    cursor_secret: bytes


def serve(route: Route, gateway: Gateway) -> Callable[..., Response]:
    """The function that the web framework calls for a route."""

    def answer(**path: str) -> Response:
        client = _client(gateway)
        demand(client, route.scope)
        g.share = gateway.by_key.share.told(gateway.by_key.take(client.key))
        _check_accept(route)
        _check_names(path)
        request = Request(gateway.context, client, path, _query(route), cursor_secret=gateway.cursor_secret)
        if route.changes:
            request = replace(request, version=_version())
        if route.has_body:
            request = timed("parse", _with_body)(route, request)
        response = _once_only(route, request)
        if route.documents and http_request.method == "GET":
            _note_export(request, response)
        return response

    answer.__name__ = route.name
    return answer


def _client(gateway: Gateway) -> Client:
    header = http_request.headers.get("Authorization", "")
    match = _BEARER.match(header)
    address = http_request.remote_addr or ""
    client = identify(gateway.context, match[1], address, g.request_id) if match else None
    if client is None:
        gateway.by_address.take(address)
        raise NoKey(_NO_KEY if not match else say("the key is unknown, expired or revoked"))
    g.client = client
    return client


def _note_export(request: Request, response: Response) -> None:
    """Record in the audit log that a document was handed out: who took it, and from where."""
    if response.status_code == 200 and response.mimetype != JSON:
        (kind, thing), *_ = [*request.path.items(), ("", "")]
        detail = {"path": http_request.full_path.rstrip("?")[:400], "media": response.mimetype}
        note(request.context, request.client, "document.exported", Thing(kind.removesuffix("_id"), thing), detail)


def _check_names(path: Mapping[str, str]) -> None:
    """A name with unprintable characters, or one too long for the tables, names nothing; PostgreSQL would refuse it."""
    if not all(name.isprintable() and len(name) <= LONGEST_NAME for name in path.values()):
        raise NotFound(say("not found"))


def _check_accept(route: Route) -> None:
    given = route.documents or (JSON,)
    if route.documents or takes_json():
        return
    if not http_request.accept_mimetypes.best_match(list(given)):
        raise NotAcceptable(
            say(
                "this address gives {names}; ask for one, such as Accept: {first}",
                names=", ".join(given),
                first=given[0],
            )
        )


def _query(route: Route) -> dict[str, Any]:
    if not http_request.args:
        return dict(_nothing_asked(route.query or NoQuerySchema))
    given = http_request.args.to_dict(flat=False)
    twice = [Fault(f"/{name}", say("given more than once")) for name, values in given.items() if len(values) > 1]
    single = {name: values[0] for name, values in given.items()}
    if twice:
        raise QueryRefused(say("a query parameter is given more than once"), twice)
    loaded: dict[str, Any] = read(_reader(route.query or NoQuerySchema), single, QueryRefused)
    return loaded


@cache
def _nothing_asked(schema: type[Schema]) -> dict[str, Any]:
    """What a schema reads from an empty query; refused each time where it requires a parameter."""
    loaded: dict[str, Any] = read(_reader(schema), {}, QueryRefused)
    return loaded


@cache
def _reader(schema: type[Schema]) -> Schema:
    """One schema for all requests: making one takes longer than reading a query with it."""
    return schema()


def _version() -> int:
    header = http_request.headers.get("If-Match", "")
    if not header:
        raise NoVersion(say("send the ETag that was read in the header If-Match, {form}", form=_FORM))
    match = _ETAG.match(header.strip())
    if match is None:
        if header.strip().startswith(("W/", '"')) or header.strip() == "*":
            raise StaleVersion(
                say("If-Match names no version of this resource; send the ETag that was read, {form}", form=_FORM)
            )
        raise BadHeader(
            say(
                "{header} is not an ETag; send the one that was read with its quotation marks, {form}",
                header=repr(header),
                form=_FORM,
            )
        )
    return int(match[1])


def _with_body(route: Route, request: Request) -> Request:
    if http_request.max_content_length is not None:
        http_request.max_content_length *= route.body_limits
    content = http_request.get_data(cache=False)
    if not content and route.optional_body:
        return replace(request, document={}, body=read(route.body(), {}) if route.body else {})
    if http_request.mimetype not in route.takes:
        raise WrongMedia(*route.takes)
    if route.body is None:
        return replace(request, content=content)
    document = parse_json(content)
    return replace(request, content=content, document=document, body=read(route.body(), document))


def _once_only(route: Route, request: Request) -> Response:
    key = http_request.headers.get("Idempotency-Key")
    if not route.creates or key is None:
        return _sent(tried(lambda: route.view(request)))
    key = key.strip().strip('"')
    if not _KEY.match(key):
        raise BadHeader(
            say("an Idempotency-Key is 1 to 255 printable characters without spaces, such as Idempotency-Key: job-2041")
        )
    content = request.content or b""
    fingerprint = hashlib.sha256(b"\0".join([http_request.method.encode(), http_request.full_path.encode(), content]))
    claim = claim_key(request.context, request.client, key, fingerprint.hexdigest())
    if isinstance(claim, StoredResponse):
        response = Response(claim.body, claim.status, claim.headers, content_type=JSON)
        response.headers["Idempotent-Replayed"] = "true"
        return response
    return _first_time(route, replace(request, claim=claim), claim)


def _first_time(route: Route, request: Request, claim: Claim) -> Response:
    with kept_alive(request.context, claim):
        try:
            return _sent(tried(lambda: route.view(request)))
        finally:
            release_key(request.context, claim)  # where a response was stored, there is nothing to release


def _sent(reply: Reply | Response) -> Response:
    return send(reply) if isinstance(reply, Reply) else reply
