"""The pure solver on cases that can be checked by hand."""

import pytest

from estimator.cutting import CuttingProblem, Demand, Effort, Saw, Stock, solve_cutting
from estimator.errors import Refused
from tests.facts import refusing


def cut(stocks, demands, saw=None, effort=None):
    problem = CuttingProblem(
        tuple(Stock(f"R{i}", *stock) for i, stock in enumerate(stocks)),
        tuple(Demand(*demand) for demand in demands),
        saw or Saw(),
    )
    return solve_cutting(problem, effort)


def test_a_piece_flush_with_the_end_of_the_bar_needs_no_last_cut():
    # 3 pieces of 1980 mm and two kerfs of 30 mm make 6000 mm exactly; by hand
    found = cut([(60_000, 100)], [(19_800, 3)], Saw(kerf=300))
    assert (found.cost, found.proven_optimal) == (100, True)


def test_one_tenth_of_a_millimetre_more_kerf_needs_another_bar():
    assert cut([(60_000, 100)], [(19_800, 3)], Saw(kerf=301)).cost == 200


def test_trimmed_ends_are_lost_at_both_ends():
    assert cut([(60_000, 100)], [(30_000, 2)]).cost == 100
    assert cut([(60_000, 100)], [(29_950, 2)], Saw(end_trim=50)).cost == 100
    assert cut([(60_000, 100)], [(29_950, 2)], Saw(end_trim=51)).cost == 200


def test_the_cheaper_mix_of_two_stock_lengths_is_taken():
    # 5 pieces of 2 m: one bar of 6 m (3 pieces) and one of 4 m (2 pieces) waste nothing; by hand
    found = cut([(60_000, 60), (40_000, 41)], [(20_000, 5)])
    assert (found.cost, found.lower_bound) == (101, 101)


def test_bars_that_run_out_are_replaced_by_dearer_ones():
    found = cut([(60_000, 60, 1), (40_000, 50)], [(20_000, 7)])
    assert found.cost == 60 + 50 * 2
    assert found.proven_optimal


def test_an_off_cut_from_the_yard_is_taken_first_where_it_costs_nothing():
    problem = CuttingProblem(
        (Stock("R6", 60_000, 60), Stock("R6", 21_000, 0, 1, True)), (Demand(20_000, 4),), Saw(kerf=30, end_trim=100)
    )
    found = solve_cutting(problem)
    # two pieces fit a trimmed bar with its kerfs (5980 mm are usable, three need 6006 mm): three pieces, two bars
    assert (found.cost, found.proven_optimal) == (120, True)


def test_a_reusable_off_cut_is_credited_up_to_the_price_of_its_bar():
    saw = Saw(reusable_length=10_000, offcut_value_per_m=5)
    assert cut([(60_000, 60)], [(20_000, 1)], saw).cost == 60 - 4 * 5
    assert cut([(60_000, 60)], [(20_000, 1)], Saw(reusable_length=10_000, offcut_value_per_m=500)).cost == 0


def test_the_value_of_off_cuts_decides_between_plans_with_as_many_bars():
    # 3, 3, 2, 2 m from 6 m bars: (3+3)(2+2) keeps 2 m, (3+2)(3+2) keeps twice 1 m, too short to be kept
    saw = Saw(reusable_length=15_000, offcut_value_per_m=10)
    found = cut([(60_000, 100)], [(30_000, 2), (20_000, 2)], saw)
    assert (found.cost, found.proven_optimal) == (200 - 20, True)


def test_a_piece_longer_than_every_bar_is_refused_with_its_length():
    with refusing(Refused, ("/pieces/0", "too_large"), holds=(6000.1,)):
        cut([(60_000, 60)], [(60_001, 1)])


def test_bars_that_do_not_suffice_are_refused():
    with refusing(Refused, holds=(3, 12_000.0)):
        cut([(60_000, 60, 2)], [(40_000, 3)])


def test_all_faults_of_a_cut_list_are_told_at_once():
    with pytest.raises(Refused) as refusal:
        cut([(0, 60), (60_000, -1)], [(0, 1), (70_000, 1)])
    assert [fault.pointer for fault in refusal.value.faults] == ["/stocks/0", "/stocks/1", "/pieces/0", "/pieces/1"]


def test_nothing_to_cut_costs_nothing():
    assert cut([(60_000, 60)], []).patterns == ()


def test_a_stopped_search_returns_its_plan_with_bound_and_gap():
    found = cut([(1000, 1)], [(w, 1) for w in range(251, 350, 3)], effort=Effort(should_stop=lambda: True))
    assert found.cost >= found.lower_bound >= 9
    assert found.gap == found.cost - found.lower_bound


def test_the_same_input_gives_the_same_plan():
    demands = [(3000 + 371 * i, 1 + i % 4) for i in range(30)]
    stocks = [(42_000, 1810), (60_000, 2590)]
    assert cut(stocks, demands, Saw(kerf=30)) == cut(stocks, demands, Saw(kerf=30))
