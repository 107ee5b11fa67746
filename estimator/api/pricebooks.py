"""/v1/pricebooks: what prices are in force, from when."""

from __future__ import annotations

from estimator.api.asked import Asked
from estimator.api.replies import Reply
from estimator.api.routes import Options, Routes
from estimator.contract.answers.quotes import book_entry, edition_entry
from estimator.contract.answers.schemas import BookAnswerSchema, EditionPageSchema
from estimator.pricebook import Book
from estimator.service.pricebooks import upload_edition

routes = Routes("Pricebooks", "Which pricebooks and editions there are; none of these answers holds a price.")
ZIP = "application/zip"


@routes.add(
    "GET", "/pricebooks", "pricebooks:read", "Pricebooks and their editions", Options(gives={200: EditionPageSchema})
)
def list_pricebooks(asked: Asked) -> Reply:
    """Every edition at hand."""
    cards = asked.office.shelf.cards(asked.client.organisation)
    return Reply({"items": [edition_entry(card) for card in cards], "next": None})


@routes.add(
    "GET",
    "/pricebooks/<pricebook>/editions/<edition>",
    "pricebooks:read",
    "One edition: what it offers, without prices",
    Options(gives={200: BookAnswerSchema}),
)
def get_edition(asked: Asked) -> Reply:
    """One edition."""
    book = asked.office.shelf.get(asked.client.organisation, asked.path["pricebook"], asked.path["edition"])
    return Reply(book_entry(book), 200, book.sha256[:32])


@routes.add(
    "POST",
    "/pricebooks",
    "pricebooks:write",
    "Put an edition in: a ZIP archive of book.toml and its tables, checked whole",
    Options(takes=(ZIP,), gives={201: BookAnswerSchema}, creates=True),
)
def post_edition(asked: Asked) -> Reply:
    """Keep an edition for this organisation."""
    return asked.once(_created, lambda seal: upload_edition(asked.office, asked.client, asked.content, seal))


def _created(book: Book) -> Reply:
    where = {"Location": f"/v1/pricebooks/{book.id}/editions/{book.edition}"}
    return Reply(book_entry(book), 201, book.sha256[:32], where)
