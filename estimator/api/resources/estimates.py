"""/v1/estimates: a job and choices in, the whole estimate out; nothing is stored."""

from __future__ import annotations

from typing import Any

from estimator.api.replies import Reply
from estimator.api.request import Document, Request
from estimator.api.resources.operations import TAKEN_UP, at_once_or_later, later
from estimator.api.routes import Options, Routes
from estimator.contract.answers.offer.offer import OfferAnswerSchema, offer_entry
from estimator.contract.faults import moved, read
from estimator.contract.requests.choices import EstimateRequestSchema
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.contract.requests.pricing import pricing_request
from estimator.errors import ChoiceRefused, Fault, JobRefused, Refused
from estimator.service.access.scopes import refuse_guarded
from estimator.service.quoting.quotes import price

routes = Routes("Estimates", "A job counted, planned and priced at once; nothing is stored.")
JOB_FIELDS = tuple(field.data_key or name for name, field in JobSchema().fields.items())


@routes.add(
    "POST",
    "/estimates",
    "estimates:make",
    "Estimate a job: counts, cut plan, prices, checks, comparison",
    Options(body=EstimateRequestSchema, gives={200: OfferAnswerSchema, **TAKEN_UP}, creates=True, unversioned=True),
)
def post_estimate(request: Request) -> Reply:
    """The whole offer for a job."""
    pricing = pricing_request(request.body, request.document["job"], request.document)
    refuse_guarded(request.client, pricing.choices_document)

    def at_once() -> Reply:
        try:
            offer = price(request.context, request.client, pricing)
        except Refused as refusal:
            raise _of_the_request(refusal) from refusal
        return Reply(offer_entry(offer, costs=request.may("costs:read")))

    if pricing.proof_seconds:
        return later(request, "estimate", request.document)
    return at_once_or_later(request, "estimate", request.document, pricing.job, at_once)


def _of_the_request(refusal: Refused) -> Refused:
    """The refusal with its pointers from the request's top."""
    if not isinstance(refusal, (JobRefused, ChoiceRefused)):
        return refusal
    faults: tuple[Fault, ...] = moved(refusal.faults, "/job", JOB_FIELDS)
    return type(refusal)(refusal.told, faults)


def read_choices(document: Document) -> dict[str, Any]:
    """Choices as an estimate's request gives them, for a job that is known."""
    loaded: dict[str, Any] = read(EstimateRequestSchema(exclude=("job",)), document)
    return loaded
