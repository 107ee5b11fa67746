"""A job as it is kept, and pages of jobs."""

from __future__ import annotations

from estimator.contract.answers.fields import Each, Link, Moment, One, Whole, Words
from estimator.contract.answers.posted import AsPosted
from estimator.contract.answers.writing import ITSELF, Answer, Entry, Telling
from estimator.contract.requests.job import JobSchema
from estimator.service.jobs import StoredJob

UUID = "0193a5c2-7b1e-7c3d-9f00-1a2b3c4d5e6f"


class JobLinksSchema(Answer):
    """Where the job and its quotes are."""

    record = StoredJob
    self = Link("This job.", lambda it, _to: f"/v1/jobs/{it.id}", example=f"/v1/jobs/{UUID}")
    quotes = Link("Its quotes.", lambda it, _to: f"/v1/quotes?job={it.id}", example=f"/v1/quotes?job={UUID}")


class JobAnswerSchema(Answer):
    """A job as it is kept."""

    record = StoredJob
    id = Words("The job's id.", format="uuid", example=UUID)
    reference = Words("The reference it was posted with; an organisation has it once.", example="CRM-2041")
    title = Words("Its title.", example="Cold store, phase 2")
    version = Whole("Goes up by one with every change; its ETag.", least=1, example=1)
    created_at = Moment("When it was posted.")
    updated_at = Moment("When it was changed last.")
    job = AsPosted("The job as it was posted, with its changes.", JobSchema, "document")
    links = One("Where the job and its quotes are.", JobLinksSchema, ITSELF)


class JobPageSchema(Answer):
    """A page of jobs."""

    items = Each("The jobs, the newest first.", JobAnswerSchema, "0")
    next = Link("Where the next page is; null on the last.", "1", null=True, example="/v1/jobs?limit=50&cursor=...")


def job_entry(job: StoredJob) -> Entry:
    """A job as it was posted."""
    return JobAnswerSchema.entry(job, Telling())
