"""A job and choices, as documents, to what the service prices: the same for the API and the pages."""

from __future__ import annotations

from typing import Any

from estimator.contract.faults import Document, read, read_job
from estimator.contract.requests.choices import ChoicesSchema
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.job import Choices
from estimator.service.quoting.quotes import PricingRequest


def pricing_request(body: dict[str, Any], job_document: Document, document: dict[str, Any]) -> PricingRequest:
    """What the service prices: records beside the documents they were read from."""
    choices_document = {name: value for name, value in document.items() if name != "job"}
    choices: Choices = body["choices"]
    proof = body["proof"]
    return PricingRequest(
        body["job"],
        job_document,
        choices,
        choices_document,
        body["pricebook"],
        body["edition"],
        body["priced_on"],
        proof["seconds"] if proof else None,
    )


def pricing_of(job_document: Document, choices: Document) -> PricingRequest:
    """The same from documents that were not read yet. Errors: JobRefused, RequestRefused, with every fault."""
    body = read(ChoicesSchema(), choices)
    return pricing_request({**body, "job": read_job(job_document, JobSchema())}, job_document, choices)
