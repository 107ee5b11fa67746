"""A job as it is kept, and pages of jobs."""

from __future__ import annotations

from typing import Any, ClassVar, Literal

from estimator.contract.answers.fields import Each, Link, Moment, One, Whole, Words
from estimator.contract.answers.posted import AsPosted
from estimator.contract.answers.writing import ITSELF, Answer, Entry, Telling
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.errors import Finding
from estimator.service.jobs import StoredJob
from estimator.site_country import country_findings
from estimator.units import DisplayUnits

UUID = "0193a5c2-7b1e-7c3d-9f00-1a2b3c4d5e6f"


class JobLinksSchema(Answer):
    """Where the job and its quotes are."""

    record = StoredJob
    self = Link("This job.", lambda it, _to: f"/v1/jobs/{it.id}", example=f"/v1/jobs/{UUID}")
    quotes = Link("Its quotes.", lambda it, _to: f"/v1/quotes?job={it.id}", example=f"/v1/quotes?job={UUID}")


class JobWarningSchema(Answer):
    """A doubt about a job as it was posted."""

    record = Finding
    code = Words("Its stable name.", example="country_not_given")
    message = Words("What is doubted, and what to do.", example="neither site nor customer has a country")


def _warnings(document: Any) -> tuple[Finding, ...]:
    """Of a document that was read without a fault when it was posted."""
    site, customer = document.get("site") or {}, document.get("customer") or {}
    countries = ((party.get("address") or {}).get("country") for party in (site, customer))
    country = next(filter(None, countries), "")
    units: DisplayUnits | Literal["both"] = document.get("display_units") or "metric"
    return country_findings(country, "metric_us" if units == "both" else units)


class JobCardSchema(Answer):
    """A job without the document that was posted."""

    record: ClassVar[Any] = StoredJob
    id = Words("The job's id.", format="uuid", example=UUID)
    reference = Words("The reference it was posted with; an organisation has it once.", example="CRM-2041")
    title = Words("Its title.", example="Cold store, phase 2")
    version = Whole("Goes up by one with every change; its ETag.", least=1, example=1)
    created_at = Moment("When it was posted.")
    updated_at = Moment("When it was changed last.")
    links = One("Where the job and its quotes are.", JobLinksSchema, ITSELF)


class JobAnswerSchema(JobCardSchema):
    """A job as it is kept."""

    job = AsPosted("The job as it was posted, with its changes.", JobSchema, "document")
    warnings = Each(
        "What to correct before a pricebook is chosen for it: no country, or units that are not used there.",
        JobWarningSchema,
        lambda it, _to: _warnings(it.document),
    )


class JobPageSchema(Answer):
    """A page of jobs."""

    items = Each("The jobs, the newest first; the documents are with each on its own.", JobCardSchema, "0")
    next = Link("Where the next page is; null on the last.", "1", null=True, example="/v1/jobs?limit=50&cursor=...")


def job_entry(job: StoredJob) -> Entry:
    """A job as it was posted."""
    return JobAnswerSchema.entry(job, Telling())
