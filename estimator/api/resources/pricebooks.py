"""/v1/pricebooks: what prices are in force, from when."""

from __future__ import annotations

from estimator.api.replies import Reply
from estimator.api.request import Request
from estimator.api.routes import Options, Routes
from estimator.contract.answers.editions.editions import BookAnswerSchema, EditionPageSchema, book_entry, edition_page
from estimator.contract.requests.queries import EditionsQuerySchema
from estimator.pricebook import Book
from estimator.service.pricebooks import upload_edition

routes = Routes("Pricebooks", "Which pricebooks and editions there are; none of these answers holds a price.")
ZIP = "application/zip"


@routes.add(
    "GET",
    "/pricebooks",
    "pricebooks:read",
    "Pricebooks and their editions",
    Options(query=EditionsQuerySchema, gives={200: EditionPageSchema}),
)
def list_pricebooks(request: Request) -> Reply:
    """Every edition available."""
    since = request.query.get("updated_since")
    summaries = request.context.catalogue.summaries(request.client.organisation, since)
    return Reply(edition_page(summaries))


@routes.add(
    "GET",
    "/pricebooks/<pricebook>/editions/<edition>",
    "pricebooks:read",
    "One edition: what it offers, without prices",
    Options(gives={200: BookAnswerSchema}),
)
def get_edition(request: Request) -> Reply:
    """One edition."""
    book = request.context.catalogue.get(
        request.client.organisation, request.path["pricebook"], request.path["edition"]
    )
    return Reply(book_entry(book), 200, book.sha256[:32])


@routes.add(
    "POST",
    "/pricebooks",
    "pricebooks:write",
    "Add an edition: a ZIP archive of book.toml and its tables, checked whole",
    Options(takes=(ZIP,), gives={201: BookAnswerSchema}, creates=True),
)
def post_edition(request: Request) -> Reply:
    """Keep an edition for this organisation."""
    return request.once(_created, lambda store: upload_edition(request.context, request.client, request.content, store))


def _created(book: Book) -> Reply:
    where = {"Location": f"/v1/pricebooks/{book.id}/editions/{book.edition}"}
    return Reply(book_entry(book), 201, book.sha256[:32], where)
