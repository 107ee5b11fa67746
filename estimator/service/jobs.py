"""Jobs as clients post them, and change them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeAlias

from sqlalchemy import select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from estimator.errors import AlreadyUsed, NotFound, StaleVersion
from estimator.job import Job
from estimator.sentences import say
from estimator.service.access.audit import Thing, write_down
from estimator.service.context import Client, ServiceContext, StoreResponse, new_id
from estimator.service.outbox.events import publish
from estimator.storage import tables

Document: TypeAlias = Any
"""A JSON document as it was posted."""


JOB = tables.JobRow
CARD = (JOB.id, JOB.reference, JOB.title, JOB.version, JOB.created_at, JOB.updated_at)


@dataclass(frozen=True, slots=True)
class StoredJob:
    """A job as it is kept: the document as posted, and its version."""

    id: str
    reference: str
    title: str
    document: Any
    version: int
    created_at: datetime
    updated_at: datetime


def post_job(context: ServiceContext, client: Client, job: Job, document: Document, store: StoreResponse) -> StoredJob:
    """Keep a job. Errors: AlreadyUsed if the organisation has one of that reference."""
    now = context.clock()
    row = tables.JobRow(
        id=new_id(),
        organisation_id=client.organisation,
        reference=job.reference,
        title=job.title,
        document=document,
        version=1,
        created_at=now,
        updated_at=now,
    )
    with context.writing() as session:
        _refuse_taken(session, client, job.reference)
        session.add(row)
        _flush(session, job.reference)
        write_down(session, context, client, "job.posted", Thing("job", row.id), {"reference": job.reference})
        publish(session, context, client.organisation, "job.posted", row.id, _told(row))
        kept = _kept(row)
        store(session, kept)
    return kept


def list_jobs(
    context: ServiceContext,
    client: Client,
    *,
    before: str | None,
    limit: int,
    reference: str | None = None,
    since: datetime | None = None,
) -> tuple[StoredJob, ...]:
    """The newest first, from the one after ``before`` on; without their documents, which may have megabytes each."""
    statement = select(*CARD).where(tables.JobRow.organisation_id == client.organisation)
    if before:
        statement = statement.where(tables.JobRow.id < before)
    if reference is not None:
        statement = statement.where(tables.JobRow.reference == reference)
    if since is not None:
        statement = statement.where(tables.JobRow.updated_at >= since)
    with context.reading() as session:
        found = session.execute(statement.order_by(tables.JobRow.id.desc()).limit(limit))
        return tuple(StoredJob(document=None, **row._mapping) for row in found)


def get_job(context: ServiceContext, client: Client, job_id: str) -> StoredJob:
    """One job. Errors: NotFound, also for another organisation's."""
    with context.reading() as session:
        return _kept(find_job(session, client, job_id))


def change_job(
    context: ServiceContext, client: Client, job_id: str, version: int, change: tuple[Job, Any]
) -> StoredJob:
    """Put another job and document in its place. Errors: StaleVersion, AlreadyUsed, NotFound."""
    job, document = change
    with context.writing() as session:
        row = find_job(session, client, job_id, lock=True)
        if row.version != version:
            raise StaleVersion(
                say(
                    "the job is at version {version}; the change was made to version {version2}",
                    version=row.version,
                    version2=version,
                )
            )
        if row.reference != job.reference:
            _refuse_taken(session, client, job.reference)
        row.reference, row.title, row.document = job.reference, job.title, document
        row.version, row.updated_at = version + 1, context.clock()
        _flush(session, job.reference)
        write_down(session, context, client, "job.changed", Thing("job", row.id), {"version": row.version})
        return _kept(row)


def find_job(session: Session, client: Client, job_id: str, *, lock: bool = False) -> tables.JobRow:
    """The row, if it is this organisation's."""
    statement = select(tables.JobRow).where(
        tables.JobRow.id == job_id, tables.JobRow.organisation_id == client.organisation
    )
    row = session.scalar(statement.with_for_update() if lock else statement)
    if row is None:
        raise NotFound(say("no such job"))
    return row


def _told(row: tables.JobRow) -> dict[str, object]:
    """What an event tells of a job."""
    links = {"job": f"/v1/jobs/{row.id}", "quotes": f"/v1/quotes?job={row.id}"}
    return {"job": row.id, "reference": row.reference, "state": "posted", "links": links}


def _refuse_taken(session: Session, client: Client, reference: str) -> None:
    statement = select(tables.JobRow.id).where(
        tables.JobRow.organisation_id == client.organisation, tables.JobRow.reference == reference
    )
    taken = session.scalar(statement)
    if taken is not None:
        raise AlreadyUsed(
            say("reference {reference} serves job {taken} already", reference=repr(reference), taken=taken)
        )


def _flush(session: Session, reference: str) -> None:
    try:
        session.flush()
    except IntegrityError as fault:
        raise AlreadyUsed(
            say("reference {reference} belongs to another job already", reference=repr(reference))
        ) from fault


def _kept(row: tables.JobRow) -> StoredJob:
    return StoredJob(row.id, row.reference, row.title, row.document, row.version, row.created_at, row.updated_at)
