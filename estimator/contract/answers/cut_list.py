"""The plan of a cut list as JSON, lengths in the unit asked in."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from estimator.contract.requests.cut_list import UNITS
from estimator.service.cut_lists import CutList, CutListPlan


def cut_plan_answer(unit: str, asked: CutList, plan: CutListPlan) -> dict[str, Any]:
    """A plan with its lengths in the unit asked in."""
    factor = UNITS[unit]

    def shown(length: Fraction) -> float | int:
        exact = length / factor
        return int(exact) if exact.denominator == 1 else round(float(exact), 6)

    return {
        "unit": unit,
        "bars": [
            {
                "stock": shown(asked.stocks[bar.stock].length_mm),
                "count": bar.count,
                "pieces": [shown(asked.pieces[at].length_mm) for at in bar.pieces],
                "offcut": shown(bar.offcut_mm),
            }
            for bar in plan.bars
        ],
        "cost": f"{plan.cost:f}",
        "lower_bound": f"{plan.lower_bound:f}",
        "proven_optimal": plan.proven_optimal,
        "waste": round(plan.waste_share, 6),
        "seconds": plan.seconds,
    } | ({"note": "lengths were rounded to tenths of a millimetre, to the safe side"} if plan.rounded else {})
