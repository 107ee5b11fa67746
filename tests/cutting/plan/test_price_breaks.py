"""Quantity breaks in the cut plan: by hand, and against every way to cut small lists."""

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.cutting import CutRun, Demand, Effort, JointRules, PriceLevel, Saw, Stock, plan_cuts
from estimator.cutting.instance import offcut_value
from estimator.cutting.plan.price_breaks import LeastNeeded, least_cost, level_at, levels_of
from estimator.cutting.tuning import THOROUGH
from estimator.places import Place
from tests.cutting.plan.piece_list import cut_list
from tests.facts import facts

SIX = Stock("R6", 60_000, 6000)
FOUR = Stock("R4", 42_000, 4500)


def _with(stock, *breaks, **changes):
    return replace(stock, breaks=tuple(PriceLevel(*each) for each in breaks), **changes)


def _bought(plan):
    return {each.part: (each.count, each.price, each.price_from) for each in plan.bars_by_length}


def test_the_plan_buys_at_the_price_of_the_number_it_takes():
    """10 pieces of 5 m: 10 bars of 6 m, which from 10 on cost 50.00: 500.00, not 600.00."""
    plan = cut_list([Demand(50_000, 10)], [_with(SIX, (10, 5000))], Saw())
    assert _bought(plan) == {"R6": (10, 5000, 10)}
    assert (plan.cost, plan.lower_bound, plan.bar_cost, plan.proven_optimal) == (50_000, 50_000, 50_000, True)


def test_a_break_that_is_out_of_reach_changes_nothing():
    """2 bars at 60.00; 100 at 10.00 would be 1,000.00."""
    plan = cut_list([Demand(50_000, 2)], [_with(SIX, (100, 1000))], Saw())
    assert _bought(plan) == {"R6": (2, 6000, 0)}
    assert (plan.cost, plan.proven_optimal, plan.findings) == (12_000, True, ())


def test_a_break_turns_the_choice_of_length():
    """8 pieces of 2 m. Three bars of 6 m at 60.00, or four of 4.2 m at 45.00: 180.00 either way.

    From four on the short ones are 40.00 each: 160.00. By single prices the long bars are as good.
    """
    plan = cut_list([Demand(20_000, 8)], [SIX, _with(FOUR, (4, 4000))], Saw())
    assert _bought(plan) == {"R4": (4, 4000, 4)}
    assert (plan.cost, plan.proven_optimal) == (16_000, True)


def test_a_few_more_bars_of_one_length_that_the_prices_alone_do_not_ask_for():
    """6 pieces of 4 m. A 4.2 m bar at 45.00 each: 6 for 270.00; a 6 m bar at 60.00, from 6 on at 44.00: 264.00."""
    plan = cut_list([Demand(40_000, 6)], [_with(SIX, (6, 4400)), FOUR], Saw())
    assert _bought(plan) == {"R6": (6, 4400, 6)}
    assert (plan.cost, plan.proven_optimal) == (26_400, True)


def test_forcing_a_level_that_even_its_own_price_does_not_reach():
    """3 pieces of 4 m and one of 5 m. 4.2 m bars at 45.00; 6 m bars at 100.00, from 3 on at 46.00.

    At 46.00 the plan would still take one 6 m bar and three of 4.2 m, which is 1 x 100.00 + 3 x 45.00 = 235.00.
    Three 6 m bars and one of 4.2 m: 3 x 46.00 + 45.00 = 183.00; four of 6 m: 184.00.
    """
    plan = cut_list([Demand(40_000, 3), Demand(50_000, 1)], [_with(SIX, (3, 4600), price=10_000), FOUR], Saw())
    assert _bought(plan) == {"R6": (3, 4600, 3), "R4": (1, 4500, 0)}
    assert (plan.cost, plan.lower_bound) == (18_300, 18_300)


def test_bars_bought_only_to_reach_a_price_stay_whole_and_are_told():
    """9 pieces of 5 m: 9 bars at 60.00 are 540.00, 10 at 50.00 are 500.00; the tenth stays whole."""
    plan = cut_list([Demand(50_000, 9)], [_with(SIX, (10, 5000))], Saw(kerf=30, end_trim=50))
    assert (plan.cost, plan.proven_optimal, _bought(plan)) == (50_000, True, {"R6": (10, 5000, 10)})
    (whole,) = [bar for bar in plan.bars if not bar.pieces]
    assert (whole.count, whole.offcut, whole.reusable, whole.cuts, whole.labels) == (1, 60_000, True, 0, ((),))
    assert plan.cuts == 18  # 9 bars, trimmed at the start and cut once
    assert plan.waste_length == 9 * 10_000
    assert [(each.code, each.severity, each.found) for each in plan.findings] == [("bars_up_to_a_break", "note", 1.0)]
    assert facts(plan.findings[0].message) == ["R6", 1, 10]


def test_a_whole_bar_left_over_counts_at_what_off_cuts_are_worth():
    """9 bars at 60.00 or 10 at 55.00: 540.00 to 550.00; but the tenth, 6 m at 2.00 a metre, is worth 12.00: 538.00."""
    saw = Saw(reusable_length=10_000, offcut_value_per_m=200)
    plan = cut_list([Demand(51_000, 9)], [_with(SIX, (10, 5500))], saw)
    assert (plan.bar_cost, plan.offcut_value, plan.cost) == (55_000, 1_200, 53_800)
    assert plan.proven_optimal
    assert _bought(cut_list([Demand(51_000, 9)], [_with(SIX, (10, 5500))], Saw())) == {"R6": (9, 6000, 0)}


def test_no_more_is_bought_than_there_is():
    """Ten would be cheaper than nine, but nine are on hand."""
    stock = _with(SIX, (10, 5000), available=9)
    assert [level.from_bars for level in levels_of(stock)] == [0]
    assert _bought(cut_list([Demand(50_000, 9)], [stock], Saw())) == {"R6": (9, 6000, 0)}


def test_plain_ways_are_charged_at_the_number_they_take():
    """Ten runs of 5 m, a bar each by either way: at the break, as the plan."""
    plan = plan_cuts(
        [CutRun(Place(part=f"row {k}"), 5000.0) for k in range(10)], [_with(SIX, (10, 5000))], JointRules(), Saw(), 0
    )
    assert plan.against_rounded_up.cost == plan.against_full_bars.cost == 50_000


def test_splices_and_breaks_are_weighed_together():
    """Four runs of 8 m, 32 m in all, from bars of 6 m: at least 6 at 60.00; from 7 on each costs half."""
    stands = tuple(400.0 + 1200.0 * k for k in range(7))
    runs = [CutRun(Place(part=f"row {k}"), 8000.0, stands) for k in range(4)]
    rules = JointRules(100.0, 500.0, 2)
    single = plan_cuts(runs, [SIX], rules, Saw(kerf=30), 500)
    plan = plan_cuts(runs, [_with(SIX, (7, 3000))], rules, Saw(kerf=30), 500)
    assert plan.cost <= 7 * 3000 + 4 * 500 < single.cost
    assert plan.lower_bound <= plan.cost
    assert _bought(plan)["R6"][1:] == (3000, 7)


def test_a_break_that_is_dearer_is_charged_as_it_stands():
    """From 3 on 70.00 each: the number decides, not the buyer. Three pieces of 5 m cost 210.00."""
    plan = cut_list([Demand(50_000, 3)], [_with(SIX, (3, 7000))], Saw())
    assert (plan.cost, _bought(plan)) == (21_000, {"R6": (3, 7000, 3)})
    assert plan.lower_bound <= 21_000


def test_many_levels_give_a_bound_that_still_holds():
    """Seven lengths with four levels each: more combinations than are tried one by one."""
    offer = [
        _with(Stock(f"R{k}", 30_000 + 4_000 * k, 3000 + 390 * k), (3, 2900 + 390 * k), (5, 2800 + 390 * k), (8, 2700))
        for k in range(7)
    ]
    assert 4 ** len(offer) > THOROUGH.combinations
    plan = cut_list([Demand(23_000, 5), Demand(17_000, 4)], offer, Saw())
    assert plan.lower_bound <= plan.cost <= 8 * 2700


def test_with_little_work_the_bound_stays_below_what_was_not_tried():
    offer = [_with(SIX, (6, 5000), (20, 4800)), _with(FOUR, (6, 3600), (20, 3300))]
    short = cut_list([Demand(21_000, 13), Demand(17_000, 9)], offer, Saw(), Effort(work_limit=0))
    best = cut_list([Demand(21_000, 13), Demand(17_000, 9)], offer, Saw())
    assert short.lower_bound <= best.cost <= short.cost


# Every way to cut small lists.


def _ways(pieces, offer, saw):
    """Every set of bars for the pieces: a tuple of (stock, length left) for each way."""
    if not pieces:
        yield ()
        return
    first, rest = pieces[0], pieces[1:]
    for chosen in product((False, True), repeat=len(rest)):
        bar = (first, *(p for p, mine in zip(rest, chosen, strict=True) if mine))
        others = tuple(p for p, mine in zip(rest, chosen, strict=True) if not mine)
        for at, stock in enumerate(offer):
            room = stock.length - 2 * saw.end_trim
            if sum(bar) + saw.kerf * (len(bar) - 1) <= room:
                left = max(0, room - sum(bar) - saw.kerf * len(bar))
                for way in _ways(others, offer, saw):
                    yield ((at, left), *way)


def _least(pieces, offer, saw):
    """The cheapest of all ways, with as many bars more as any break asks for."""
    best = None
    for way in {tuple(sorted(way)) for way in _ways(tuple(pieces), offer, saw)}:
        cost = 0
        for at, stock in enumerate(offer):
            own = [left for which, left in way if which == at]
            most = max((level.from_bars for level in stock.breaks), default=0)
            numbers = [n for n in range(len(own), max(len(own), most) + 1) if n <= (stock.available or 99)]
            if not numbers:
                break
            cost += min(_paid(stock, saw, own, n) for n in numbers)
        else:
            best = cost if best is None else min(best, cost)
    return best


def _paid(stock, saw, lefts, number):
    price = stock.price
    for level in stock.breaks:
        price = level.price if number >= level.from_bars else price
    kept = sum(offcut_value(saw, price, left) for left in lefts)
    return number * price - kept - (number - len(lefts)) * offcut_value(saw, price, stock.length)


@st.composite
def _offers(draw, falling=True):
    offer = []
    for part, length in (("R6", 60), ("R4", 42)):
        price = draw(st.integers(20, 60))
        breaks, at = [], 0
        for _ in range(draw(st.integers(0, 2))):
            at += draw(st.integers(1, 3))
            least = breaks[-1].price if breaks else price
            breaks.append(PriceLevel(at, draw(st.integers(5, least if falling else price + 20))))
        offer.append(Stock(part, length, price, draw(st.sampled_from([None, None, 3])), breaks=tuple(breaks)))
    return offer


PIECES = st.lists(st.integers(8, 40), min_size=1, max_size=5)
SAWS = st.builds(
    lambda kerf, trim, kept: Saw(kerf, trim, *kept),
    st.sampled_from([0, 2]),
    st.sampled_from([0, 1]),
    st.sampled_from([(None, 0), (15, 2000), (15, 9000)]),
)


@settings(max_examples=150, deadline=None)
@given(PIECES, _offers(), SAWS)
def test_no_way_to_cut_is_cheaper_than_the_plan_and_the_bound_holds(pieces, offer, saw):
    least = _least(pieces, offer, saw)
    if least is None:
        return
    plan = cut_list([Demand(p, 1) for p in pieces], offer, saw)
    assert plan.lower_bound <= least <= plan.cost
    if not saw.offcut_value_per_m or plan.proven_optimal:
        assert plan.cost == least
    assert plan.cost == plan.bar_cost - plan.offcut_value
    for each in plan.bars_by_length:
        stock = next(s for s in offer if s.part == each.part)
        assert each.price == level_at(stock, each.count).price


@settings(max_examples=60, deadline=None)
@given(PIECES, _offers(falling=False), SAWS)
def test_where_prices_rise_with_the_number_the_bound_still_holds(pieces, offer, saw):
    least = _least(pieces, offer, saw)
    if least is not None:
        plan = cut_list([Demand(p, 1) for p in pieces], offer, saw)
        assert plan.lower_bound <= least <= plan.cost


def test_the_bound_by_length_is_below_every_plan():
    """5 m of pieces at 60.00 for 6 m: 50.00; with ten bars paid first, ten bars."""
    stock = _with(SIX, (10, 5000))
    assert least_cost([stock], (PriceLevel(0, 6000),), Saw(), LeastNeeded(50_000)) == 5000
    assert least_cost([stock], (PriceLevel(10, 5000),), Saw(), LeastNeeded(50_000)) == 50_000


@pytest.mark.parametrize("pieces", [1, 5, 20])
def test_a_length_bound_never_exceeds_the_plan(pieces):
    stock = _with(SIX, (10, 5000))
    plan = cut_list([Demand(25_000, pieces)], [stock], Saw(kerf=30))
    levels = levels_of(stock)
    assert (
        min(least_cost([stock], (level,), Saw(kerf=30), LeastNeeded(25_030 * pieces)) for level in levels) <= plan.cost
    )


def test_a_plan_at_a_price_it_does_not_reach_never_costs_more_than_full_bars():
    """At the price of nine bars eight and a long one look cheaper, but then nine are not bought.

    By hand: six parts of 6.62 m, two pieces each, 9 bars of 4.84 m at 39.22 and 6 splices: 388.98.
    """
    stands = (175.6, 1612.2, 2748.4, 4723.5, 6457.5, 8239.9, 10_159.3, 12_154.8, 13_369.0, 14_453.5, 16_437.7)
    runs = [CutRun(Place(part=f"row {k}"), 19_863.2, (*stands, 18_289.3, 19_276.2)) for k in (1, 2)]
    offer = [Stock("R61", 61_530, 6953), Stock("R48", 48_500, 4128, breaks=(PriceLevel(9, 3922), PriceLevel(22, 3633)))]
    rules = JointRules(300.0, 0.0, 0, 9000.0)
    plan = plan_cuts(runs, offer, rules, Saw(0, 50, 5000, 0), 600, Effort(1000))
    assert plan.lower_bound <= plan.cost <= plan.against_full_bars.cost == 9 * 3922 + 6 * 600
