"""A better cut plan for a draft: what a longer search finds takes the place of what it had; an issued quote never."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy.orm import Session

from estimator.comparison.records import Offer
from estimator.service import calculations
from estimator.service.calculations import Tell
from estimator.service.context import Client, ServiceContext, StoreResponse
from estimator.service.operations import Lease, end_operation, start_operation
from estimator.service.quoting.stored.answers import keep_written
from estimator.service.quoting.stored.quotes import WholeQuote, cards, get_whole, lock_number
from estimator.storage.records.codec import freeze


@dataclass(slots=True)
class Proof:
    """Whether the search for a draft's cut plan goes on after it is made; ``operation`` is its id, once it is."""

    context: ServiceContext
    client: Client
    seconds: int | None
    operation: str | None = None

    def before(self, store: StoreResponse) -> StoreResponse:
        """Record the search in the transaction that makes the draft, then store the response."""

        def both(session: Session, made: WholeQuote) -> None:
            if self.seconds is not None:
                request = {"quote": made.card.id, "seconds": self.seconds}
                started = start_operation(session, self.context, self.client, "proof", request, total=self.seconds)
                self.operation = started.id
            store(session, made)

        return both


def prove_quote(context: ServiceContext, lease: Lease, tell: Tell) -> None:
    """Search on; the draft takes what is cheaper or newly proven, as long as it is a draft of the same version."""
    quote_id, seconds = lease.request["quote"], lease.request["seconds"]
    whole = get_whole(context, lease.client, quote_id)
    old = whole.offer.estimate
    found = whole.offer
    if whole.card.state == "draft" and old.cut_plan is not None and not old.cut_plan.proven_optimal:
        found = context.calculate(calculations.prove_offer, whole.offer, seconds, tell=tell)
    with context.writing() as session:
        row = lock_number(session, lease.client, quote_id)
        if row.state == "draft" and row.version == whole.card.version and is_better(found, whole):
            total = found.estimate.bill.totals.total
            row.offer, row.total, row.errors = freeze(found), total.amount, len(found.errors)
            row.version, row.updated_at = row.version + 1, context.clock()
            session.flush()
            kept = WholeQuote(cards(session, [row], context.today())[0], found)
            keep_written(session, context, row.organisation_id, kept)
        end_operation(session, context, lease, f"/v1/quotes/{quote_id}")


def is_better(found: Offer, whole: WholeQuote) -> bool:
    """Whether an offer costs no more than the quote's, and less of it is open."""
    new, old = found.estimate, whole.offer.estimate
    if new.cut_plan is None or old.cut_plan is None or found == whole.offer:
        return False
    if len(found.errors) > len(whole.offer.errors) or new.bill.totals.total.amount > old.bill.totals.total.amount:
        return False
    cost, bound = new.cut_plan.cost, new.cut_plan.lower_bound
    return cost < old.cut_plan.cost or (cost == old.cut_plan.cost and bound > old.cut_plan.lower_bound)
