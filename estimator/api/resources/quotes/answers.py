"""A stored quote as JSON, from what is kept beside it; and its parts on their own."""

from __future__ import annotations

from collections.abc import Callable

from flask import Response
from flask import request as http_request

from estimator.api.replies import Reply, not_modified
from estimator.api.request import Request
from estimator.api.routes import Options, Routes
from estimator.contract.answers.offer.summary import PART_SCHEMAS
from estimator.contract.answers.quotes.quotes import answer_forms, etag
from estimator.contract.requests.queries import PARTS
from estimator.service.context import AnswerForm
from estimator.service.quoting.stored.answers import quote_answer, quote_version

routes = Routes("Parts of quotes", "What a quote's answer has beyond its summary, each on its own.")
ABOUT = {
    "runs": "Every run and attachment with its place",
    "loads": "Every pressure with its factors and clauses",
    "reactions": "What the array puts on the building, by zone and purlin line",
    "cut_plan": "How the bars are cut",
    "derivations": "How the quantity of each line came about",
    "choices": "What the tool chose, and why",
    "all_checks": "Every check; the summary has the most serious ones",
}


def form_of(request: Request) -> AnswerForm:
    """How parts of quotes are written for who asks."""
    costs = request.may("costs:read")
    return next(form for form in answer_forms() if form.costs == costs)


def unchanged(request: Request) -> Response | None:
    """304 where the client has the quote as it is; nothing of it is read for that but its version and state."""
    if not http_request.if_none_match:
        return None
    version, state = quote_version(request.context, request.client, request.path["quote_id"])
    return not_modified(etag(version, state))


def _declare(name: str) -> None:
    def view(request: Request) -> Reply | Response:
        known = unchanged(request)
        if known is not None:
            return known
        answer = quote_answer(request.context, request.client, request.path["quote_id"], (name,), form_of(request))
        return Reply(answer.parts[name], 200, etag(answer.version, answer.state))

    view.__name__ = f"get_quote_{name}"
    declare: Callable[[Callable[[Request], Reply | Response]], object] = routes.add(
        "GET",
        f"/quotes/<quote_id>/{name.replace('_', '-')}",
        "quotes:read",
        ABOUT[name],
        Options(gives={200: PART_SCHEMAS[name]}),
    )
    declare(view)


for each in PARTS:
    _declare(each)
