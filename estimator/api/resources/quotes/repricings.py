"""/v1/repricings: open quotes against another edition; a report, its workbook, and drafts of those chosen."""

from __future__ import annotations

from flask import Response

from estimator.api.replies import Reply, send_bytes
from estimator.api.request import Request
from estimator.api.resources.operations import TAKEN_UP, accepted
from estimator.api.routes import Options, Routes
from estimator.contract.answers.quotes.repricings import RepricingAnswerSchema, repricing_entry
from estimator.contract.requests.repricings import ApplyRepricingSchema, RepricingRequestSchema
from estimator.documents.paper import XLSX
from estimator.service.quoting.repricing import repricings as service
from estimator.service.quoting.repricing.repricings import RepricingRequest
from estimator.service.quoting.repricing.tables import workbook_of

routes = Routes("Re-pricing", "What open quotes would cost by another edition, and why; it changes no quote.")


@routes.add(
    "POST",
    "/repricings",
    "repricings:make",
    "Hold open quotes against another edition: an operation that ends in a report",
    Options(body=RepricingRequestSchema, gives=TAKEN_UP, creates=True, unversioned=True),
)
def post_repricing(request: Request) -> Reply:
    """Start a re-pricing."""
    body = request.body
    on = body["priced_on"] or request.context.today()
    asked = RepricingRequest(
        body["pricebook"], body["edition"], on, tuple(body["states"]), tuple(dict.fromkeys(body["quotes"]))
    )
    return request.once(accepted, lambda store: service.post_repricing(request.context, request.client, asked, store))


@routes.add(
    "GET",
    "/repricings/<repricing_id>",
    "repricings:make",
    "The report, as far as it is done",
    Options(gives={200: RepricingAnswerSchema}, unversioned=True),
)
def get_repricing(request: Request) -> Reply:
    """The report quote by quote, and its sums."""
    return Reply(repricing_entry(service.get_repricing(request.context, request.client, request.path["repricing_id"])))


@routes.add(
    "GET",
    "/repricings/<repricing_id>/workbook.xlsx",
    "repricings:make",
    "The report as a workbook",
    Options(documents=(XLSX,)),
)
def get_repricing_workbook(request: Request) -> Response:
    """A sheet with a row for each quote."""
    found = service.get_repricing(request.context, request.client, request.path["repricing_id"])
    return send_bytes(request.context.on_paper(workbook_of, found), XLSX, f"repricing-{found.edition}.xlsx")


@routes.add(
    "POST",
    "/repricings/<repricing_id>/apply",
    "quotes:write",
    "Make draft revisions of the quotes chosen, as the report prices them",
    Options(body=ApplyRepricingSchema, gives=TAKEN_UP, creates=True, unversioned=True),
)
def apply_repricing(request: Request) -> Reply:
    """Start making drafts; each quote gets one, however often this is asked."""
    chosen = tuple(dict.fromkeys(request.body["quotes"]))
    return request.once(
        accepted,
        lambda store: service.apply_repricing(
            request.context, request.client, request.path["repricing_id"], chosen, store
        ),
    )
