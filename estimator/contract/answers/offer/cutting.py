"""The cut plan: lengths in mm, money as decimal texts; runs and pieces count from 1."""

from __future__ import annotations

from decimal import Decimal
from operator import attrgetter
from typing import Any

from estimator.contract.answers.fields import (
    AllPlaced,
    ByName,
    Counted,
    Each,
    EachOfEach,
    MoneyText,
    Number,
    OneWord,
    Tenths,
    Truth,
    Values,
    Whole,
    Words,
)
from estimator.contract.answers.writing import Answer
from estimator.cutting.records import TENTHS_PER_MM, BarPattern, CutPlan, Joint, PiecePlace, PlainMethod


def mm(tenths: int) -> float:
    """Whole tenths of a millimetre as mm."""
    return tenths / TENTHS_PER_MM


def in_money(units: int, places: int, least: int) -> str:
    """Whole smallest kept units as a decimal text, with at least the minor unit's places."""
    amount = Decimal(units).scaleb(-places)
    short = amount.quantize(Decimal(1).scaleb(-least))
    return f"{short if short == amount else amount:f}"


def _amount(about: str, path: str, **more: Any) -> MoneyText:
    get = attrgetter(path)
    return MoneyText(about, lambda it, to: in_money(get(it), to.places, to.least), ready=True, costs=True, **more)


NO_WAY = {name: PlainMethod(name, True, 0, 0, 0, 0) for name in ("rounded_up", "full_bars")}
NO_RAILS = CutPlan(
    bars=(), joints=(), cost=0, lower_bound=0, pieces=0, cuts=0, splices=0, expansion_splices=0, bars_by_length=(),
    run_places=(), bought_length=0, waste_length=0, reusable_length=0, bar_cost=0, splice_cost=0, offcut_value=0,
    against_rounded_up=NO_WAY["rounded_up"], against_full_bars=NO_WAY["full_bars"],
)  # fmt: skip
"""The plan of a job without rails: nothing to cut, proven."""


class PieceSchema(Answer):
    """Where one piece of a bar goes."""

    record = PiecePlace
    run = Counted("The number of its run in ``runs``, from 1.")
    label = Words("The label of its run.", lambda it, to: to.run_labels[it.run], example="South / A / row 1 / rail 1")
    piece = Counted("Which piece of its run it is.", "number")
    start = Tenths("Where it starts in its run.", "mm", "start", example=0.0)
    length = Tenths("Its length.", "mm", "length", example=4267.0)


class BarSchema(Answer):
    """Bars cut alike; a bar without pieces is bought to reach a price.

    A bar's price holds from ``price_from`` bars of its part on (0: from the first).
    """

    record = BarPattern
    part = Words("The bar's part.", "part", example="XR-38-4267")
    stock = Tenths("Length of the bar as bought.", "mm", "stock_length", example=4267.0)
    count = Whole("How many bars are cut like this.", "count", least=1, example=6)
    pieces = Values(
        "Lengths of the pieces in cutting order.",
        {"type": "number", "exclusiveMinimum": 0},
        lambda it, _to: [each / TENTHS_PER_MM for each in it.pieces],
        **{"x-unit": "mm", "example": [2400.0, 1800.0]},
    )
    offcut = Tenths("What is left.", "mm", "offcut", example=61.0)
    reusable = Truth("Whether what is left is long enough to keep.", "reusable", example=False)
    cuts = Whole("Saw cuts in one bar.", "cuts", example=2)
    from_yard = Truth("Whether the bar is one that the house has on hand.", "from_yard", example=False)
    labels = EachOfEach("For each of the bars, where each of its pieces goes.", PieceSchema)
    price = _amount("Price of one bar.", "price", example="21.40")
    price_from = Whole("From how many bars on that price holds.", "price_from", costs=True, example=50)


class JointSchema(Answer):
    """Two pieces of a run meet here."""

    record = Joint
    run = Counted("The number of its run in ``runs``, from 1.")
    at = Tenths("Where, from the start of the run.", "mm", "at", example=4267.0)
    kind = OneWord("A rigid splice, or one that lets the rail move.", ("splice", "expansion"))


class PlainMethodSchema(Answer):
    """What a plainer way of buying bars would take."""

    record = PlainMethod
    possible = Truth("Whether every run can be made this way.")
    bars = Whole("Bars.", example=30)
    length = Tenths("Length of all bars.", "mm", "length", example=128010.0)
    splices = Whole("Rigid splices.", example=20)
    cost = _amount("Bars and splices.", "cost", example="690.20")


class CutPlanSchema(Answer):
    """Bars grouped by pattern, lengths in mm; cost and bound only for roles that see costs.

    The cost is that of bars, splices and expansion splices, less the value of off-cuts kept.
    """

    record = CutPlan
    bars = Each("The bars, those cut alike together.", BarSchema)
    proven_optimal = Truth("Whether no cheaper plan can exist under the same rules.")
    kept = OneWord(
        "How much of it is the plan of the revision before, which nothing cheaper took the place of at today's prices.",
        ("none", "part", "whole"),
    )
    waste = Number(
        "Saw dust and off-cuts too short to keep, as a share of the bought length.",
        "1",
        "waste_share",
        most=1,
        example=0.031,
    )
    pieces = Whole("Pieces.", example=30)
    cuts = Whole("Saw cuts.", example=22)
    splices = Whole("Rigid splices.", example=18)
    expansion_splices = Whole("Splices that let the rail move.", example=2)
    bought_length = Tenths("Length of all bars.", "mm", "bought_length", example=119476.0)
    waste_length = Tenths("Saw dust and off-cuts too short to keep.", "mm", "waste_length", example=3704.0)
    reusable_length = Tenths("Off-cuts long enough to keep.", "mm", "reusable_length", example=2100.0)
    runs = Values(
        "Labels of the runs, in the order that joints and pieces number them from 1.",
        {"type": "string"},
        lambda _it, to: list(to.run_labels),
        example=["South / A / row 1 / rail 1", "South / A / row 1 / rail 2"],
    )
    places = AllPlaced(
        "The places of the runs, in the same order.",
        "run_places",
        example=[{"roof": "South", "array": "A", "row": 1, "rail": 1}],
    )
    joints = Each("Where pieces meet.", JointSchema)
    against = ByName(
        "What plainer ways of buying would take.",
        lambda it, _to: [(each.name, each) for each in (it.against_rounded_up, it.against_full_bars)],
        schema=PlainMethodSchema,
    )
    cost = _amount("Bars and splices, less the value of off-cuts kept.", "cost", example="612.80")
    lower_bound = _amount("No plan under the same rules can cost less.", "lower_bound", example="612.80")
    gap = _amount("By how much a plan could at most be cheaper.", "gap", example="0.00")
    bar_cost = _amount("The bars.", "bar_cost", example="599.20")
    splice_cost = _amount("The rigid splices.", "splice_cost", example="32.40")
    expansion_cost = _amount("The splices that let the rail move.", "expansion_cost", example="9.00")
    offcut_value = _amount("The value of off-cuts kept.", "offcut_value", example="27.80")
