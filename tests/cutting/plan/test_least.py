"""What rails cost at least before they are planned: cases by hand, and no plan of generated runs is below it."""

from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.cutting import Effort
from estimator.cutting.plan.least import least_cut, least_cuts
from estimator.cutting.plan.planning import plan_cuts
from estimator.cutting.records import CutRun, JointRules, PriceLevel, Saw, Stock
from estimator.errors import Refused
from estimator.places import Place

RULES = JointRules(100.0, 300.0, 1)
SIX = Stock("R6", 60_000, 6000)
SAW = Saw()


def _run(at, length_mm):
    spans = max(1, round((length_mm - 300) / 600))
    step = (length_mm - 300) / spans
    return CutRun(Place(part=f"row {at}"), length_mm, tuple(150 + step * k for k in range(spans + 1)))


def _least(lengths, offer, saw=SAW):
    return least_cut([_run(at, length) for at, length in enumerate(lengths)], offer, RULES, saw).cost


def test_bars_are_whole():
    """15 m of spliced rails are 2.5 bars of 6 m by length, and three in whole bars: 180.00 instead of 150.00."""
    assert _least([7500.0, 7500.0], [SIX]) == 18_000


def test_the_cheapest_whole_bars_may_be_of_several_lengths():
    """8 m: a bar of 6 m and one of 4.2 m at 45.00, 105.00; two of 4.2 m, 90.00, hold it as well."""
    assert _least([8000.0], [SIX, Stock("R4", 42_000, 4500)]) == 9_000


def test_pieces_of_which_one_fits_into_a_bar_take_a_bar_each():
    """Four of 3,400 mm: 13.6 m would be three bars by length."""
    assert _least([3400.0] * 4, [SIX]) == 24_000
    assert _least([3400.0] * 4, [SIX, Stock("R4", 42_000, 4500)]) == 18_000


def test_pieces_of_which_two_fit_into_a_bar_take_half_a_bar_each():
    """Six of 2,100 mm: 12.6 m would be three bars by length, and so are six halves; with 60 they are 30, not 21."""
    assert _least([2100.0] * 6, [SIX]) == 18_000
    assert _least([2100.0] * 60, [SIX]) == 180_000


def test_what_is_left_beside_a_long_piece_holds_shorter_ones():
    """Two of 3,400 and two of 2,600 mm lie in two bars."""
    assert _least([3400.0, 3400.0, 2600.0, 2600.0], [SIX]) == 12_000


def test_a_price_that_more_bars_reach_counts():
    """13.6 m: three bars at 60.00, or ten at 20.00; at 20.00 a bar for each of four pieces is no more."""
    assert _least([3400.0] * 4, [Stock("R6", 60_000, 6000, breaks=(PriceLevel(10, 2000),))]) == 18_000


def test_pieces_that_may_yet_be_spliced_have_no_bar_of_their_own():
    """One bar of 6 m is on hand and others of 3 m: of three runs of 3,400 mm two are spliced."""
    offer = [Stock("R6", 60_000, 1000, available=1), Stock("R3", 30_000, 3000)]
    runs = [_run(at, 3400.0) for at in range(3)]
    plan = plan_cuts(runs, offer, RULES, Saw(), 400)
    assert least_cut(runs, offer, RULES, Saw()).cost <= plan.bar_cost


def test_bars_that_are_cheap_by_length_ask_for_splices():
    """A run of 12 m: with one splice two bars of 6 m, 120.00; with two splices three of 4.2 m, 105.00."""
    runs, offer = [_run(0, 12_000.0)], [SIX, Stock("R4", 42_000, 3500)]
    least = least_cut(runs, offer, RULES, Saw())
    bounds = least_cuts(runs, offer, RULES, Saw(), least)
    assert [(each.runs[0].splices, each.runs[0].pieces, each.cost) for each in bounds] == [
        (1, 2, 12_000),
        (2, 3, 10_500),
    ]


LENGTHS = st.lists(st.integers(8, 90).map(lambda tenths: tenths * 100.0), min_size=1, max_size=6)
STOCKS = st.lists(
    st.builds(
        lambda length, price, available, at, cheaper: Stock(
            f"R{length}", length * 1000, price, available, breaks=(PriceLevel(at, price * cheaper // 10),) if at else ()
        ),
        st.integers(25, 65),
        st.integers(1_000, 9_000),
        st.sampled_from([None, None, 1, 4]),
        st.sampled_from([0, 0, 2, 5]),
        st.integers(3, 10),
    ),
    min_size=1,
    max_size=3,
    unique_by=lambda stock: stock.length,
)


@settings(max_examples=60)
@given(lengths=LENGTHS, offer=STOCKS, kerf=st.sampled_from([0, 30]), keeps=st.sampled_from([None, 5_000]))
def test_no_plan_pays_less_for_its_bars(lengths, offer, kerf, keeps):
    saw = Saw(kerf=kerf, reusable_length=keeps, offcut_value_per_m=0 if keeps is None else 300)
    runs = [_run(at, length) for at, length in enumerate(lengths)]
    try:
        plan = plan_cuts(runs, offer, RULES, saw, 300, Effort(work_limit=40))
    except Refused:
        return
    least = least_cut(runs, offer, RULES, saw)
    assert least.cost <= plan.bar_cost
    bounds = least_cuts(runs, offer, RULES, saw, least)
    by_splices = {sum(run.splices for run in each.runs): each.cost for each in bounds}
    assert min(by_splices) <= plan.splices
    assert by_splices[min(plan.splices, max(by_splices))] <= plan.bar_cost
