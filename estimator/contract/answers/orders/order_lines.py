"""The lines of an order, and rails of several quotes cut together."""

from __future__ import annotations

from typing import get_args

from estimator.contract.answers.fields import (
    Date,
    DecimalText,
    Each,
    Mass,
    MoneyText,
    Number,
    One,
    OneWord,
    Truth,
    Whole,
    Words,
    texts,
)
from estimator.contract.answers.writing import Answer
from estimator.orders import CommonCut, OffcutHeap, OrderLine
from estimator.orders.records import Bars, Changing, CutCost, QuoteShare


class QuoteShareSchema(Answer):
    """How many of a part one quote requires."""

    record = QuoteShare
    quote = Words("The quote's number and revision.", example="Q-2027-00042")
    required = Whole("How many.", example=490)


class OrderLineSchema(Answer):
    """One part to order: required over all quotes, less stock, rounded to packs once."""

    record = OrderLine
    part = Words("The part.", example="XB-40")
    supplier_part = Words("The supplier's number for it.", example="4711-40")
    description = Words("The part in words.", example="Bracket, aluminium")
    role = Words("What it is for.", example="bracket")
    unit = Words("The unit of its quantities by UNECE Recommendation 20.", example="C62")
    required = Whole("How many all quotes require, with spares.", example=490)
    from_stock = Whole("How many come from stock.", example=0)
    pack_size = Whole("How many are sold together.", least=1, example=100)
    packs = Whole("How many packs are ordered; below zero where a change takes some back.", least=None, example=5)
    ordered = Whole(
        "How many are ordered; in a change of an order the difference, below zero where less is wanted.",
        least=None,
        example=500,
    )
    before = Whole("How many were on order before; null in an order that changes none.", null=True, example=450)
    change = OneWord("What becomes of a line in a change of an order; empty in others.", get_args(Changing))
    unit_cost = DecimalText("Cost of one at the price break of the ordered quantity.", example="0.11")
    cost = MoneyText("Cost of the line.", example="55.00")
    mass = Mass("Mass of what is ordered.", "mass_kg", example=10.5)
    length = Number("Length of a bar; null for other parts.", "mm", "length_mm", null=True, example=4267.0)
    country_of_origin = Words("Where it is made, by ISO 3166-1; empty where unknown.", example="DE")
    order_by = Date(
        "The last day to order it for the first site that needs it; null without a date of need.",
        null=True,
    )
    shares = Each("What each quote requires.", QuoteShareSchema)
    why = texts("How the quantity came about, in sentences.", example=["490 required, 5 packs of 100"])
    sawn = texts(
        "What off-cuts from the yard are cut into, and for which quotes; empty for what is bought.",
        example=["1 sawn into 1 × 2000 mm for Q-2027-00042"],
    )
    stands = texts(
        "By whose word less than the counts require, or far more, is ordered.",
        example=["Q-2027-00042: 80 ordered, 120 by the counts; overridden by Estimating desk: the rest is in the yard"],
    )


class OffcutHeapSchema(Answer):
    """Off-cuts of one rail and length in the house's own yard."""

    record = OffcutHeap
    rail = Words("The rail they are pieces of.", example="XR-38")
    part = Words("The part they stand as in lines and cut plans.", example="XR-38-offcut-3960")
    length = Number("Length of one.", "mm", "length_mm", example=3960.0)
    price = DecimalText("What one counts for where bars are chosen.", example="4.00")
    count = Whole("How many there are; in a change of an order with what the order took before.", example=2)
    used = Whole("How many the order takes.", example=1)
    left = Whole(
        "How many stay in the yard; below zero where the quotes' own plans take more than there are.",
        least=None,
        example=1,
    )


class OrderedBarsSchema(Answer):
    """Bars of one part."""

    record = Bars
    part = Words("The part.", example="XR-38-4267")
    length = Number("Length of a bar.", "mm", "length_mm", example=4267.0)
    count = Whole("How many.", example=58)


class CutCostSchema(Answer):
    """What one way of cutting takes."""

    record = CutCost
    bars = Whole("Bars to buy; off-cuts from the yard are none.", example=58)
    length = Number("Length of these bars.", "mm", "length_mm", example=247486.0)
    reusable = Number("Off-cuts long enough to keep.", "mm", "reusable_mm", example=2100.0)
    splices = Whole("Rigid splices.", example=36)
    bars_cost = MoneyText("What the bars cost as they are bought.", example="1241.20")
    offcut_value = MoneyText("The value of off-cuts kept.", example="27.80")


class CommonCutSchema(Answer):
    """One rail cut over several quotes: what it takes, what apart would take, and the saving."""

    record = CommonCut
    rail = Words("The rail.", example="XR-38")
    quotes = texts("The quotes whose runs are cut together.", example=["Q-2027-00042", "Q-2027-00043"])
    used = Truth("Whether it is used: false where cutting apart costs no more.")
    why = texts("Why it is used, or not.", example=[])
    joints_moved = Truth("Whether runs are joined elsewhere than the quotes' setting-out sheets say.", example=False)
    bars = Each("The bars it takes.", OrderedBarsSchema)
    together = One("What cutting together takes.", CutCostSchema)
    apart = One("What cutting apart would take.", CutCostSchema)
    saving = MoneyText("What cutting together saves.", example="42.80")
    bars_saved = Whole(
        "Bars fewer to buy; below zero where more short ones take the place of long ones.", least=None, example=2
    )
    length_saved = Number("Length of bars fewer to buy.", "mm", "length_saved_mm", least=None, example=8534.0)
    proven_optimal = Truth("Whether no cheaper common plan can exist.", "plan.proven_optimal")
