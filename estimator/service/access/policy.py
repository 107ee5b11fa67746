"""What an organisation lets its roles do on their own, and what a second person must approve."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any, TypeAlias

from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from estimator.comparison.records import Offer
from estimator.errors import StaleVersion
from estimator.sentences import Sentence, figure, say
from estimator.service.access.audit import Thing, write_down
from estimator.service.context import Client, ServiceContext, StoreResponse
from estimator.storage.tables import HousePolicyRow

Document: TypeAlias = Any


@dataclass(frozen=True, slots=True)
class RoleLimit:
    """The largest discount and the least margin that a role may offer on its own, as shares; None is no limit."""

    most_discount: Decimal | None = None
    least_margin: Decimal | None = None


@dataclass(frozen=True, slots=True)
class HousePolicy:
    """The policy of an organisation. ``document`` is as it was put in."""

    limits: dict[str, RoleLimit]
    editions_need_approval: bool
    document: Document
    version: int

    def of(self, role: str) -> RoleLimit:
        """The limits of a role; none where nothing is said of it."""
        return self.limits.get(role, RoleLimit())


NO_POLICY: Document = {"limits": {}, "editions_need_approval": False}


def get_policy(context: ServiceContext, client: Client) -> HousePolicy:
    """The policy of the client's organisation."""
    with context.reading() as session:
        return find_policy(session, client.organisation)


def find_policy(session: Session, organisation: str) -> HousePolicy:
    """The policy in force; without one nobody has a limit."""
    row = session.get(HousePolicyRow, organisation)
    return _policy(NO_POLICY, 1) if row is None else _policy(row.document, row.version)


def put_policy(
    context: ServiceContext, client: Client, version: int, document: Document, store: StoreResponse
) -> HousePolicy:
    """Replace the policy. Errors: StaleVersion."""
    with context.writing() as session:
        row = session.get(HousePolicyRow, client.organisation, with_for_update=True)
        present = row.version if row is not None else 1
        if present != version:
            raise StaleVersion(
                say("the policy is at version {present}; version {version} was meant", present=present, version=version)
            )
        before = row.document if row is not None else NO_POLICY
        if row is None:
            row = HousePolicyRow(organisation_id=client.organisation)
            session.add(row)
        row.document, row.version, row.updated_at = document, version + 1, context.clock()
        try:
            session.flush()
        except IntegrityError as fault:
            raise StaleVersion(say("somebody else put a policy in at the same time")) from fault
        detail = {"before": before, "after": document}
        write_down(session, context, client, "policy.changed", Thing("policy", client.organisation), detail)
        policy = _policy(document, version + 1)
        store(session, policy)
        return policy


def beyond(limit: RoleLimit, offer: Offer) -> tuple[Sentence, ...]:
    """What of an offer lies beyond a role's limits, in words; nothing where it may be offered.

    The discount is the largest that somebody chose (a customer's tier is the pricebook's); the margin is that of the
    whole bill, so that prices set by hand count too.
    """
    choices, totals = offer.estimate.choices, offer.estimate.bill.totals
    chosen = [
        share for share in (choices.discount, *(share for _, share in choices.line_discounts)) if share is not None
    ]
    discount = max(chosen, default=Decimal(0))
    found = []
    if limit.most_discount is not None and discount > limit.most_discount:
        found.append(
            say("discount {found}, allowed at most {most}", found=figure(discount), most=figure(limit.most_discount))
        )
    if limit.least_margin is not None and totals.margin_rate < limit.least_margin:
        found.append(
            say(
                "margin {found}, allowed at least {least}",
                found=figure(totals.margin_rate),
                least=figure(limit.least_margin),
            )
        )
    return tuple(found)


def _policy(document: Document, version: int) -> HousePolicy:
    limits = {
        role: RoleLimit(_share(said.get("most_discount")), _share(said.get("least_margin")))
        for role, said in (document.get("limits") or {}).items()
    }
    return HousePolicy(limits, bool(document.get("editions_need_approval")), document, version)


def _share(told: object) -> Decimal | None:
    return None if told is None else Decimal(str(told))
