"""Answers: JSON with a version as its ETag, or a document with a hash of its bytes as its ETag."""

from __future__ import annotations

import base64
import hashlib
import math
import unicodedata
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeAlias
from urllib.parse import quote

import orjson
from flask import Response
from flask import request as http_request

JSON = "application/json"
Document: TypeAlias = Any


@dataclass(frozen=True, slots=True)
class Reply:
    """A JSON answer before it is sent."""

    body: Document
    status: int = 200
    etag: str | None = None
    headers: dict[str, str] = field(default_factory=dict)

    def rendered(self) -> bytes:
        """The bytes."""
        return b"" if self.body is None else dump(self.body)

    def all_headers(self) -> dict[str, str]:
        """The headers with the ETag."""
        return {**self.headers, **({"ETag": f'"{self.etag}"'} if self.etag else {})}


def dump(document: Document) -> bytes:
    """JSON of plain values; decimals and fractions travel as texts."""
    return orjson.dumps(document, default=_plain, option=orjson.OPT_NON_STR_KEYS | orjson.OPT_SERIALIZE_NUMPY)


def send(reply: Reply) -> Response:
    """The answer, or 304 where the client has it."""
    response = Response(reply.rendered(), reply.status, content_type=JSON)
    response.headers.update(reply.all_headers())
    if reply.body is None:
        response.headers.pop("Content-Type", None)
    return _unless_known(response)


def send_bytes(content: bytes, media: str, filename: str, *, inline: bool = False) -> Response:
    """A document: its name in both forms, its ETag and digest from its bytes.

    Source: RFC 6266 and RFC 8187 for the name, RFC 9530 for the digest.
    """
    digest = hashlib.sha256(content)
    response = Response(content, 200, content_type=media)
    plain = unicodedata.normalize("NFKD", filename).encode("ascii", "ignore").decode()
    plain = "".join(sign if sign.isalnum() or sign in "-_. " else "_" for sign in plain) or "document"
    kind = "inline" if inline else "attachment"
    disposition = f"{kind}; filename=\"{plain}\"; filename*=UTF-8''{quote(filename, safe='')}"
    response.headers["Content-Disposition"] = disposition
    response.headers["ETag"] = f'"{digest.hexdigest()[:32]}"'
    response.headers["Repr-Digest"] = f"sha-256=:{base64.b64encode(digest.digest()).decode()}:"
    response.headers["Vary"] = "Accept, Authorization"
    return _unless_known(response)


def _unless_known(response: Response) -> Response:
    response.headers.setdefault("Vary", "Accept, Authorization")
    response.headers.setdefault("Cache-Control", "private, no-cache")
    etag = response.get_etag()[0]
    if http_request.method in {"GET", "HEAD"} and etag and http_request.if_none_match.contains_weak(etag):
        response.status_code = 304
        response.set_data(b"")
        for name in ("Content-Type", "Content-Length", "Content-Disposition", "Repr-Digest"):
            response.headers.pop(name, None)
    return response


def _plain(value: object) -> object:
    if isinstance(value, (Decimal, Fraction)):
        return str(value)
    if isinstance(value, (set, frozenset)):
        return sorted(value, key=repr)
    if isinstance(value, float) and not math.isfinite(value):
        return None
    raise TypeError(f"a {type(value).__name__} is no JSON")
