"""/v1/jobs: the CRM posts and follows jobs."""

from __future__ import annotations

from estimator.api.paging import page
from estimator.api.replies import Reply
from estimator.api.request import Request
from estimator.api.routes import Options, Routes
from estimator.contract.answers.jobs import JobAnswerSchema, JobPageSchema, job_entry
from estimator.contract.faults import merge_patch, read_job
from estimator.contract.requests.posted_job.job import JobPatchSchema, JobSchema
from estimator.contract.requests.queries import JobsQuerySchema
from estimator.service import jobs as service
from estimator.service.jobs import StoredJob

routes = Routes("Jobs", "What customers ask for, as the CRM posts it.")
MERGE_PATCH = "application/merge-patch+json"


@routes.add(
    "POST",
    "/jobs",
    "jobs:write",
    "Post a job, once: its reference is unique in an organisation",
    Options(body=JobSchema, gives={201: JobAnswerSchema}, creates=True),
)
def post_job(request: Request) -> Reply:
    """Keep a job."""
    return request.once(
        _created,
        lambda store: service.post_job(request.context, request.client, request.body, request.document, store),
    )


@routes.add(
    "GET", "/jobs", "jobs:read", "Jobs, the newest first", Options(query=JobsQuerySchema, gives={200: JobPageSchema})
)
def list_jobs(request: Request) -> Reply:
    """A page of jobs."""
    reference = request.query.get("reference")
    return page(
        request,
        "/v1/jobs",
        lambda before, limit: service.list_jobs(
            request.context,
            request.client,
            before=before,
            limit=limit,
            reference=reference,
            since=request.query.get("updated_since"),
        ),
        JobPageSchema,
    )


@routes.add("GET", "/jobs/<job_id>", "jobs:read", "One job", Options(gives={200: JobAnswerSchema}))
def get_job(request: Request) -> Reply:
    """One job."""
    return _shown(service.get_job(request.context, request.client, request.path["job_id"]))


@routes.add(
    "PATCH",
    "/jobs/<job_id>",
    "jobs:write",
    "Change a job by a merge patch (RFC 7396); null takes a field away",
    Options(body=JobPatchSchema, gives={200: JobAnswerSchema}, takes=(MERGE_PATCH, "application/json"), changes=True),
)
def change_job(request: Request) -> Reply:
    """Merge a change into a job; the whole must be a job again."""
    kept = service.get_job(request.context, request.client, request.path["job_id"])
    document = merge_patch(kept.document, request.document)
    job = read_job(document, JobSchema())
    return _shown(service.change_job(request.context, request.client, kept.id, request.version, (job, document)))


def _created(kept: StoredJob) -> Reply:
    return Reply(job_entry(kept), 201, f"v{kept.version}", {"Location": f"/v1/jobs/{kept.id}"})


def _shown(kept: StoredJob) -> Reply:
    return Reply(job_entry(kept), 200, f"v{kept.version}")
