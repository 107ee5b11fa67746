"""Open quotes held against another edition: begun on an edition's page, watched, and made drafts of where wanted."""

from __future__ import annotations

from flask import Response

from estimator.contract.faults import read
from estimator.contract.requests.repricings import ApplyRepricingSchema, RepricingRequestSchema
from estimator.documents.paper import XLSX
from estimator.service import operations
from estimator.service.access.scopes import sees_all_operations
from estimator.service.context import store_nothing
from estimator.service.quoting.repricing import repricings
from estimator.service.quoting.repricing.repricings import RepricingRequest
from estimator.service.quoting.repricing.tables import workbook_of
from estimator.web.routes import Pages
from estimator.web.visits import Visit, document, sent_on

pages = Pages()
MOST_SHOWN = 1_000


@pages.post("/pricebooks/<pricebook>/<edition>/repricing", "repricings:make")
def begin_repricing(visit: Visit) -> Response:
    """Every open quote against this edition, from a day on which it is in force."""
    posted = {"pricebook": visit.path["pricebook"], "edition": visit.path["edition"]}
    if visit.form.get("priced_on"):
        posted["priced_on"] = visit.form["priced_on"]
    body = read(RepricingRequestSchema(), posted)
    on = body["priced_on"] or visit.context.today()
    asked = RepricingRequest(body["pricebook"], body["edition"], on, tuple(body["states"]))
    begun = repricings.post_repricing(visit.context, visit.client, asked, store_nothing)
    return sent_on(f"/repricings/{repricings.repricing_of(visit.context, visit.client, begun.id)}")


@pages.get("/repricings/<repricing_id>", "repricings:make")
def show_repricing(visit: Visit) -> Response:
    """How far it is, and what it found so far."""
    found = repricings.get_repricing(visit.context, visit.client, visit.path["repricing_id"])
    operation = operations.get_operation(
        visit.context, visit.client, found.operation_id, every=sees_all_operations(visit.client)
    )
    running = operation.finished_at is None
    return visit.page(
        "repricing.html", found=found, operation=operation, running=running, quotes=found.quotes[:MOST_SHOWN],
        drafting=visit.args.get("drafting"),
    )  # fmt: skip


@pages.get("/repricings/<repricing_id>/workbook.xlsx", "repricings:make")
def show_repricing_workbook(visit: Visit) -> Response:
    """The report as a workbook."""
    found = repricings.get_repricing(visit.context, visit.client, visit.path["repricing_id"])
    return document(visit.context.on_paper(workbook_of, found), XLSX, f"repricing-{found.edition}.xlsx")


@pages.post("/repricings/<repricing_id>/drafts", "quotes:write")
def make_repriced_drafts(visit: Visit) -> Response:
    """Draft revisions of the quotes that are ticked, as the report prices them."""
    chosen = read(ApplyRepricingSchema(), {"quotes": visit.form.getlist("quote")})["quotes"]
    repricings.apply_repricing(
        visit.context, visit.client, visit.path["repricing_id"], tuple(dict.fromkeys(chosen)), store_nothing
    )
    return sent_on(f"/repricings/{visit.path['repricing_id']}?drafting=1")
