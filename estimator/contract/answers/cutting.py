"""The cut plan as JSON: lengths in mm, money as decimal texts; runs and pieces count from 1."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from estimator.cutting.records import TENTHS_PER_MM, BarPattern, CutPlan, PlainMethod
from estimator.estimate import Estimate
from estimator.money import minor_digits
from estimator.pricing.rail_offers import kept_places

Entry = dict[str, Any]


def cut_plan_entry(estimate: Estimate, *, costs: bool) -> Entry:
    """Bars grouped by pattern, the cost beside its proven bound, and what plainer ways would take."""
    plan = estimate.cut_plan
    places = kept_places(estimate.book)
    least = minor_digits(estimate.book.currency)
    if plan is None:
        money = {"cost": in_money(0, places, least), "lower_bound": in_money(0, places, least)} if costs else {}
        return {"bars": [], **money, "proven_optimal": True, "waste": 0.0}
    entry: Entry = {
        "bars": [_bar(each, plan, places, least, costs=costs) for each in plan.bars],
        "proven_optimal": plan.proven_optimal,
        "waste": plan.waste_share,
        "pieces": plan.pieces,
        "cuts": plan.cuts,
        "splices": plan.splices,
        "expansion_splices": plan.expansion_splices,
        "bought_length": mm(plan.bought_length),
        "waste_length": mm(plan.waste_length),
        "reusable_length": mm(plan.reusable_length),
        "runs": list(plan.run_labels),
        "joints": [{"run": each.run + 1, "at": mm(each.at), "kind": each.kind} for each in plan.joints],
        "against": {
            each.name: _against(each, places, least, costs=costs)
            for each in (plan.against_rounded_up, plan.against_full_bars)
        },
    }
    if costs:
        for name in ("cost", "lower_bound", "gap", "bar_cost", "splice_cost", "expansion_cost", "offcut_value"):
            entry[name] = in_money(getattr(plan, name), places, least)
    return entry


def mm(tenths: int) -> float:
    """Whole tenths of a millimetre as mm."""
    return tenths / TENTHS_PER_MM


def in_money(units: int, places: int, least: int) -> str:
    """Whole smallest kept units as a decimal text, with at least the minor unit's places."""
    amount = Decimal(units).scaleb(-places)
    short = amount.quantize(Decimal(1).scaleb(-least))
    return f"{short if short == amount else amount:f}"


def _bar(bar: BarPattern, plan: CutPlan, places: int, least: int, *, costs: bool) -> Entry:
    entry: Entry = {
        "part": bar.part,
        "stock": mm(bar.stock_length),
        "count": bar.count,
        "pieces": [mm(each) for each in bar.pieces],
        "offcut": mm(bar.offcut),
        "reusable": bar.reusable,
        "cuts": bar.cuts,
        "from_yard": bar.from_yard,
        "labels": [
            [
                {
                    "run": each.run + 1,
                    "label": plan.run_labels[each.run],
                    "piece": each.number + 1,
                    "start": mm(each.start),
                    "length": mm(each.length),
                }
                for each in places_of_bar
            ]
            for places_of_bar in bar.labels
        ],
    }
    return entry | ({"price": in_money(bar.price, places, least), "price_from": bar.price_from} if costs else {})


def _against(plain: PlainMethod, places: int, least: int, *, costs: bool) -> Entry:
    entry: Entry = {
        "possible": plain.possible,
        "bars": plain.bars,
        "length": mm(plain.length),
        "splices": plain.splices,
    }
    return entry | ({"cost": in_money(plain.cost, places, least)} if costs else {})
