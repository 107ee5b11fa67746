"""A quote on paper: by Accept, and by plain addresses for browsers."""

from __future__ import annotations

from collections.abc import Callable

from flask import Response
from flask import request as http_request
from marshmallow import Schema

from estimator.api.replies import JSON, send_bytes, takes_json
from estimator.api.request import Request
from estimator.api.routes import Options, Routes
from estimator.api.timing import timed
from estimator.contract.problems.refusals import NotAcceptable
from estimator.contract.requests.queries import (
    EditionQuerySchema,
    OneEditionQuerySchema,
    OptionPaperQuerySchema,
    QueryRefused,
)
from estimator.documents.header import Edition
from estimator.documents.paper import QuoteForm
from estimator.documents.papers import QUOTE_FORMS
from estimator.errors import Fault, NotAllowed
from estimator.service.quoting.documents import quote_document

routes = Routes("Documents", "Workbook, PDF and drawings of a quote.")
BY_MEDIA: dict[str, QuoteForm] = {form.media: form for form in reversed(QUOTE_FORMS.values())}
DOCUMENTS = (JSON, *(form.media for form in QUOTE_FORMS.values()))


def by_accept(request: Request) -> Response | None:
    """The document that Accept asks for; nothing where it asks for JSON. Errors: NotAcceptable."""
    if takes_json() or not http_request.accept_mimetypes:
        return None
    best = http_request.accept_mimetypes.best_match(list(dict.fromkeys(DOCUMENTS)))
    if best is None:
        raise NotAcceptable(f"a quote is given as {', '.join(dict.fromkeys(DOCUMENTS))}")
    return None if best == JSON else _document(request, BY_MEDIA[best])


def _document(request: Request, form: QuoteForm) -> Response:
    wanted: Edition | None = request.query.get("edition")
    if wanted == "estimator" and not form.editions:
        fault = Fault("/edition", f"{form.file} is the same for everybody", "customer, or none")
        raise QueryRefused(f"there is no estimator's edition of {form.file}", [fault])
    may = request.may("costs:read")
    if wanted == "estimator" and not may:
        raise NotAllowed(f"the role {request.client.role} sees the customer's edition only")
    edition: Edition = wanted or ("estimator" if may else "customer")
    write = timed("document", quote_document)
    asked = request.path["quote_id"], form.name, edition, request.query.get("option")
    name, content = write(request.context, request.client, *asked)
    return send_bytes(content, form.media, name, inline=form.media == "image/svg+xml")


def _query(form: QuoteForm) -> type[Schema]:
    if form.editions:
        return EditionQuerySchema
    return OptionPaperQuerySchema if form.as_built else OneEditionQuerySchema


def _declare(form: QuoteForm) -> None:
    def view(request: Request) -> Response:
        return _document(request, form)

    view.__name__ = f"get_{form.name}"
    declare: Callable[[Callable[[Request], Response]], object] = routes.add(
        "GET",
        f"/quotes/<quote_id>/{form.file}",
        "quotes:read",
        form.about,
        Options(query=_query(form), documents=(form.media,)),
    )
    declare(view)


for each in QUOTE_FORMS.values():
    _declare(each)
