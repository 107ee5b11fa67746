"""/v1/cut-plans: a cut list on its own, for a shop with no roof at all."""

from __future__ import annotations

from estimator.api.replies import Reply
from estimator.api.request import Request
from estimator.api.resources.operations import TAKEN_UP, at_once_or_later
from estimator.api.routes import Options, Routes
from estimator.contract.answers.cut_list import CutPlanAnswerSchema, cut_plan_answer
from estimator.contract.requests.cut_list import CutListSchema
from estimator.service.calculations import plan_cuts

PATIENCE = 600
"""Seconds that an operation searches for a cut plan, unless it is proven before."""
routes = Routes("Cut plans", "Pieces into bars at the least cost, with the proof beside it.")


@routes.add(
    "POST",
    "/cut-plans",
    "cut-plans:make",
    "Plan pieces into bars; nothing is stored",
    Options(body=CutListSchema, gives={200: CutPlanAnswerSchema, **TAKEN_UP}, creates=True, unversioned=True),
)
def post_cut_plan(request: Request) -> Reply:
    """The cheapest plan and its proof; as an operation it is searched for until proven, ten minutes at most."""
    unit, cut_list = request.body

    def at_once() -> Reply:
        return Reply(cut_plan_answer(unit, cut_list, request.context.calculate(plan_cuts, cut_list, None)))

    return at_once_or_later(request, "cut_plan", {"cut_list": request.document, "seconds": PATIENCE}, None, at_once)
