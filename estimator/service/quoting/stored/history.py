"""What is recorded when something happens to a quote: a line of the audit log for each action."""

from __future__ import annotations

from collections.abc import Iterable

from sqlalchemy import select
from sqlalchemy.orm import Session, defer

from estimator.job import CheckOverride
from estimator.service.access.audit import Thing, write_down
from estimator.service.context import Client, ServiceContext
from estimator.service.outbox.events import KINDS, publish
from estimator.service.quoting.stored.answers import keep_renewed
from estimator.storage import tables


def told(
    session: Session, context: ServiceContext, client: Client, row: tables.QuoteRow, what: str, **detail: object
) -> None:
    """Something happened to a quote: ``what`` is drafted, revised, approved, issued, accepted, declined, superseded."""
    known = {"number": row.number, "revision": row.revision, **detail}
    write_down(session, context, client, f"quote.{what}", Thing("quote", row.id), known)
    if f"quote.{what}" in KINDS:
        publish(session, context, row.organisation_id, f"quote.{what}", row.number, _document(row, what))


def _document(row: tables.QuoteRow, what: str) -> dict[str, object]:
    """What an event tells of a quote: ids, state, links."""
    state = {"drafted": "draft", "revised": "draft", "approved": "draft", "expiring": "issued"}.get(what, what)
    return {
        "quote": row.id,
        "number": row.number,
        "revision": row.revision,
        "revises": row.revises_id,
        "job": row.job_id,
        "state": state,
        "valid_until": row.valid_until.isoformat(),
        "links": {"quote": f"/v1/quotes/{row.id}", "job": f"/v1/jobs/{row.job_id}"},
    }


def told_overrides(
    session: Session,
    context: ServiceContext,
    client: Client,
    row: tables.QuoteRow,
    overrides: Iterable[CheckOverride],
) -> None:
    """Record who overrode failed checks: one line for each."""
    for each in overrides:
        of = {"option": each.option} if each.option else {}
        named = {"code": each.code, "place": str(each.place), **of}
        told(session, context, client, row, "check_overridden", **named, why=each.reason)


def supersede(session: Session, context: ServiceContext, client: Client, row: tables.QuoteRow) -> None:
    """The revision issued takes the place of those issued before it; all of the number are locked already."""
    quote = tables.QuoteRow
    others = select(quote).where(
        quote.organisation_id == row.organisation_id,
        quote.number == row.number,
        quote.id != row.id,
        quote.state == "issued",
    )
    for other in session.scalars(others.options(defer(quote.offer))).all():
        other.state, other.version, other.updated_at = "superseded", other.version + 1, context.clock()
        session.flush()
        keep_renewed(session, context, other, other.version - 1)
        told(session, context, client, other, "superseded", by_revision=row.revision)
