"""A quote on paper: by Accept, and by plain addresses for browsers."""

from __future__ import annotations

from collections.abc import Callable

from flask import Response
from flask import request as http_request
from marshmallow import Schema

from estimator.api.monitoring.timing import timed
from estimator.api.replies import JSON, Reply, send_bytes, takes_json
from estimator.api.request import Request
from estimator.api.resources.operations import TAKEN_UP, accepted, later, prefers_async
from estimator.api.routes import Options, Routes
from estimator.contract.problems.refusals import NotAcceptable, PoolFull
from estimator.contract.requests.queries import (
    EditionQuerySchema,
    OneEditionQuerySchema,
    OptionPaperQuerySchema,
    QueryRefused,
)
from estimator.documents.header import Edition
from estimator.documents.paper import QuoteForm
from estimator.documents.papers import QUOTE_FORMS
from estimator.errors import Fault
from estimator.sentences import say
from estimator.service.operations import unfinished
from estimator.service.quoting.papers.documents import PaperAsked, edition_seen, name_of_paper, quote_document

routes = Routes("Documents", "Workbook, PDF and drawings of a quote.")
BY_MEDIA: dict[str, QuoteForm] = {form.media: form for form in reversed(QUOTE_FORMS.values())}
DOCUMENTS = (JSON, *(form.media for form in QUOTE_FORMS.values()))


def by_accept(request: Request) -> Reply | Response | None:
    """The document that Accept asks for; nothing where it asks for JSON. Errors: NotAcceptable."""
    if takes_json() or not http_request.accept_mimetypes:
        return None
    best = http_request.accept_mimetypes.best_match(list(dict.fromkeys(DOCUMENTS)))
    if best is None:
        raise NotAcceptable(say("a quote is given as {names}", names=", ".join(dict.fromkeys(DOCUMENTS))))
    return None if best == JSON else _document(request, BY_MEDIA[best])


def _document(request: Request, form: QuoteForm) -> Reply | Response:
    wanted: Edition | None = request.query.get("edition")
    if wanted == "estimator" and not form.editions:
        fault = Fault("/edition", say("{file} is the same for everybody", file=form.file), say("customer, or none"))
        raise QueryRefused(say("there is no estimator's edition of {file}", file=form.file), [fault])
    edition = edition_seen(request.client, wanted)
    quote_id, option = request.path["quote_id"], request.query.get("option")
    if prefers_async():
        return _later(request, PaperAsked(form.name, edition, option or ""))
    write = timed("document", quote_document)
    try:
        name, content = write(request.context, request.client, quote_id, form.name, edition, option)
    except PoolFull:
        return _later(request, PaperAsked(form.name, edition, option or ""))
    return send_bytes(content, form.media, name, inline=form.media == "image/svg+xml")


def _later(request: Request, paper: PaperAsked) -> Reply:
    """The paper as an operation; one that the client has asked for and that has not ended is told again."""
    quote_id = request.path["quote_id"]
    file = name_of_paper(request.context, request.client, quote_id, paper)
    option = paper.letter or None
    asked = {"quote": quote_id, "name": paper.name, "edition": paper.edition, "option": option, "file": file}
    known = unfinished(request.context, request.client, "paper", asked)
    return accepted(known) if known is not None else later(request, "paper", asked)


def _query(form: QuoteForm) -> type[Schema]:
    if form.editions:
        return EditionQuerySchema
    return OptionPaperQuerySchema if form.as_built else OneEditionQuerySchema


def _declare(form: QuoteForm) -> None:
    def view(request: Request) -> Reply | Response:
        return _document(request, form)

    view.__name__ = f"get_{form.name}"
    declare: Callable[[Callable[[Request], Reply | Response]], object] = routes.add(
        "GET",
        f"/quotes/<quote_id>/{form.file}",
        "quotes:read",
        form.about,
        Options(query=_query(form), gives={200: None, **TAKEN_UP}, documents=(form.media,)),
    )
    declare(view)


for each in QUOTE_FORMS.values():
    _declare(each)
