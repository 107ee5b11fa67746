"""/v1/operations: long-running work, its progress and its result."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from flask import Response
from flask import request as http_request

from estimator.api.paging import page
from estimator.api.replies import JSON, Reply, send_bytes
from estimator.api.request import Request
from estimator.api.routes import Options, Routes
from estimator.contract.answers.cut_list import CutPlanAnswerSchema
from estimator.contract.answers.offer.offer import OfferAnswerSchema
from estimator.contract.answers.operations import OperationAnswerSchema, OperationPageSchema, operation_entry
from estimator.contract.problems.refusals import PoolFull
from estimator.contract.requests.queries import OperationsQuerySchema
from estimator.documents.paper import OrderForm, QuoteForm
from estimator.documents.papers import ORDER_FORMS, QUOTE_FORMS
from estimator.job import Job
from estimator.layout.work import work_at_most
from estimator.service import operations as service
from estimator.service.access.scopes import sees_all_operations
from estimator.service.operations import Kind, StoredOperation

routes = Routes("Operations", "Long work: asked for with Prefer: respond-async, or offered where it would take long.")
MOST_AT_ONCE = 100_000
"""Units of work of a setting-out that is waited for; see ``layout/work.py``."""
ASYNC = "respond-async"
_MEDIA = (*(form.media for form in QUOTE_FORMS.values()), *(form.media for form in ORDER_FORMS.values()))
PAPERS = (JSON, *dict.fromkeys(_MEDIA))
TAKEN_UP = {202: OperationAnswerSchema}


OfferOrPlan: Any = {"anyOf": [OfferAnswerSchema, CutPlanAnswerSchema]}


def at_once_or_later(
    request: Request, kind: Kind, document: dict[str, Any], job: Job | None, act: Callable[[], Reply]
) -> Reply:
    """The answer, or an operation: where the client prefers it, the job is large, or no process is free for long."""
    if prefers_async() or (job is not None and is_large(request, job)):
        return later(request, kind, document)
    try:
        return act()
    except PoolFull:
        return later(request, kind, document)


def later(request: Request, kind: Kind, document: dict[str, Any]) -> Reply:
    """202 with where to look. Source: RFC 9110, section 15.3.3; RFC 7240 for the preference applied."""
    return request.once(
        accepted,
        lambda store: service.post_operation(request.context, request.client, kind, document, store),
    )


def prefers_async() -> bool:
    """Whether the client prefers an operation. Source: RFC 7240, section 4.1."""
    said = ",".join(http_request.headers.getlist("Prefer"))
    return any(each.split(";")[0].strip().lower() == ASYNC for each in said.split(","))


def is_large(request: Request, job: Job) -> bool:
    """Whether a job has too many modules, or too many lines in too many ways, for an answer at once."""
    return modules_of(job) > request.context.operation_modules or work_at_most(job) > MOST_AT_ONCE


def modules_of(job: Job) -> int:
    """How many modules a job has, before anything is laid out."""
    arrays = (array for roof in job.roofs for array in roof.arrays)
    return sum(array.rows * array.columns - len(array.omit) for array in arrays)


def accepted(operation: StoredOperation) -> Reply:
    """The answer that tells where to look."""
    applied = {"Preference-Applied": ASYNC} if prefers_async() else {}
    return Reply(operation_entry(operation), 202, None, {"Location": f"/v1/operations/{operation.id}", **applied})


@routes.add(
    "GET",
    "/operations",
    "operations:follow",
    "Operations, the newest first",
    Options(query=OperationsQuerySchema, gives={200: OperationPageSchema}),
)
def list_operations(request: Request) -> Reply:
    """A page of operations: one's own, or all of the organisation for roles that see costs."""
    state, every = request.query.get("state"), sees_all_operations(request.client)
    return page(
        request,
        "/v1/operations",
        lambda before, limit: service.list_operations(
            request.context,
            request.client,
            before=before,
            limit=limit,
            state=state,
            every=every,
            since=request.query.get("updated_since"),
        ),
        OperationPageSchema,
    )


@routes.add(
    "GET",
    "/operations/<operation_id>",
    "operations:follow",
    "One operation: its state, progress, and where its result is",
    Options(gives={200: OperationAnswerSchema}),
)
def get_operation(request: Request) -> Reply:
    """Where it stands; while it runs, Retry-After says when to look again."""
    found = service.get_operation(
        request.context, request.client, request.path["operation_id"], every=sees_all_operations(request.client)
    )
    again = {} if found.state in service.ENDED else {"Retry-After": "1"}
    return Reply(operation_entry(found), 200, f"v{found.version}", again)


@routes.add(
    "GET",
    "/operations/<operation_id>/result",
    "operations:follow",
    "The answer that an operation keeps: an estimate, a cut plan or a paper",
    Options(gives={200: OfferOrPlan}, documents=PAPERS, unversioned=True, conflicts=True),
)
def get_operation_result(request: Request) -> Reply | Response:
    """The answer, as the request would have been answered at once."""
    found = service.operation_result(
        request.context, request.client, request.path["operation_id"], every=sees_all_operations(request.client)
    )
    if found.kind != "paper":
        return Reply(found.content)
    forms: Mapping[str, QuoteForm | OrderForm] = ORDER_FORMS if "order_list" in found.request else QUOTE_FORMS
    media = forms[found.request["name"]].media
    return send_bytes(found.content, media, found.request["file"], inline=media == "image/svg+xml")


@routes.add(
    "DELETE",
    "/operations/<operation_id>",
    "operations:follow",
    "Cancel an operation that has not ended: nothing is made",
    Options(gives={200: OperationAnswerSchema}, unversioned=True, conflicts=True),
)
def cancel_operation(request: Request) -> Reply:
    """Cancel an operation; the worker stops."""
    found = service.cancel_operation(
        request.context, request.client, request.path["operation_id"], every=sees_all_operations(request.client)
    )
    return Reply(operation_entry(found))
