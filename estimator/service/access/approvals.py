"""A quote beyond the limits of whoever prepared it needs another person's approval; nobody approves their own."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from estimator.comparison.records import Offer
from estimator.errors import Conflict, NotAllowed
from estimator.sentences import Sentence, joined, say
from estimator.service.access.policy import beyond, find_policy
from estimator.service.context import Client, ServiceContext, Who, new_id
from estimator.storage import tables


@dataclass(frozen=True, slots=True)
class Approval:
    """Who approved a quote, when and why."""

    who: Who
    reason: str
    at: datetime


class NeedsApproval(Conflict):
    """The quote lies beyond the limits of whoever prepared it, and nobody else has approved it."""


def mark_prepared(session: Session, client: Client, row: tables.QuoteRow, offer: Offer) -> None:
    """Record who prepared a draft, and whether it needs another's approval."""
    limit = find_policy(session, client.organisation).of(client.role)
    row.prepared_by_id, row.prepared_role = client.id, client.role
    row.needs_approval = bool(beyond(limit, offer))


def refuse_unapproved(session: Session, client: Client, row: tables.QuoteRow, offer: Offer) -> None:
    """Refuse to issue what nobody else has approved, by the policy of today. Errors: NeedsApproval.

    A quote drafted before there were policies is judged by the role of whoever issues it.
    """
    role = row.prepared_role or client.role
    found = beyond(find_policy(session, client.organisation).of(role), offer)
    if found and not approvals_of(session, (row.id,)).get(row.id):
        raise NeedsApproval(
            say(
                "beyond what the role {role} may offer on its own: {names}; another person must approve it",
                role=role,
                names=joined("; ", found),
            )
        )


def approve(
    session: Session, context: ServiceContext, client: Client, row: tables.QuoteRow, offer: Offer, reason: str
) -> Approval:
    """Let a draft beyond its preparer's limits be issued. Errors: Conflict, NotAllowed."""
    if row.state != "draft":
        raise Conflict(say("only a draft is approved; this quote is {state}", state=Sentence(row.state)))
    policy = find_policy(session, client.organisation)
    if not row.needs_approval and not beyond(policy.of(row.prepared_role or client.role), offer):
        raise Conflict(say("the quote lies within the limits of whoever prepared it; it needs no approval"))
    refuse_own(session, client, row)
    too_far = beyond(policy.of(client.role), offer)
    if too_far:
        raise NotAllowed(
            say(
                "beyond what the role {role} may approve: {names}",
                role=Sentence(client.role),
                names=joined("; ", too_far),
            )
        )
    row_of = tables.ApprovalRow(
        id=new_id(),
        organisation_id=client.organisation,
        quote_id=row.id,
        who_kind=client.who.kind,
        who_id=client.who.id,
        who_name=client.who.name,
        who_role=client.who.role,
        reason=reason,
        at=context.clock(),
    )
    session.add(row_of)
    row.needs_approval = True
    return Approval(client.who, reason, row_of.at)


def refuse_own(session: Session, client: Client, row: tables.QuoteRow) -> None:
    """Refuse the person who prepared it, and a key that this person made. Errors: NotAllowed."""
    if row.prepared_by_id is None and row.prepared_by == client.name:
        raise NotAllowed(say("nobody approves their own quote"))
    if row.prepared_by_id is not None and made_by_same(session, client, row.prepared_by_id):
        raise NotAllowed(say("nobody approves their own quote, nor with a key that they made"))


def made_by_same(session: Session, client: Client, other: str) -> bool:
    """Whether who asks is that other, or uses a key that the other made over REST."""
    key = tables.ApiKeyRow
    made_by = session.scalars(
        select(key.made_by).where(key.organisation_id == client.organisation, key.client_id == client.id)
    )
    return client.id == other or other in set(made_by)


def approvals_of(session: Session, quote_ids: tuple[str, ...]) -> dict[str, tuple[Approval, ...]]:
    """The approvals of quotes, the oldest first."""
    row = tables.ApprovalRow
    found: dict[str, tuple[Approval, ...]] = {}
    if not quote_ids:
        return found
    for each in session.scalars(select(row).where(row.quote_id.in_(quote_ids)).order_by(row.id)):
        who = Who(each.who_kind, each.who_id, each.who_name, each.who_role)
        found[each.quote_id] = (*found.get(each.quote_id, ()), Approval(who, each.reason, each.at))
    return found
