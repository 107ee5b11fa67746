"""A quote on paper: by Accept, and by plain addresses for browsers."""

from __future__ import annotations

from collections.abc import Callable

from flask import Response
from flask import request as http_request

from estimator.api.replies import JSON, send_bytes
from estimator.api.request import Request
from estimator.api.routes import Options, Routes
from estimator.contract.problems.refusals import NotAcceptable
from estimator.contract.requests.queries import EditionQuerySchema
from estimator.documents.header import Edition
from estimator.errors import NotAllowed
from estimator.service.documents import KINDS, Kind, quote_document

routes = Routes("Documents", "Workbook, PDF and drawings of a quote.")
BY_MEDIA: dict[str, Kind] = {kind.media: kind for kind in reversed(KINDS.values())}
DOCUMENTS = (JSON, *(kind.media for kind in KINDS.values()))


def by_accept(request: Request) -> Response | None:
    """The document that Accept asks for; nothing where it asks for JSON. Errors: NotAcceptable."""
    if not http_request.accept_mimetypes:
        return None
    best = http_request.accept_mimetypes.best_match(list(dict.fromkeys(DOCUMENTS)))
    if best is None:
        raise NotAcceptable(f"a quote is given as {', '.join(dict.fromkeys(DOCUMENTS))}")
    return None if best == JSON else _document(request, BY_MEDIA[best])


def _document(request: Request, kind: Kind) -> Response:
    wanted: Edition | None = request.query.get("edition")
    may = request.may("costs:read")
    if wanted == "estimator" and not may:
        raise NotAllowed(f"the role {request.client.role} sees the customer's edition only")
    edition: Edition = wanted or ("estimator" if may else "customer")
    name, content = quote_document(request.context, request.client, request.path["quote_id"], kind.name, edition)
    return send_bytes(content, kind.media, name, inline=kind.media == "image/svg+xml")


def _declare(kind: Kind) -> None:
    def view(request: Request) -> Response:
        return _document(request, kind)

    view.__name__ = f"get_{kind.name}"
    declare: Callable[[Callable[[Request], Response]], object] = routes.add(
        "GET",
        f"/quotes/<quote_id>/{kind.file}",
        "quotes:read",
        kind.about,
        Options(query=EditionQuerySchema, documents=(kind.media,)),
    )
    declare(view)


for each in KINDS.values():
    _declare(each)
