"""What is done for each kind of operation: documents as they were posted to records, to what is made of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from sqlalchemy.orm import Session

from estimator.contract.answers.cut_list import cut_plan_answer
from estimator.contract.answers.offer.offer import offer_entry
from estimator.contract.answers.writing import dump
from estimator.contract.faults import read
from estimator.contract.requests.choices import EstimateRequestSchema
from estimator.contract.requests.cut_list import CutListSchema
from estimator.contract.requests.orders import OrderRequestSchema, order_request
from estimator.contract.requests.pricing import pricing_of, pricing_request
from estimator.service import calculations
from estimator.service.access.scopes import may
from estimator.service.calculations import Tell
from estimator.service.context import ServiceContext, StoreResponse
from estimator.service.operations import Kind, Lease, end_operation
from estimator.service.ordering.order_documents import order_paper
from estimator.service.ordering.order_lists import StoredOrderList, get_order_list, order_quotes
from estimator.service.quoting.papers.documents import quote_document
from estimator.service.quoting.proofs import Proof, prove_quote
from estimator.service.quoting.quotes import draft_quote, price, revise_quote
from estimator.service.quoting.repricing.repricings import make_drafts, run_repricing
from estimator.service.quoting.stored.quotes import WholeQuote

Work = Callable[[ServiceContext, Lease, Tell], None]


def make_estimate(context: ServiceContext, lease: Lease, tell: Tell) -> None:
    """The whole offer of a job, kept with the operation."""
    document = lease.request
    pricing = pricing_request(read(EstimateRequestSchema(), document), document["job"], document)
    made = price(context, lease.client, pricing)
    if pricing.proof_seconds and made.estimate.cut_plan and not made.estimate.cut_plan.proven_optimal:
        made = context.calculate(calculations.prove_offer, made, pricing.proof_seconds, tell=tell)
    answer = offer_entry(made, costs=may(lease.client, "costs:read"))
    with context.writing() as session:
        end_operation(session, context, lease, result=dump(answer))


def make_quote(context: ServiceContext, lease: Lease, tell: Tell) -> None:
    """A draft of a job, as the job was when it was asked for."""
    pricing = pricing_of(lease.request["job"], lease.request["choices"])
    draft_quote(
        context,
        lease.client,
        lease.request["job_id"],
        pricing,
        Proof(context, lease.client, pricing.proof_seconds).before(_ends(context, lease)),
    )


def make_revision(context: ServiceContext, lease: Lease, tell: Tell) -> None:
    """The next revision of a quote."""
    pricing = pricing_of(lease.request["job"], lease.request["choices"])
    revise_quote(
        context,
        lease.client,
        lease.request["quote_id"],
        pricing,
        Proof(context, lease.client, pricing.proof_seconds).before(_ends(context, lease)),
    )


def _ends(context: ServiceContext, lease: Lease) -> StoreResponse:
    def end(session: Session, made: WholeQuote) -> None:
        end_operation(session, context, lease, f"/v1/quotes/{made.card.id}")

    return end


def make_cut_plan(context: ServiceContext, lease: Lease, tell: Tell) -> None:
    """The plan of a cut list, kept with the operation."""
    unit, cut_list = read(CutListSchema(), lease.request["cut_list"])
    plan = context.calculate(calculations.plan_cuts, cut_list, lease.request["seconds"], tell=tell)
    with context.writing() as session:
        end_operation(session, context, lease, result=dump(cut_plan_answer(unit, cut_list, plan)))


def make_paper(context: ServiceContext, lease: Lease, tell: Tell) -> None:
    """A paper of a quote or of an order list, kept with the operation."""
    asked = lease.request
    if "order_list" in asked:
        kept = get_order_list(context, lease.client, asked["order_list"])
        paper = (kept, asked["name"], asked["supplier"], asked["delivery"])
        _, content = context.on_paper(order_paper, *paper)
    else:
        of_quote = (asked["quote"], asked["name"], asked["edition"], asked["option"])
        _, content = quote_document(context, lease.client, *of_quote)
    with context.writing() as session:
        end_operation(session, context, lease, result=content)


def make_order_list(context: ServiceContext, lease: Lease, tell: Tell) -> None:
    """An order list over quotes whose rails are cut from common bars."""

    def end(session: Session, made: StoredOrderList) -> None:
        end_operation(session, context, lease, f"/v1/order-lists/{made.id}")

    order_quotes(context, lease.client, order_request(read(OrderRequestSchema(), lease.request)), end, tell)


KINDS: Mapping[Kind, Work] = {
    "estimate": make_estimate,
    "quote": make_quote,
    "revision": make_revision,
    "proof": prove_quote,
    "cut_plan": make_cut_plan,
    "repricing": run_repricing,
    "repricing_drafts": make_drafts,
    "paper": make_paper,
    "order_list": make_order_list,
}
