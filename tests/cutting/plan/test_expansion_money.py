"""Expansion splices in the money of the cut plan: their number is fixed, so they are a constant on both sides."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.contract.answers.offer.offer import cut_plan_entry
from estimator.cutting import CutRun, JointRules, Saw, Stock, plan_cuts, plan_order
from estimator.estimate import estimate
from estimator.job import Choices
from estimator.places import Place
from estimator.pricebook import Condition, LabourActivity
from estimator.pricing.rail_offers import expansion_cost, splice_cost
from tests.builders import a_book, a_choice, a_job, a_rail, a_roof, an_array

BAR = Stock("R6", 60_000, 6000)
SAW = Saw(kerf=30)
PARTS = JointRules(100.0, 500.0, 1, 7000.0)


def _run(label, length):
    return CutRun(
        Place(part=label), length, tuple(400.0 + 1200.0 * k for k in range(int((length - 400.0) // 1200.0) + 1))
    )


def test_two_expansion_splices_cost_the_same_in_the_plan_the_bound_and_the_plain_ways():
    """20 m in parts of 7 m at most: 3 parts, 2 expansion splices at 9.00, 18.00 on top of everything else."""
    runs = [_run("row 1", 20_000.0)]
    bare = plan_cuts(runs, [BAR], PARTS, SAW, 500)
    plan = plan_cuts(runs, [BAR], PARTS, SAW, 500, expansion_price=900)
    assert (plan.expansion_splices, plan.expansion_cost) == (2, 1800)
    assert plan.cost == bare.cost + 1800 == plan.bar_cost + plan.splice_cost + 1800 - plan.offcut_value
    assert plan.lower_bound == bare.lower_bound + 1800
    assert plan.against_rounded_up.cost == bare.against_rounded_up.cost + 1800
    assert plan.against_full_bars.cost == bare.against_full_bars.cost + 1800
    assert (plan.bars, plan.gap, plan.proven_optimal) == (bare.bars, bare.gap, bare.proven_optimal)


def test_where_bars_give_no_plain_way_none_gets_a_cost():
    plan = plan_cuts([_run("row 1", 13_000.0)], [replace(BAR, length=70_000, available=9)], PARTS, SAW, 500, None, 900)
    assert plan.expansion_splices == 1
    assert (plan.against_rounded_up.possible, plan.against_rounded_up.cost) == (False, 0)


def test_cutting_together_saves_nothing_on_expansion_splices():
    jobs = [("Barn", [_run("row 1", 20_000.0)]), ("Hall", [_run("row 1", 13_000.0)])]
    bare = plan_order(jobs, [BAR], PARTS, SAW, 500)
    order = plan_order(jobs, [BAR], PARTS, SAW, 500, expansion_price=900)
    assert order.together.expansion_cost == sum(plan.expansion_cost for plan in order.apart) == 2700
    assert order.saving == bare.saving


def _book(minutes="6"):
    """An expansion splice at 4.80 with a jumper at 1.90; six minutes at 48.00 an hour: 4.80."""
    fit = LabourActivity(
        "fit-expansion", "Fit an expansion splice", Decimal(minutes), "expansion_splices", 1, Condition()
    )
    return replace(
        a_book(), labour=(fit,), labour_rate=Decimal("48.00"), pricing_method="markup", pricing_rate=Decimal(0)
    )


@pytest.mark.parametrize(("labour", "cents"), [(False, 670), (True, 1150)])
def test_an_expansion_splice_costs_its_part_its_jumper_and_its_labour(labour, cents):
    """4.80 + 1.90 = 6.70; with 6 / 60 h x 48.00 = 4.80 of labour 11.50."""
    book = _book()
    found = expansion_cost(a_choice(book), book, replace(Choices(), labour=labour))
    assert found * 10 ** -(max(book.price_places, 2) - 2) == cents
    assert splice_cost(a_choice(book), book, Choices()) != found


def test_the_bill_counts_an_expansion_splice_once_and_the_plan_states_its_cost_beside():
    """18 modules in a row, rails parted every 9 m at most: the bill is that of the parts, whatever the plan says."""
    book = _book("0")
    short = a_rail(max_continuous_length_mm=9_000.0)
    book = replace(book, rails={**book.rails, short.rail: short})
    job = a_job(a_roof(eave_length_mm=26_000.0, arrays=(an_array(rows=2, columns=18),)))
    found = estimate(job, book, Choices(), date(2026, 11, 25))
    plan = found.cut_plan
    assert plan.expansion_splices > 0
    (line,) = [each for each in found.bill.lines if each.line.part == "XP-AL"]
    assert line.line.net == plan.expansion_splices
    assert found.bill.totals.parts.amount == sum(each.price.amount for each in found.bill.lines)
    entry = cut_plan_entry(found, costs=True)
    each = Decimal("6.70")
    assert Decimal(entry["expansion_cost"]) == plan.expansion_splices * each
    whole = sum(Decimal(entry[name]) for name in ("bar_cost", "splice_cost", "expansion_cost"))
    assert Decimal(entry["cost"]) == whole - Decimal(entry["offcut_value"])
    assert "expansion_cost" not in cut_plan_entry(found, costs=False)
