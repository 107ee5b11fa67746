"""The life of an organisation's editions: compared, approved, withdrawn, made from a supplier's price list."""

from __future__ import annotations

from typing import Any

from estimator.api.replies import Reply
from estimator.api.request import Request
from estimator.api.routes import Options, Routes
from estimator.contract.answers.editions.changes import (
    EditionDifferencesSchema,
    ListColumnsAnswerSchema,
    ListedEditionSchema,
    columns_entry,
    differences_entry,
    listed_entry,
)
from estimator.contract.answers.editions.editions import BookAnswerSchema, book_entry
from estimator.contract.requests.editions import ListColumnsSchema
from estimator.contract.requests.policy import ApproveSchema
from estimator.contract.requests.queries import EditionDifferencesQuerySchema, PriceListQuerySchema
from estimator.documents.paper import XLSX
from estimator.pricebook import Book
from estimator.service import editions, pricebooks
from estimator.service.context import store_nothing
from estimator.service.price_lists import NewEdition
from estimator.service.quoting.edition_effects import compare_editions

routes = Routes("Editions", "How an edition comes into force, what it changes, and how it leaves.")
HERE = "/pricebooks/<pricebook>/editions/<edition>"


@routes.add(
    "GET",
    f"{HERE}/differences",
    "costs:read",
    "What an edition changes against another, with alarms, and for which open quotes",
    Options(query=EditionDifferencesQuerySchema, gives={200: EditionDifferencesSchema}, unversioned=True),
)
def get_edition_differences(request: Request) -> Reply:
    """Every difference."""
    query = request.query
    found = compare_editions(
        request.context, request.client, _named(request), query["with_edition"], query["alarm"], query["quotes"]
    )
    return Reply(differences_entry(found))


@routes.add(
    "POST",
    f"{HERE}/approve",
    "pricebooks:approve",
    "Let an edition be in force; nobody approves what they put in themselves",
    Options(body=ApproveSchema, gives={200: BookAnswerSchema}, creates=True, unversioned=True),
)
def approve_edition(request: Request) -> Reply:
    """Approve an edition that another person uploaded."""
    reason = request.body["reason"]
    return request.once(
        _shown,
        lambda store: editions.approve_edition(request.context, request.client, _named(request), reason, store),
    )


@routes.add(
    "POST",
    f"{HERE}/withdraw",
    "pricebooks:write",
    "Price nothing new by an edition; quotes that stand on it stay as they are",
    Options(body=ApproveSchema, gives={200: BookAnswerSchema}, creates=True, unversioned=True),
)
def withdraw_edition(request: Request) -> Reply:
    """Withdraw an edition; this cannot be undone."""
    reason = request.body["reason"]
    return request.once(
        _shown,
        lambda store: editions.withdraw_edition(request.context, request.client, _named(request), reason, store),
    )


@routes.add(
    "POST",
    f"{HERE}/price-lists",
    "pricebooks:write",
    "A new edition from this one and a supplier's price list (XLSX or CSV)",
    Options(
        query=PriceListQuerySchema,
        takes=(XLSX, "text/csv"),
        gives={201: ListedEditionSchema},
        creates=True,
        unversioned=True,
    ),
)
def post_price_list(request: Request) -> Reply:
    """The new edition, and what the price list changed."""
    query = request.query
    new = NewEdition(query["new_edition"], query["valid_from"], query["valid_until"])
    posted = pricebooks.PostedList(query["supplier"], request.content, new)
    return request.once(
        _listed,
        lambda store: pricebooks.upload_price_list(request.context, request.client, _named(request), posted, store),
    )


@routes.add(
    "POST",
    "/suppliers/<supplier>/price-list-columns",
    "pricebooks:write",
    "Say once what a supplier calls the columns of its price list",
    Options(body=ListColumnsSchema, gives={200: ListColumnsAnswerSchema}, unversioned=True),
)
def post_columns(request: Request) -> Reply:
    """Keep a supplier's column names for its next price lists."""
    supplier = request.path["supplier"]
    told = pricebooks.remember_columns(request.context, request.client, supplier, request.body, store_nothing)
    return Reply(columns_entry(told))


@routes.add(
    "GET",
    "/suppliers/<supplier>/price-list-columns",
    "pricebooks:write",
    "What a supplier calls the columns of its price list",
    Options(gives={200: ListColumnsAnswerSchema}, unversioned=True),
)
def get_columns(request: Request) -> Reply:
    """A supplier's column names, as they were posted."""
    return Reply(columns_entry(pricebooks.told_columns(request.context, request.client, request.path["supplier"])))


def _named(request: Request) -> tuple[str, str]:
    return request.path["pricebook"], request.path["edition"]


def _shown(book: Book) -> Reply:
    return Reply(book_entry(book))


def _listed(made: tuple[Book, Any]) -> Reply:
    book = made[0]
    return Reply(listed_entry(made), 201, headers={"Location": f"/v1/pricebooks/{book.id}/editions/{book.edition}"})
