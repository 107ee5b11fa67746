"""A quote on paper: by Accept, and by plain addresses for browsers."""

from __future__ import annotations

from collections.abc import Callable

from flask import Response, request

from estimator.api.asked import Asked
from estimator.api.replies import JSON, send_bytes
from estimator.api.routes import Options, Routes
from estimator.contract.problems.refusals import NotAcceptable
from estimator.contract.requests.queries import EditionQuerySchema
from estimator.documents.header import Edition
from estimator.errors import NotAllowed
from estimator.service.documents import KINDS, Kind, quote_document

routes = Routes("Documents", "Workbook, PDF and drawings of a quote.")
BY_MEDIA: dict[str, Kind] = {kind.media: kind for kind in reversed(KINDS.values())}
DOCUMENTS = (JSON, *(kind.media for kind in KINDS.values()))


def by_accept(asked: Asked) -> Response | None:
    """The document that Accept asks for; nothing where it asks for JSON. Errors: NotAcceptable."""
    if not request.accept_mimetypes:
        return None
    best = request.accept_mimetypes.best_match(list(dict.fromkeys(DOCUMENTS)))
    if best is None:
        raise NotAcceptable(f"a quote is given as {', '.join(dict.fromkeys(DOCUMENTS))}")
    return None if best == JSON else _document(asked, BY_MEDIA[best])


def _document(asked: Asked, kind: Kind) -> Response:
    wanted: Edition | None = asked.query.get("edition")
    may = asked.may("costs:read")
    if wanted == "estimator" and not may:
        raise NotAllowed(f"the role {asked.client.role} sees the customer's edition only")
    edition: Edition = wanted or ("estimator" if may else "customer")
    name, content = quote_document(asked.office, asked.client, asked.path["quote_id"], kind.name, edition)
    return send_bytes(content, kind.media, name, inline=kind.media == "image/svg+xml")


def _declare(kind: Kind) -> None:
    def view(asked: Asked) -> Response:
        return _document(asked, kind)

    view.__name__ = f"get_{kind.name}"
    declare: Callable[[Callable[[Asked], Response]], object] = routes.add(
        "GET",
        f"/quotes/<quote_id>/{kind.file}",
        "quotes:read",
        kind.about,
        Options(query=EditionQuerySchema, documents=(kind.media,)),
    )
    declare(view)


for each in KINDS.values():
    _declare(each)
