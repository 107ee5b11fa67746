"""Answers: JSON with a version as its ETag, or a document with a hash of its bytes as its ETag."""

from __future__ import annotations

import base64
import gzip
import hashlib
import unicodedata
from dataclasses import dataclass, field
from typing import Any, TypeAlias
from urllib.parse import quote

from flask import Response
from flask import request as http_request

from estimator.contract.answers.writing import dump

JSON = "application/json"
VARY = "Accept, Accept-Encoding, Authorization"
GZIPPED = "-gzip"
LEAST_COMPRESSED = 1_400
"""A shorter answer fits into one packet of a network as it is, bytes. Longer ones are packed at level 3:
level 5 takes two to three times as long for a tenth less."""
Document: TypeAlias = Any


@dataclass(frozen=True, slots=True)
class Reply:
    """A JSON answer before it is sent; ``again`` is what the same request gets later, where a secret is told once."""

    body: Document
    status: int = 200
    etag: str | None = None
    headers: dict[str, str] = field(default_factory=dict)
    again: Document = None

    def to_keep(self) -> bytes:
        """The bytes that are kept for the same request."""
        return self.rendered() if self.again is None else dump(self.again)

    def rendered(self) -> bytes:
        """The bytes."""
        if isinstance(self.body, bytes):
            return self.body
        return b"" if self.body is None else dump(self.body)

    def all_headers(self) -> dict[str, str]:
        """The headers with the ETag."""
        return {**self.headers, **({"ETag": f'"{self.etag}"'} if self.etag else {})}


def takes_json() -> bool:
    """Whether the client takes JSON, and nothing rather than it: what nearly every program sends, told at a glance."""
    return http_request.headers.get("Accept") in {None, "*/*", JSON}


def send(reply: Reply) -> Response:
    """The answer, or 304 where the client has it."""
    response = Response(reply.rendered(), reply.status, content_type=JSON)
    response.headers.update(reply.all_headers())
    if reply.body is None:
        response.headers.pop("Content-Type", None)
    if reply.etag and http_request.method in {"GET", "HEAD"}:
        known = not_modified(reply.etag)
        if known is not None:
            return known
    return _unless_known(_compressed(response))


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
    response.headers["Vary"] = VARY
    return _unless_known(response)


def not_modified(etag: str) -> Response | None:
    """304 where the client has this version, in any coding; else nothing."""
    for each in (etag, etag + GZIPPED):
        if http_request.if_none_match.contains_weak(each):
            response = Response(status=304)
            response.headers.pop("Content-Type", None)
            response.headers["ETag"] = f'"{each}"'
            response.headers["Vary"] = VARY
            response.headers["Cache-Control"] = "private, no-cache"
            return response
    return None


def _compressed(response: Response) -> Response:
    """A long JSON answer in gzip, where the client takes it; its ETag says so (RFC 9110, section 8.8.3.3)."""
    content = response.get_data()
    if len(content) < LEAST_COMPRESSED or not http_request.accept_encodings["gzip"]:
        return response
    response.set_data(gzip.compress(content, compresslevel=3, mtime=0))
    response.headers["Content-Encoding"] = "gzip"
    etag = response.get_etag()[0]
    if etag:
        response.headers["ETag"] = f'"{etag}{GZIPPED}"'
    return response


def _unless_known(response: Response) -> Response:
    response.headers.setdefault("Vary", VARY)
    response.headers.setdefault("Cache-Control", "private, no-cache")
    etag = response.get_etag()[0]
    if http_request.method in {"GET", "HEAD"} and etag and http_request.if_none_match.contains_weak(etag):
        response.status_code = 304
        response.set_data(b"")
        for name in ("Content-Type", "Content-Length", "Content-Disposition", "Repr-Digest"):
            response.headers.pop(name, None)
    return response
