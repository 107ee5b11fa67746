"""/v1/quotes: drafts, their issue, their answer, their revisions."""

from __future__ import annotations

from collections.abc import Callable

from flask import Response

from estimator.api.paging import page
from estimator.api.replies import Reply
from estimator.api.request import Request
from estimator.api.resources.operations import TAKEN_UP, at_once_or_later
from estimator.api.resources.quotes.answers import form_of, unchanged
from estimator.api.resources.quotes.documents import DOCUMENTS, by_accept
from estimator.api.routes import Options, Routes
from estimator.contract.answers.offer.comparison import ComparisonAnswerSchema
from estimator.contract.answers.offer.offer import comparison_entry
from estimator.contract.answers.quotes.differences import DifferencesAnswerSchema, differences_entry
from estimator.contract.answers.quotes.quotes import (
    QuoteAnswerSchema,
    QuoteCardSchema,
    QuotePageSchema,
    etag,
    etag_of,
    quote_bytes,
    quote_card,
    quote_entry,
)
from estimator.contract.answers.writing import Entry
from estimator.contract.faults import merge_patch, read_job
from estimator.contract.requests.choices import AcceptSchema, ChoicesSchema, IssueSchema, ReviseSchema
from estimator.contract.requests.policy import ApproveSchema
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.contract.requests.pricing import pricing_of, pricing_request
from estimator.contract.requests.queries import (
    DifferencesQuerySchema,
    QuoteQuerySchema,
    QuotesQuerySchema,
    WorkbookQuerySchema,
)
from estimator.documents.paper import XLSX
from estimator.service.access.scopes import refuse_guarded
from estimator.service.jobs import get_job
from estimator.service.quoting import comparisons, quotes
from estimator.service.quoting import differences as compared
from estimator.service.quoting.proofs import Proof
from estimator.service.quoting.returned_workbooks import ReturnedWorkbook, revise_by_workbook
from estimator.service.quoting.stored import quotes as stored_quotes
from estimator.service.quoting.stored.answers import SUMMARY, quote_answer
from estimator.service.quoting.stored.quotes import StoredQuote, WholeQuote

routes = Routes("Quotes", "Priced jobs on their way to the customer; an issued quote never changes.")


@routes.add(
    "POST",
    "/jobs/<job_id>/quotes",
    "quotes:write",
    "Price a job: a draft quote",
    Options(body=ChoicesSchema, gives={201: QuoteAnswerSchema, **TAKEN_UP}, creates=True, optional_body=True),
)
def post_quote(request: Request) -> Reply:
    """A draft of a job as it now is."""
    refuse_guarded(request.client, request.document)
    kept = get_job(request.context, request.client, request.path["job_id"])
    job = read_job(kept.document, JobSchema())
    pricing = pricing_request({**request.body, "job": job}, kept.document, request.document)

    def at_once() -> Reply:
        proof = Proof(request.context, request.client, pricing.proof_seconds)
        return request.once(
            _created(request, proof=proof),
            lambda store: quotes.draft_quote(request.context, request.client, kept.id, pricing, proof.before(store)),
        )

    asked = {"job_id": kept.id, "job": kept.document, "choices": request.document}
    return at_once_or_later(request, "quote", asked, job, at_once)


@routes.add(
    "GET",
    "/quotes",
    "quotes:read",
    "Quotes, the newest first",
    Options(query=QuotesQuerySchema, gives={200: QuotePageSchema}),
)
def list_quotes(request: Request) -> Reply:
    """A page of quotes, without their estimates."""
    job_id, state = request.query.get("job"), request.query.get("state")
    return page(
        request,
        "/v1/quotes",
        lambda before, limit: stored_quotes.list_quotes(
            request.context,
            request.client,
            before=before,
            limit=limit,
            job_id=job_id,
            state=state,
            since=request.query.get("updated_since"),
        ),
        QuotePageSchema,
    )


@routes.add(
    "GET",
    "/quotes/<quote_id>",
    "quotes:read",
    "One quote with its estimate; by Accept also as workbook, PDF, drawing or electronic quotation",
    Options(query=QuoteQuerySchema, gives={200: QuoteAnswerSchema, **TAKEN_UP}, documents=DOCUMENTS),
)
def get_quote(request: Request) -> Reply | Response:
    """One quote in the form asked for; as JSON its summary, and the parts asked for."""
    document = by_accept(request)
    if document is not None:
        return document
    known = unchanged(request)
    if known is not None:
        return known
    names = (SUMMARY, *request.query["include"])
    answer = quote_answer(request.context, request.client, request.path["quote_id"], names, form_of(request))
    content = quote_bytes(answer.state, answer.order_list_id, answer.parts)
    return Reply(content, 200, etag(answer.version, answer.state))


@routes.add(
    "POST",
    "/quotes/<quote_id>/issue",
    "quotes:issue",
    "Issue a draft; every failed check must be corrected, or overridden by code and place with a reason",
    Options(body=IssueSchema, gives={200: QuoteCardSchema}, creates=True, changes=True, optional_body=True),
)
def issue_quote(request: Request) -> Reply:
    """From draft to issued."""
    overrides = request.body["overrides"]
    return request.once(
        _changed(request),
        lambda store: quotes.issue_quote(
            request.context,
            request.client,
            request.path["quote_id"],
            request.version,
            overrides,
            store,
        ),
    )


@routes.add(
    "POST",
    "/quotes/<quote_id>/approve",
    "quotes:approve",
    "Let a draft beyond its preparer's limits be issued; nobody approves their own",
    Options(body=ApproveSchema, gives={200: QuoteCardSchema}, creates=True, changes=True),
)
def approve_quote(request: Request) -> Reply:
    """Approve a draft that another person prepared."""
    return request.once(
        _changed(request),
        lambda store: quotes.approve_quote(
            request.context,
            request.client,
            request.path["quote_id"],
            request.version,
            request.body["reason"],
            store,
        ),
    )


@routes.add(
    "POST",
    "/quotes/<quote_id>/accept",
    "quotes:answer",
    "The customer accepted an issued quote; where it has options, the one that the body names",
    Options(body=AcceptSchema, gives={200: QuoteCardSchema}, creates=True, changes=True, optional_body=True),
)
def accept_quote(request: Request) -> Reply:
    """From issued to accepted."""
    quote_id, option = request.path["quote_id"], request.body["option"]
    return request.once(
        _changed(request),
        lambda store: quotes.answer_quote(
            request.context, request.client, quote_id, request.version, "accepted", store, option
        ),
    )


@routes.add(
    "POST",
    "/quotes/<quote_id>/decline",
    "quotes:answer",
    "The customer declined an issued quote",
    Options(gives={200: QuoteCardSchema}, creates=True, changes=True),
)
def decline_quote(request: Request) -> Reply:
    """From issued to declined."""
    quote_id = request.path["quote_id"]
    return request.once(
        _changed(request),
        lambda store: quotes.answer_quote(
            request.context, request.client, quote_id, request.version, "declined", store
        ),
    )


@routes.add(
    "POST",
    "/quotes/<quote_id>/revise",
    "quotes:write",
    "A new revision under the same number: a patch of the choices and of the job; the old one stays as it is",
    Options(body=ReviseSchema, gives={201: QuoteAnswerSchema, **TAKEN_UP}, creates=True, optional_body=True),
)
def revise_quote(request: Request) -> Reply:
    """A new draft from an old revision."""
    old = stored_quotes.get_quote(request.context, request.client, request.path["quote_id"])
    job_document = merge_patch(old.job_document, request.document.get("job", {}))
    patch = {name: value for name, value in request.document.items() if name != "job"}
    choices = merge_patch(old.choices, patch)
    pricing = pricing_of(job_document, choices)

    def at_once() -> Reply:
        proof = Proof(request.context, request.client, pricing.proof_seconds)
        return request.once(
            _created(request, proof=proof),
            lambda store: quotes.revise_quote(request.context, request.client, old.id, pricing, proof.before(store)),
        )

    asked = {"quote_id": old.id, "job": job_document, "choices": choices}
    return at_once_or_later(request, "revision", asked, pricing.job, at_once)


@routes.add(
    "POST",
    "/quotes/<quote_id>/workbook",
    "quotes:write",
    "Send the estimator's workbook back: every change in it is read, checked, and becomes a revision",
    Options(takes=(XLSX,), query=WorkbookQuerySchema, gives={201: QuoteAnswerSchema}, creates=True, body_limits=3),
)
def post_workbook(request: Request) -> Reply:
    """A new draft from the cells an estimator changed; nothing else in the file is trusted."""
    workbook = (request.path["quote_id"], request.content, request.query["merge"] == "true")
    return request.once(
        _from_workbook,
        lambda store: revise_by_workbook(request.context, request.client, workbook, pricing_of, store),
    )


@routes.add(
    "GET",
    "/quotes/<quote_id>/comparison",
    "quotes:read",
    "The same job in the other material, the other arrangements, the other brackets",
    Options(gives={200: ComparisonAnswerSchema}),
)
def get_comparison(request: Request) -> Reply:
    """Every other way to build the quoted job, by the same edition and date."""
    whole = stored_quotes.get_whole(request.context, request.client, request.path["quote_id"])
    units = whole.offer.estimate.job.display_units
    return Reply(
        comparison_entry(comparisons.compare_every_way(request.context, whole), units), 200, etag_of(whole.card)
    )


@routes.add(
    "GET",
    "/quotes/<quote_id>/differences",
    "quotes:read",
    "What changed between two revisions: inputs, counts, prices",
    Options(query=DifferencesQuerySchema, gives={200: DifferencesAnswerSchema}, unversioned=True),
)
def get_differences(request: Request) -> Reply:
    """From the other quote to this one."""
    after = stored_quotes.get_whole(request.context, request.client, request.path["quote_id"])
    before = stored_quotes.get_whole(request.context, request.client, request.query["with_quote"])
    found = compared.differences(before, after, costs=request.may("costs:read"))
    return Reply(differences_entry(before, after, found))


def _created(request: Request, proof: Proof | None = None) -> Callable[[WholeQuote], Reply]:
    """The draft; where its plan is searched on, with a link to that operation (RFC 5989 for the relation)."""
    costs = request.may("costs:read")

    def present(whole: WholeQuote) -> Reply:
        made = _made(whole, quote_entry(whole, costs=costs))
        if proof is not None and proof.operation is not None:
            made.headers["Link"] = f'</v1/operations/{proof.operation}>; rel="monitor"'
        return made

    return present


def _from_workbook(made: ReturnedWorkbook) -> Reply:
    """For those who see costs: nobody else sends a workbook."""
    return _made(made.quote, quote_entry(made.quote, costs=True, workbook=made))


def _made(whole: WholeQuote, entry: Entry) -> Reply:
    return Reply(entry, 201, etag_of(whole.card), {"Location": f"/v1/quotes/{whole.card.id}"})


def _changed(request: Request) -> Callable[[StoredQuote], Reply]:
    costs = request.may("costs:read")
    return lambda card: Reply(quote_card(card, costs=costs), 200, etag_of(card))
