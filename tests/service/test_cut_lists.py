"""A cut list is planned in exact lengths, whatever the unit; the proof is claimed only where it holds."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.cutting import Effort, solve_cutting
from estimator.errors import Refused
from estimator.service import cut_lists
from estimator.service.cut_lists import CutList, PiecesWanted, StockOnOffer, plan_cut_list

INCH = Fraction(254, 10)


def a_list(pieces, stocks=((6000, "21.50"),), kerf=0):
    return CutList(
        Fraction(kerf),
        Fraction(0),
        tuple(StockOnOffer(Fraction(length), Decimal(price)) for length, price in stocks),
        tuple(PiecesWanted(Fraction(length), count) for length, count in pieces),
    )


def test_pieces_that_fill_a_bar_exactly_need_no_second_bar():
    """3 x 1998 mm and 2 cuts of 3 mm are 6000 mm. By hand."""
    plan = plan_cut_list(a_list([(1998, 3)], kerf=3))
    assert (plan.cost, plan.proven_optimal, plan.rounded) == (Decimal("21.50"), True, False)


def test_a_sixteenth_of_an_inch_is_not_rounded():
    """Two pieces of 35 15/16 in with a saw of 1/8 in fill 72 in. By hand."""
    piece = Fraction(575, 16) * INCH
    plan = plan_cut_list(a_list([(piece, 2)], ((72 * INCH, "1.00"),), kerf=INCH / 8))
    assert (plan.cost, plan.rounded) == (Decimal("1.00"), False)


def test_the_cheaper_mix_of_bars_is_taken():
    """4 of 3000 mm: two bars of 6000 at 20 beat four of 3000 at 11. By hand."""
    plan = plan_cut_list(a_list([(3000, 4)], ((6000, "20"), (3000, "11"))))
    assert plan.cost == 40


def test_lengths_too_fine_for_the_search_go_to_the_safe_side_and_no_proof_is_claimed():
    fine = Fraction(2_000_000_001, 1_000_000)
    plan = plan_cut_list(a_list([(fine, 3)]))
    assert plan.rounded
    assert not plan.proven_optimal
    assert plan.cost == Decimal("43.00")


def test_every_piece_that_is_too_long_is_named():
    with pytest.raises(Refused) as refused:
        plan_cut_list(a_list([(7000, 1), (100, 1), (6001, 2)]))
    assert [fault.pointer for fault in refused.value.faults] == ["/pieces/0/length", "/pieces/2/length"]


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.integers(200, 5999), st.integers(1, 6)), min_size=1, max_size=5), st.integers(0, 5))
def test_every_piece_is_cut_once_and_no_bar_is_overfull(pieces, kerf):
    asked = a_list(pieces, kerf=kerf)
    plan = plan_cut_list(asked)
    lengths = [asked.pieces[at].length_mm for bar in plan.bars for at in bar.pieces for _ in range(bar.count)]
    assert sorted(lengths) == sorted(Fraction(length) for length, count in pieces for _ in range(count))
    for bar in plan.bars:
        assert sum(asked.pieces[at].length_mm for at in bar.pieces) + kerf * (len(bar.pieces) - 1) <= 6000
    assert plan.lower_bound <= plan.cost
    assert plan.cost == sum(bar.count for bar in plan.bars) * Decimal("21.50")


def test_an_off_cut_is_not_trimmed_again_and_there_are_no_more_than_are_on_hand():
    """Trim of 10 mm: bars of 6,000 give 5,980, off-cuts of 4,000 give 4,000, and one is on hand. By hand."""
    stocks = (StockOnOffer(Fraction(6000), Decimal(60)), StockOnOffer(Fraction(4000), Decimal(1), 1, is_offcut=True))
    asked = CutList(Fraction(0), Fraction(10), stocks, (PiecesWanted(Fraction(4000), 2),))
    plan = plan_cut_list(asked)
    assert {(bar.stock, bar.count, bar.offcut_mm) for bar in plan.bars} == {(0, 1, Fraction(1980)), (1, 1, Fraction(0))}
    assert (plan.cost, plan.proven_optimal) == (Decimal(61), True)
    only_bars = replace(asked, stocks=(stocks[0], replace(stocks[1], is_offcut=False)))
    assert plan_cut_list(only_bars).cost == Decimal(120)


def test_time_that_is_asked_for_is_used_until_it_is_over_and_no_work_ends_it(monkeypatch):
    given = []

    def noted(problem, effort):
        given.append((effort.work_limit, effort.should_stop()))
        return solve_cutting(problem, effort)

    monkeypatch.setattr(cut_lists, "solve_cutting", noted)
    asked = a_list([(1998, 3)], kerf=3)
    plan_cut_list(asked)
    plan_cut_list(asked, seconds=1000)
    plan_cut_list(asked, seconds=0)
    assert given == [(Effort().work_limit, False), (cut_lists.ENDLESS, False), (cut_lists.ENDLESS, True)]
