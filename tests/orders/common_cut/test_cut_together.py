"""Quotes of one order cut together: the saving by hand, joints where they were set out, and what stays apart."""

from collections import Counter
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.cutting import Effort
from estimator.errors import Refused
from estimator.job import LineChange
from estimator.orders import cut_together, make_order_lists
from estimator.pricebook import BarStock, PriceBreak
from tests.facts import refusing
from tests.orders.order_builders import TODAY, a_rail_book, a_rail_quote


def _bars(lists):
    return {line.part: line.ordered for each in lists.lists for line in each.lines if line.role == "rail"}


def test_what_two_quotes_leave_of_their_bars_is_used_for_each_other():
    """Runs of 4,000 and 2,000 mm.

    Apart: one bar of 4.2 m each (45.00), 90.00 in all. Together: one bar of 6 m, 60.00. 30.00, one bar and 2.4 m saved.
    """
    quotes = [a_rail_quote("Q-1", 4000.0), a_rail_quote("Q-2", 2000.0)]
    heard: list[tuple[int, int]] = []
    (common,) = cut_together(quotes, watch=lambda done, total: heard.append((done, total)))
    assert common.used and heard == [(0, 1), (1, 1)]
    assert [(each.part, each.count) for each in common.bars] == [("R6", 1)]
    assert (common.saving.amount, common.bars_saved, common.length_saved_mm) == (Decimal("30.00"), 1, 2400.0)
    assert (common.apart.bars_cost.amount, common.together.bars_cost.amount) == (Decimal("90.00"), Decimal("60.00"))
    assert _bars(make_order_lists(quotes, {}, TODAY)) == {"R4": 2}
    together = make_order_lists(quotes, {}, TODAY, [common])
    assert _bars(together) == {"R6": 1}
    assert together.together == (common,)
    (line,) = together.lists[0].lines
    assert line.why == ("1 for Q-1 + Q-2, cut together",)


def test_the_order_costs_less_by_exactly_the_saving_stated():
    quotes = [a_rail_quote("Q-1", 4000.0, 5900.0), a_rail_quote("Q-2", 2000.0, 3100.0), a_rail_quote("Q-3", 2900.0)]
    common = cut_together(quotes)
    apart, together = make_order_lists(quotes, {}, TODAY), make_order_lists(quotes, {}, TODAY, common)
    assert apart.lists[0].total - together.lists[0].total == common[0].saving
    assert common[0].saving.amount > 0


def test_breaks_that_whole_orders_reach_are_in_the_saving():
    """Two bars of 4.2 m reach a break at 25.00 each: 50.00 apart, 60.00 together, so the plans stay apart."""
    book = a_rail_book()
    cheap = replace(book.parts["R4"], breaks=(PriceBreak(2, Decimal("25.00")),))
    book = replace(book, parts=book.parts | {"R4": cheap})
    (common,) = cut_together([a_rail_quote("Q-1", 4000.0, book=book), a_rail_quote("Q-2", 2000.0, book=book)])
    assert (common.used, common.why[-1], common.saving.amount) == (False, "cutting together saves nothing", 0)
    assert _bars(make_order_lists([a_rail_quote("Q-1", 4000.0, book=book)], {}, TODAY, [common])) == {"R4": 1}


def test_joints_stay_where_the_setting_out_says_and_splices_do_not_grow():
    quotes = [a_rail_quote("Q-1", 9000.0, 4000.0), a_rail_quote("Q-2", 7400.0, 2000.0)]
    (common,) = cut_together(quotes)
    plans = [quote.estimate.cut_plan for quote in quotes]
    assert not common.joints_moved
    assert common.plan.splices == sum(plan.splices for plan in plans) == len(common.plan.joints)
    for plan, offset in zip(plans, common.run_offsets, strict=True):
        for joint in plan.joints:
            assert replace(joint, run=joint.run + offset) in common.plan.joints
    assert [(place.quote, place.part) for place in common.plan.run_places] == [
        ("Q-1", "row 1"),
        ("Q-1", "row 2"),
        ("Q-2", "row 1"),
        ("Q-2", "row 2"),
    ]


def test_where_joints_may_move_no_quote_needs_a_splice_more_than_it_has_ordered():
    quotes = [a_rail_quote("Q-1", 9000.0, 4000.0, 7000.0), a_rail_quote("Q-2", 7400.0, 2000.0)]
    (kept,), (moved,) = cut_together(quotes), cut_together(quotes, move_joints=True)
    assert moved.plan.cost <= kept.plan.cost
    (again,) = cut_together(quotes, move_joints=True, effort=Effort(1), before=(moved.plan,))
    assert (again.plan.cost, again.plan.joints) == (moved.plan.cost, moved.plan.joints)
    bounds = (*moved.run_offsets, len(moved.plan.run_places))
    for at, quote in enumerate(quotes):
        joints = [joint for joint in moved.plan.joints if bounds[at] <= joint.run < bounds[at + 1]]
        assert sum(joint.kind == "splice" for joint in joints) <= quote.estimate.cut_plan.splices
    codes = [finding.code for finding in make_order_lists(quotes, {}, TODAY, [moved]).findings]
    assert ("order_joints_moved" in codes) == (moved.used and moved.joints_moved)


@pytest.mark.parametrize(
    "other",
    [
        {"kerf_mm": 3.0},
        {"rail": "R-OTHER"},
        {"area_mm2": 310.0},
        {"splice_clear_of_attachment_mm": 80.0},
        {"stocks": ("R4",)},
        {"changes": (LineChange("R4", ordered=3),)},
        {"changes": (LineChange("R4", struck=True),)},
    ],
)
def test_another_rail_other_bars_and_bars_set_by_hand_stay_apart(other):
    assert cut_together([a_rail_quote("Q-1", 4000.0), a_rail_quote("Q-2", 2000.0, **other)]) == ()


def test_a_quote_that_stays_apart_keeps_its_own_bars_beside_the_common_ones():
    by_hand = a_rail_quote("Q-3", 4000.0, changes=(LineChange("R4", ordered=3),))
    quotes = [a_rail_quote("Q-1", 4000.0), a_rail_quote("Q-2", 2000.0), by_hand]
    assert _bars(make_order_lists(quotes, {}, TODAY, cut_together(quotes))) == {"R6": 1, "R4": 3}


def test_a_single_quote_has_nothing_to_be_cut_together_with():
    assert cut_together([a_rail_quote("Q-1", 4000.0)]) == ()
    with refusing(Refused, ("/quotes", "missing")):
        cut_together([])


def test_bars_that_two_quotes_both_count_on_are_taken_once():
    """One 4.2 m bar is left at 20.00; each quote took it, so apart they cannot both be made."""
    book = a_rail_book()
    rail = replace(book.rails["R-AL"], stocks=(BarStock("R6", 6000.0), BarStock("R4", 4200.0, 1)))
    parts = book.parts | {"R4": replace(book.parts["R4"], cost=Decimal("20.00"))}
    book = replace(book, rails=book.rails | {"R-AL": rail}, parts=parts)
    quotes = [a_rail_quote("Q-1", 4000.0, book=book), a_rail_quote("Q-2", 4100.0, book=book)]
    apart = make_order_lists(quotes, {}, TODAY)
    assert [finding.code for finding in apart.findings] == ["bars_promised_twice"]
    (common,) = cut_together(quotes)
    assert (common.used, common.why[-1]) == (True, "the separate plans take more than is on hand")
    together = make_order_lists(quotes, {}, TODAY, [common])
    assert (_bars(together), together.findings) == ({"R4": 1, "R6": 1}, ())
    assert common.saving.amount == Decimal("-40.00")


RUNS = st.lists(st.sampled_from([1100.0, 2000.0, 2900.0, 3700.0, 4000.0, 5300.0, 7400.0]), min_size=1, max_size=5)


@settings(max_examples=25, deadline=None)
@given(st.lists(RUNS, min_size=2, max_size=3))
def test_every_piece_of_every_quote_is_cut_once_and_no_bar_is_over_its_length(orders):
    quotes = [a_rail_quote(f"Q-{at}", *lengths) for at, lengths in enumerate(orders)]
    (common,) = cut_together(quotes)
    wanted = Counter()
    for quote, offset in zip(quotes, common.run_offsets, strict=True):
        bars = quote.estimate.cut_plan.bars
        places = [place for bar in bars for each in bar.labels for place in each]
        wanted.update((place.run + offset, place.start, place.length) for place in places)
    bars = common.plan.bars
    cut = Counter((p.run, p.start, p.length) for bar in bars for places in bar.labels for p in places)
    assert cut == wanted
    assert all(sum(bar.pieces) <= bar.stock_length for bar in bars)
    assert common.plan.lower_bound <= common.plan.cost
    assert common.together.net.amount <= common.apart.net.amount
    assert common.saving.amount >= 0
