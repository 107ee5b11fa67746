"""/v1/cut-plans: a cut list on its own, for a shop with no roof at all."""

from __future__ import annotations

from estimator.api.replies import Reply
from estimator.api.request import Request
from estimator.api.routes import Options, Routes
from estimator.contract.answers.cut_list import CutPlanAnswerSchema, cut_plan_answer
from estimator.contract.requests.cut_list import CutListSchema
from estimator.service.cut_lists import plan_cut_list

routes = Routes("Cut plans", "Pieces into bars at the least cost, with the proof beside it.")


@routes.add(
    "POST",
    "/cut-plans",
    "cut-plans:make",
    "Plan pieces into bars; nothing is stored",
    Options(body=CutListSchema, gives={200: CutPlanAnswerSchema}),
)
def post_cut_plan(request: Request) -> Reply:
    """The cheapest plan and its proof."""
    unit, cut_list = request.body
    return Reply(cut_plan_answer(unit, cut_list, plan_cut_list(cut_list)))
