"""Quantity breaks of bars: what the plan is offered, and that it is charged what the bill charges."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.contract.answers.offer.offer import cut_plan_entry
from estimator.estimate import estimate
from estimator.job import Choices, LineChange
from estimator.orders import cut_together
from estimator.pricebook import PriceBreak, SpareRule
from estimator.pricing.rail_offers import bar_offers, bars_to_order
from tests.builders import a_book, a_choice, a_job, a_part, a_roof, an_array
from tests.orders.order_builders import a_rail_book, a_rail_quote

DAY = date(2026, 11, 25)
BAR = a_part("R6", "rail", "aluminium", 4.9, "60.00")


@pytest.mark.parametrize(
    ("pack", "spare", "quantity", "bars"),
    [
        (1, None, 100, 100),
        (10, None, 100, 91),  # 91 bars are ten packs of ten
        (10, None, 105, 101),  # 105 are not reached by ten packs
        (1, SpareRule(Decimal("0.02")), 100, 98),  # 98 and 2 spare (1.96 rounded up)
        (25, SpareRule(Decimal("0.10")), 100, 69),  # 69 and 7 spare are 76: four packs of 25
    ],
)
def test_a_break_is_reached_with_spares_and_whole_packs(pack, spare, quantity, bars):
    assert bars_to_order(replace(BAR, pack_size=pack, spare=spare), quantity, a_book()) == bars


def _book(*breaks, **part):
    """The fixture's book at cost, with breaks on the aluminium bars of 6 m and of 4.2 m alike."""
    book = a_book()
    found = tuple(PriceBreak(number, Decimal(cost)) for number, cost in breaks)
    names = ("R-AL-6000", "R-AL-4200")
    changed = {name: replace(book.parts[name], breaks=found, **part) for name in names}
    return replace(book, parts=book.parts | changed, pricing_method="markup", pricing_rate=Decimal(0))


def test_the_offer_holds_the_price_of_every_break():
    """39.00 for one, 30.00 from 20 on, 29.00 from 50 on; in the smallest unit the book keeps."""
    book = _book((20, "30.00"), (50, "29.00"))
    six = next(each for each in bar_offers(a_choice(book), book, Choices()) if each.part == "R-AL-6000")
    unit = 10**book.price_places
    assert six.price == 39 * unit
    assert [(each.from_bars, each.price) for each in six.breaks] == [(20, 30 * unit), (50, 29 * unit)]


@pytest.mark.parametrize(
    ("part", "changes"),
    [
        ({"list_price": Decimal("41.00")}, ()),
        ({}, (LineChange("R-AL-6000", unit_price=Decimal("40.00")),)),
        ({}, (LineChange("R-AL-6000", ordered=30),)),
    ],
)
def test_a_price_or_a_quantity_set_by_hand_and_a_list_price_know_no_break(part, changes):
    book = _book((20, "30.00"), **part)
    offers = bar_offers(a_choice(book), book, replace(Choices(), line_changes=changes))
    assert next(each for each in offers if each.part == "R-AL-6000").breaks == ()


def _job(rows=4):
    return a_job(a_roof(eave_length_mm=26_000.0, slope_length_mm=9_000.0, arrays=(an_array(rows=rows, columns=18),)))


@pytest.mark.parametrize("breaks", [(), ((5, "20.00"),), ((20, "24.00"), (30, "23.00")), ((1000, "1.00"),)])
def test_the_plan_costs_what_the_bill_charges_for_its_bars(breaks):
    found = estimate(_job(), _book(*breaks), Choices(), DAY)
    plan, unit = found.cut_plan, Decimal(10) ** -found.book.price_places
    lines = {each.line.part: each for each in found.bill.lines if each.line.role == "rail"}
    assert {each.part: each.count for each in plan.bars_by_length} == {
        part: each.line.ordered for part, each in lines.items()
    }
    for bars in plan.bars_by_length:
        assert bars.price * unit == lines[bars.part].unit_price
        assert bars.price_from == lines[bars.part].break_from
    assert plan.bar_cost * unit == sum(each.price.amount for each in lines.values())
    assert plan.lower_bound <= plan.cost == plan.bar_cost + plan.splice_cost - plan.offcut_value


def test_a_break_within_reach_makes_the_whole_plan_cheaper_and_says_its_level():
    """Where the bars of 4.2 m cost 27.30 and, from 5 on, 20.00, metres from short bars are the cheapest."""
    single = estimate(_job(), _book(), Choices(), DAY)
    broken = estimate(_job(), _book((5, "20.00")), Choices(), DAY)
    assert broken.cut_plan.cost < single.cut_plan.cost
    entry = cut_plan_entry(broken, costs=True)
    assert {each["price_from"] for each in entry["bars"]} == {5}
    assert all("price_from" not in each for each in cut_plan_entry(broken, costs=False)["bars"])


def test_quotes_cut_together_reach_a_break_that_each_alone_does_not():
    """Runs of 5.9 m, three and two: 5 bars of 6 m at 60.00, from 5 on 40.00. Alike bought apart or together: 200.00.

    The common plan is made at the price that the five of them reach: 5 x 40.00.
    """
    book = a_rail_book()
    cheap = replace(book.parts["R6"], breaks=(PriceBreak(5, Decimal("40.00")),))
    book = replace(book, parts=book.parts | {"R6": cheap})
    quotes = [a_rail_quote("Q-1", *[5900.0] * 3, book=book), a_rail_quote("Q-2", *[5900.0] * 2, book=book)]
    (common,) = cut_together(quotes)
    (bars,) = common.plan.bars_by_length
    assert (bars.count, bars.price_from) == (5, 5)
    assert common.plan.bar_cost == 5 * bars.price
    assert (common.together.bars_cost.amount, common.saving.amount, common.used) == (Decimal("200.00"), 0, False)
