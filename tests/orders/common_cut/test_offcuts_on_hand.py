"""Off-cuts on hand for an order: small jobs worked by hand, common practice, no source.

Bars of 6 m cost 60.00 and of 4.2 m 45.00, there is no kerf, and nothing is kept but where a test says so.
"""

from dataclasses import replace
from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from estimator.errors import Refused
from estimator.job import Choices, OffcutOnHand
from estimator.orders import EarlierOrder, OffcutsOnHand, change_of, cut_together, make_order_lists
from estimator.orders.merged_books import check_on_hand
from estimator.orders.yard import taken_from_heaps, with_taken
from estimator.pricing.rail_offers import with_offcuts
from tests.facts import refusing
from tests.orders.order_builders import TODAY, a_rail_book, a_rail_quote

RAIL = "R-AL"


def _ordered(quotes, *offcuts, before=()):
    common = cut_together(quotes, before=before, offcuts=offcuts)
    return make_order_lists(quotes, {}, TODAY, common, offcuts)


def _bought(lists):
    return {line.part: line.ordered for each in lists.lists for line in each.lines if line.role == "rail"}


def _yard(lists):
    return {line.part: line.required for line in lists.from_yard}


def test_an_off_cut_saves_two_quotes_one_bar():
    """Runs of 4,000 and 2,000 mm are one bar of 6 m; with 2,100 mm from the yard one of 4.2 m, 15.00 less."""
    quotes = [a_rail_quote("Q-1", 4000.0), a_rail_quote("Q-2", 2000.0)]
    assert _bought(_ordered(quotes)) == {"R6": 1}
    lists = _ordered(quotes, OffcutsOnHand(RAIL, 2100.0))
    assert _bought(lists) == {"R4": 1}
    assert _yard(lists) == {"R-AL-offcut-2100": 1}
    [heap] = lists.offcuts
    assert (heap.count, heap.used, heap.left, heap.price) == (1, 1, 0, Decimal(0))
    [common] = lists.together
    [sawn] = [bar for bar in common.plan.bars if bar.from_yard]
    assert [common.plan.run_places[place.run].quote for places in sawn.labels for place in places] == ["Q-2"]
    # Apart two bars of 4.2 m are bought, together one: the off-cut is no bar, and its length is not bought.
    assert (common.apart.bars, common.together.bars, common.bars_saved) == (2, 1, 1)
    assert (common.apart.length_mm, common.together.length_mm, common.length_saved_mm) == (8400.0, 4200.0, 4200.0)


def test_off_cuts_are_picked_as_stock_and_no_supplier_sends_them():
    lists = _ordered([a_rail_quote("Q-1", 4000.0), a_rail_quote("Q-2", 2000.0)], OffcutsOnHand(RAIL, 2100.0))
    [line] = lists.from_stock.lines
    assert (line.part, line.required, line.from_stock, line.ordered) == ("R-AL-offcut-2100", 1, 1, 0)
    assert lists.from_stock.total.amount == 0 and lists.from_stock.mass_kg == 0


def test_one_quote_alone_is_cut_from_off_cuts_and_rows_of_one_heap_add_up():
    """Three runs of 2,000 mm are one bar of 6 m; two lie in the yard, so one is left: a bar of 4.2 m."""
    quote = a_rail_quote("Q-1", 2000.0, 2000.0, 2000.0)
    assert cut_together([quote]) == ()
    lists = _ordered([quote], OffcutsOnHand(RAIL, 2000.0), OffcutsOnHand(RAIL, 2000.04))
    assert _bought(lists) == {"R4": 1}
    assert [(heap.count, heap.used) for heap in lists.offcuts] == [(2, 2)]
    [line] = lists.from_yard
    assert [share.quote for share in line.shares] == ["Q-1"]


def test_off_cuts_of_another_rail_or_too_short_stay_in_the_yard():
    book = a_rail_book()
    book = replace(book, rails={**book.rails, "R-2": replace(book.rails[RAIL], rail="R-2")})
    quotes = [a_rail_quote("Q-1", 4000.0, book=book), a_rail_quote("Q-2", 2000.0, book=book)]
    lists = _ordered(quotes, OffcutsOnHand("R-2", 4000.0, 3), OffcutsOnHand(RAIL, 1999.0))
    assert _bought(lists) == {"R6": 1}
    assert [(heap.rail, heap.used, heap.left) for heap in lists.offcuts] == [("R-2", 0, 3), (RAIL, 0, 1)]


def test_what_an_off_cut_counts_for_is_told_or_what_the_book_says_it_is_worth():
    """At 20.00 the off-cut saves less (15.00) than it counts for; at 2.00 a metre 2,100 mm count for 4.20."""
    quotes = [a_rail_quote("Q-1", 4000.0), a_rail_quote("Q-2", 2000.0)]
    dear = _ordered(quotes, OffcutsOnHand(RAIL, 2100.0, price=Decimal("20.00")))
    assert (_bought(dear), _yard(dear)) == ({"R6": 1}, {})
    book = a_rail_book()
    rail = replace(book.rails[RAIL], reusable_offcut_length_mm=1000.0, offcut_value_per_m=Decimal(2))
    book = replace(book, rails={**book.rails, RAIL: rail})
    valued = [a_rail_quote("Q-1", 4000.0, book=book), a_rail_quote("Q-2", 2000.0, book=book)]
    offcuts = [OffcutsOnHand(RAIL, 2100.0), OffcutsOnHand(RAIL, 900.0)]
    assert [heap.price for heap in _ordered(valued, *offcuts).offcuts] == [Decimal("4.20"), Decimal(0)]


def test_what_purchasing_tells_of_a_heap_is_all_there_is_of_it():
    """Each quote counts on one off-cut of 4,000 mm; purchasing found one: the other run takes a bar of 4.2 m."""
    book = with_offcuts(a_rail_book(), Choices(offcuts=(OffcutOnHand(RAIL, 4000.0, Decimal("5.00"), 2),)))
    quotes = [a_rail_quote("Q-1", 4000.0, book=book), a_rail_quote("Q-2", 4000.0, book=book)]
    assert _yard(_ordered(quotes)) == {"R-AL-offcut-4000": 2}
    lists = _ordered(quotes, OffcutsOnHand(RAIL, 4000.0, 1))
    assert (_bought(lists), _yard(lists)) == ({"R4": 1}, {"R-AL-offcut-4000": 1})
    assert lists.offcuts[0].price == Decimal("5.00")
    assert "bars_promised_twice" not in {each.code for each in lists.findings}
    apart = make_order_lists(quotes, {}, TODAY, (), [OffcutsOnHand(RAIL, 4000.0, 1)])
    [beyond] = [each for each in apart.findings if each.code == "bars_promised_twice"]
    assert (beyond.found, beyond.allowed, apart.offcuts[0].left) == (2.0, 1.0, -1)


def _change(quotes, first, told, now=()):
    """The change that follows an order of these off-cuts, with those told now besides."""
    taken = taken_from_heaps(first, quotes)
    offcuts = with_taken(first.offcuts, taken, now)
    whole = _ordered(told, *offcuts, before=tuple(cut.plan for cut in first.together if cut.used))
    parts = {part: each for quote in told for part, each in quote.estimate.book.parts.items()}
    return change_of([EarlierOrder("O-1", first)], whole, parts, frozenset())


def test_a_change_has_what_the_order_took_and_buys_nothing_more():
    quotes = [a_rail_quote("Q-1", 4000.0), a_rail_quote("Q-2", 2000.0)]
    first = _ordered(quotes, OffcutsOnHand(RAIL, 2100.0, 3))
    made = _change(quotes, first, quotes)
    assert (made.lists, made.from_stock, _yard(made)) == ((), None, {"R-AL-offcut-2100": 1})
    assert [(heap.count, heap.used) for heap in made.offcuts] == [(1, 1)]


def test_what_others_may_have_taken_since_is_not_promised_again():
    """The order took one of three. A run more of 2,000 mm finds none left and is bought; told again, it is sawn."""
    quotes = [a_rail_quote("Q-1", 4000.0), a_rail_quote("Q-2", 2000.0)]
    first = _ordered(quotes, OffcutsOnHand(RAIL, 2100.0, 3))
    grown = [quotes[0], a_rail_quote("Q-2", 2000.0, 2000.0)]
    bought = _change(quotes, first, grown)
    assert _yard(bought) == {"R-AL-offcut-2100": 1} and _bought(bought) == {"R4": -1, "R6": 1}
    sawn = _change(quotes, first, grown, [OffcutsOnHand(RAIL, 2100.0, 1)])
    assert (_bought(sawn), _yard(sawn)) == ({}, {"R-AL-offcut-2100": 2})
    [line] = sawn.from_stock.lines
    assert (line.part, line.from_stock, line.stock_before) == ("R-AL-offcut-2100", 2, 1)


def test_an_off_cut_that_a_change_no_longer_needs_goes_back_to_the_yard():
    quotes = [a_rail_quote("Q-1", 4000.0), a_rail_quote("Q-2", 2000.0)]
    first = _ordered(quotes, OffcutsOnHand(RAIL, 2100.0))
    made = _change(quotes, first, [quotes[0], a_rail_quote("Q-2", 150.0 * 28)])
    [line] = made.from_stock.lines
    assert (line.from_stock, line.stock_before, _yard(made)) == (0, 1, {})
    assert made.offcuts[0].left == 1


def test_every_fault_of_what_is_on_hand_is_told_at_once():
    quotes = [a_rail_quote("Q-1", 4000.0)]
    offcuts = [
        OffcutsOnHand("GHOST", 2000.0),
        OffcutsOnHand(RAIL, 2000.0, price=Decimal(1)),
        OffcutsOnHand(RAIL, 2000.0, price=Decimal(2)),
    ]
    faults = (
        ("/stock/ghost", "unknown_name"),
        ("/offcuts/0/rail", "unknown_name"),
        ("/offcuts/2/price", "contradiction"),
        ("/offcuts", "contradiction"),
    )
    with refusing(Refused, *faults, holds=("'GHOST'", Decimal(1))):
        check_on_hand(quotes, {"ghost": 1}, offcuts, together=False)


LENGTHS = st.lists(st.integers(4, 40).map(lambda count: count * 150.0), min_size=1, max_size=4)
HEAPS = st.lists(
    st.builds(OffcutsOnHand, st.just(RAIL), st.integers(5, 60).map(lambda count: count * 100.0), st.integers(1, 3)),
    max_size=3,
)


@given(first=LENGTHS, second=LENGTHS, offcuts=HEAPS)
def test_no_order_costs_more_for_off_cuts_on_hand_and_its_change_buys_nothing_more(first, second, offcuts):
    quotes = [a_rail_quote("Q-1", *first), a_rail_quote("Q-2", *second)]
    plain, sawn = _ordered(quotes), _ordered(quotes, *offcuts)
    cost = [sum(each.total.amount for each in lists.lists) for lists in (plain, sawn)]
    assert cost[1] <= cost[0]
    for heap in sawn.offcuts:
        assert 0 <= heap.used <= heap.count
    made = _change(quotes, sawn, quotes)
    assert (made.lists, made.from_stock, _yard(made)) == ((), None, _yard(sawn))
