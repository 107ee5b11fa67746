"""The house: what its roles may offer on their own."""

from __future__ import annotations

from flask import Response

from estimator.contract.faults import read
from estimator.contract.problems.documents import Problem, problem_of
from estimator.contract.requests.policy import PolicySchema
from estimator.errors import EstimatorError, Fault, Refused
from estimator.service.access import policy as service
from estimator.service.context import store_nothing
from estimator.storage.roles import ROLES
from estimator.web.forms.policy_form import Document, document_of, limit_rows
from estimator.web.routes import Pages
from estimator.web.visits import Visit, sent_on

pages = Pages()


@pages.get("/policy", "policy:read")
def show_policy(visit: Visit) -> Response:
    """What each role may offer on its own."""
    policy = service.get_policy(visit.context, visit.client)
    return _policy(visit, policy.document, policy.version)


@pages.post("/policy", "policy:write")
def change_policy_page(visit: Visit) -> Response:
    """Other limits from now on, if nobody else has changed them since the form was shown."""
    kept = service.get_policy(visit.context, visit.client)
    document = document_of(visit.form, kept.document, ROLES)
    version = int(visit.form.get("version", "0")[:9]) if visit.form.get("version", "").isdecimal() else 0
    try:
        read(PolicySchema(), document)
        service.put_policy(visit.context, visit.client, version, document, store_nothing)
    except EstimatorError as refusal:
        faults = refusal.faults if isinstance(refusal, Refused) else ()
        return _policy(visit, document, kept.version, problem_of(refusal), visit.at_fields(faults))
    return sent_on("/policy?done=yes")


def _policy(
    visit: Visit, document: Document, version: int, problem: Problem | None = None, faults: tuple[Fault, ...] = ()
) -> Response:
    rows = limit_rows(document, ROLES, faults)
    told = {"rows": rows, "policy": document, "version": version, "done": visit.args.get("done", "")}
    return visit.page("policy.html", problem.status if problem else 200, problem=problem, **told)
