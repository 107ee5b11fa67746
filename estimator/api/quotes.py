"""/v1/quotes: drafts, their issue, their answer, their revisions."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Response

from estimator.api.asked import Asked
from estimator.api.estimates import ask_of, refuse_guarded
from estimator.api.paging import page
from estimator.api.quote_documents import DOCUMENTS, by_accept
from estimator.api.replies import Reply
from estimator.api.routes import Options, Routes
from estimator.contract.answers.offers import comparison_entry
from estimator.contract.answers.quotes import changes_entry, differences_entry, etag_of, quote_card, quote_entry
from estimator.contract.answers.schemas import (
    ComparisonAnswerSchema,
    DifferencesAnswerSchema,
    QuoteAnswerSchema,
    QuoteCardSchema,
    QuotePageSchema,
)
from estimator.contract.faults import merge_patch, read, read_job
from estimator.contract.requests.choices import ChoicesSchema, IssueSchema, ReviseSchema
from estimator.contract.requests.job import JobSchema
from estimator.contract.requests.queries import DifferencesQuerySchema, EditionQuerySchema, QuotesQuerySchema
from estimator.errors import NotAllowed
from estimator.service import differences as compared
from estimator.service import kept_quotes, quotes, ways
from estimator.service.documents import XLSX
from estimator.service.jobs import get_job
from estimator.service.kept_quotes import KeptQuote, WholeQuote
from estimator.service.returned_workbooks import changes_in, choices_with

routes = Routes("Quotes", "Priced jobs on their way to the customer; an issued quote never changes.")


@routes.add(
    "POST",
    "/jobs/<job_id>/quotes",
    "quotes:write",
    "Price a job: a draft quote",
    Options(body=ChoicesSchema, gives={201: QuoteAnswerSchema}, creates=True, optional_body=True),
)
def post_quote(asked: Asked) -> Reply:
    """A draft of a job as it now is."""
    refuse_guarded(asked, asked.document)
    kept = get_job(asked.office, asked.client, asked.path["job_id"])
    job = read_job(kept.document, JobSchema())
    ask = ask_of({**asked.body, "job": job}, kept.document, asked.document)
    return asked.once(_created(asked), lambda seal: quotes.draft_quote(asked.office, asked.client, kept.id, ask, seal))


@routes.add(
    "GET",
    "/quotes",
    "quotes:read",
    "Quotes, the newest first",
    Options(query=QuotesQuerySchema, gives={200: QuotePageSchema}),
)
def list_quotes(asked: Asked) -> Reply:
    """A page of quotes, without their estimates."""
    costs = asked.may("costs:read")
    job_id, state = asked.query.get("job"), asked.query.get("state")
    return page(
        asked,
        "/v1/quotes",
        lambda before, limit: kept_quotes.list_quotes(
            asked.office, asked.client, before=before, limit=limit, job_id=job_id, state=state
        ),
        lambda card: quote_card(card, costs=costs),
    )


@routes.add(
    "GET",
    "/quotes/<quote_id>",
    "quotes:read",
    "One quote with its estimate; by Accept also as workbook, PDF, drawing or electronic quotation",
    Options(query=EditionQuerySchema, gives={200: QuoteAnswerSchema}, documents=DOCUMENTS),
)
def get_quote(asked: Asked) -> Reply | Response:
    """One quote in the form asked for."""
    document = by_accept(asked)
    if document is not None:
        return document
    whole = kept_quotes.get_whole(asked.office, asked.client, asked.path["quote_id"])
    return Reply(quote_entry(whole, costs=asked.may("costs:read")), 200, etag_of(whole.card))


@routes.add(
    "POST",
    "/quotes/<quote_id>/issue",
    "quotes:issue",
    "Issue a draft; failed checks must be gone, or overridden by code and place with a reason",
    Options(body=IssueSchema, gives={200: QuoteCardSchema}, creates=True, changes=True, optional_body=True),
)
def issue_quote(asked: Asked) -> Reply:
    """From draft to issued."""
    overrides = asked.body["overrides"]
    return asked.once(
        _changed(asked),
        lambda seal: quotes.issue_quote(
            asked.office, asked.client, asked.path["quote_id"], asked.version, overrides, seal
        ),
    )


@routes.add(
    "POST",
    "/quotes/<quote_id>/accept",
    "quotes:answer",
    "The customer accepted an issued quote",
    Options(gives={200: QuoteCardSchema}, creates=True, changes=True),
)
def accept_quote(asked: Asked) -> Reply:
    """From issued to accepted."""
    quote_id = asked.path["quote_id"]
    return asked.once(
        _changed(asked),
        lambda seal: quotes.answer_quote(asked.office, asked.client, quote_id, asked.version, "accepted", seal),
    )


@routes.add(
    "POST",
    "/quotes/<quote_id>/decline",
    "quotes:answer",
    "The customer declined an issued quote",
    Options(gives={200: QuoteCardSchema}, creates=True, changes=True),
)
def decline_quote(asked: Asked) -> Reply:
    """From issued to declined."""
    quote_id = asked.path["quote_id"]
    return asked.once(
        _changed(asked),
        lambda seal: quotes.answer_quote(asked.office, asked.client, quote_id, asked.version, "declined", seal),
    )


@routes.add(
    "POST",
    "/quotes/<quote_id>/revise",
    "quotes:write",
    "A new revision under the same number: a patch of the choices and of the job; the old one stays as it is",
    Options(body=ReviseSchema, gives={201: QuoteAnswerSchema}, creates=True, optional_body=True),
)
def revise_quote(asked: Asked) -> Reply:
    """A new draft from an old revision."""
    old = kept_quotes.get_quote(asked.office, asked.client, asked.path["quote_id"])
    job_document = merge_patch(old.job_document, asked.document.get("job", {}))
    patch = {name: value for name, value in asked.document.items() if name != "job"}
    choices = merge_patch(old.choices, patch)
    body = read(ChoicesSchema(), choices)
    ask = ask_of({**body, "job": read_job(job_document, JobSchema())}, job_document, choices)
    return asked.once(_created(asked), lambda seal: quotes.revise_quote(asked.office, asked.client, old.id, ask, seal))


@routes.add(
    "POST",
    "/quotes/<quote_id>/workbook",
    "quotes:write",
    "Send the estimator's workbook back: every change in it is read, checked, and becomes a revision",
    Options(takes=(XLSX,), gives={201: QuoteAnswerSchema}, creates=True, body_limits=3),
)
def post_workbook(asked: Asked) -> Reply:
    """A new draft from the cells an estimator changed; nothing else in the file is trusted."""
    if not asked.may("costs:read"):
        raise NotAllowed(f"the role {asked.client.role} cannot change prices")
    old = kept_quotes.get_whole(asked.office, asked.client, asked.path["quote_id"])
    changes = changes_in(asked.content, old)
    choices = choices_with(old.card.choices, old.offer.estimate.wishes, changes)
    body = read(ChoicesSchema(), choices)
    ask = ask_of({**body, "job": read_job(old.card.job_document, JobSchema())}, old.card.job_document, choices)
    named = {"workbook": changes_entry(changes)}
    return asked.once(
        _created(asked, named), lambda seal: quotes.revise_quote(asked.office, asked.client, old.card.id, ask, seal)
    )


@routes.add(
    "GET",
    "/quotes/<quote_id>/comparison",
    "quotes:read",
    "The same job in the other material, the other arrangements, the other brackets",
    Options(gives={200: ComparisonAnswerSchema}),
)
def get_comparison(asked: Asked) -> Reply:
    """Every other way to build the quoted job, by the same edition and date."""
    whole = kept_quotes.get_whole(asked.office, asked.client, asked.path["quote_id"])
    units = whole.offer.estimate.job.display_units
    return Reply(comparison_entry(ways.every_way(whole), units), 200, etag_of(whole.card))


@routes.add(
    "GET",
    "/quotes/<quote_id>/differences",
    "quotes:read",
    "What changed between two revisions: inputs, counts, prices",
    Options(query=DifferencesQuerySchema, gives={200: DifferencesAnswerSchema}),
)
def get_differences(asked: Asked) -> Reply:
    """From the other quote to this one."""
    after = kept_quotes.get_whole(asked.office, asked.client, asked.path["quote_id"])
    before = kept_quotes.get_whole(asked.office, asked.client, asked.query["with_quote"])
    entry = differences_entry(compared.differences(before, after), costs=asked.may("costs:read"))
    return Reply({"from": before.card.id, "to": after.card.id, **entry})


def _created(asked: Asked, more: dict[str, Any] | None = None) -> Callable[[WholeQuote], Reply]:
    costs = asked.may("costs:read")
    return lambda whole: Reply(
        {**quote_entry(whole, costs=costs), **(more or {})},
        201,
        etag_of(whole.card),
        {"Location": f"/v1/quotes/{whole.card.id}"},
    )


def _changed(asked: Asked) -> Callable[[KeptQuote], Reply]:
    costs = asked.may("costs:read")
    return lambda card: Reply(quote_card(card, costs=costs), 200, etag_of(card))
