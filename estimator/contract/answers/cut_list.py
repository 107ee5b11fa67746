"""The plan of a cut list, lengths in the unit asked in."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from estimator.contract.answers.fields import DecimalText, Each, Number, OneWord, Truth, Values, Whole, Words
from estimator.contract.answers.writing import Answer, Entry, Telling
from estimator.contract.requests.cut_list import UNITS
from estimator.service.cut_lists import BarsAlike, CutList, CutListPlan


@dataclass(frozen=True, slots=True)
class AnsweredCutList:
    """A cut list, the unit it was posted in, and its plan."""

    unit: str
    asked: CutList
    plan: CutListPlan

    def shown(self, length: Fraction) -> float | int:
        """A length (mm) in the list's unit."""
        exact = length / UNITS[self.unit]
        return int(exact) if exact.denominator == 1 else round(float(exact), 6)


LENGTH = {"type": "number", "exclusiveMinimum": 0}


class CutBarSchema(Answer):
    """Bars cut alike."""

    record = tuple[AnsweredCutList, BarsAlike]
    stock = Number(
        "Length of the bar.",
        "unit",
        lambda it, _to: it[0].shown(it[0].asked.stocks[it[1].stock].length_mm),
        example=6000,
    )
    count = Whole("How many bars are cut like this.", "1.count", least=1, example=7)
    pieces = Values(
        "Lengths of the pieces, the longest first.",
        LENGTH,
        lambda it, _to: [it[0].shown(it[0].asked.pieces[at].length_mm) for at in it[1].pieces],
        **{"x-unit": "unit", "example": [1722, 1722, 1722]},
    )
    offcut = Number("What is left of each.", "unit", lambda it, _to: it[0].shown(it[1].offcut_mm), example=825)


class CutPlanAnswerSchema(Answer):
    """A cut list planned: lengths in the unit asked in."""

    record = AnsweredCutList
    unit = OneWord("The unit of all lengths.", tuple(UNITS))
    bars = Each(
        "The bars, those cut alike together.", CutBarSchema, lambda it, _to: [(it, bar) for bar in it.plan.bars]
    )
    cost = DecimalText("What the bars cost.", "plan.cost", example="381.71")
    lower_bound = DecimalText("No plan can cost less.", "plan.lower_bound", example="381.71")
    proven_optimal = Truth("Whether no cheaper plan can exist.", "plan.proven_optimal")
    waste = Number(
        "Saw dust and off-cuts as a share of the bars.",
        "1",
        lambda it, _to: round(it.plan.waste_share, 6),
        most=1,
        example=0.081,
    )
    seconds = Number("How long the search took.", "s", "plan.seconds", example=0.12)
    note = Words(
        "Said where lengths had to be rounded; left out elsewhere.",
        lambda it, _to: "lengths were rounded to tenths of a millimetre, to the safe side" if it.plan.rounded else None,
        optional=True,
        example="lengths were rounded to tenths of a millimetre, to the safe side",
    )


def cut_plan_answer(unit: str, asked: CutList, plan: CutListPlan) -> Entry:
    """A plan with its lengths in the unit asked in."""
    return CutPlanAnswerSchema.entry(AnsweredCutList(unit, asked, plan), Telling())
