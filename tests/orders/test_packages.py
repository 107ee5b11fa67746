"""Packages of an order: packs are cartons, bars are bundled by length, singles share cartons; nothing is invented."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.errors import Refused
from estimator.money import Money
from estimator.orders import OrderLine, PackingRules, make_order_lists, pack
from tests.orders.order_builders import TODAY, a_quote

EUR = Money(Decimal("0.00"), "EUR")


def _line(part="P", ordered=10, mass_kg=1.0, pack=1, length_mm=None):
    packs = -(-ordered // pack)
    return OrderLine(
        part, f"X-{part}", f"part {part}", "role", "C62", "", (), ordered, 0, pack, packs, packs * pack,
        Decimal(1), EUR, mass_kg, mass_kg * packs * pack, length_mm, 0, None, (),
    )  # fmt: skip


def _order(*lines, share=0.05):
    order = make_order_lists([a_quote("Q-1", 1)], {}, TODAY).lists[0]
    return replace(order, lines=lines, packaging_share=share)


def _held(packing):
    held = {}
    for group in packing.groups:
        for each in group.contents:
            held[each.part] = held.get(each.part, 0) + each.count * group.count
    return held


def test_a_pack_is_a_carton_and_marks_run_through_the_shipment():
    """300 screws in packs of 100 at 10 g: 3 cartons of 1 kg, 1.05 kg with 5 % packaging; then 60 nuts in 2 of 50."""
    packing = pack(_order(_line("SC", 300, 0.01, 100), _line("N", 60, 0.02, 50)))
    first, second = packing.groups
    assert (first.first, first.last, first.kind, first.net_kg, first.gross_kg) == (1, 3, "carton", 1.0, 1.05)
    assert (second.first, second.last, second.contents[0].count) == (4, 5, 50)
    assert (packing.packages, packing.net_kg, packing.gross_kg) == (5, 5.0, 5.25)


def test_bars_are_bundled_by_length_up_to_the_greatest_mass():
    """105 bars of 10 kg at 500 kg a bundle: 50 fit, so 3 bundles of 35; 101 bars make 34, 34 and 33."""
    even = pack(_order(_line("R6", 105, 10.0, length_mm=6000.0)))
    assert [(group.count, group.contents[0].count, group.net_kg) for group in even.groups] == [(3, 35, 350.0)]
    odd = pack(_order(_line("R6", 101, 10.0, length_mm=6000.0), _line("R4", 2, 7.0, length_mm=4200.0)))
    assert [(group.count, group.contents[0].count, group.length_mm) for group in odd.groups] == [
        (2, 34, 6000.0), (1, 33, 6000.0), (1, 2, 4200.0)]  # fmt: skip
    assert odd.longest_mm == 6000.0


def test_long_and_heavy_packages_are_flagged():
    short, long = pack(_order(_line("A", 1, 5.0, length_mm=2999.0), _line("B", 9, 5.0, length_mm=3000.0))).groups[::-1]
    assert (short.long_item, short.heavy) == (False, False)
    assert (long.long_item, long.heavy) == (True, True)


def test_parts_sold_singly_share_cartons_up_to_25_kg():
    """7 of 3 kg and 3 of 2 kg: 21 kg leave room for two more of 2 kg; the last one opens a second carton."""
    packing = pack(_order(_line("A", 7, 3.0), _line("B", 3, 2.0)))
    assert [[(each.part, each.count) for each in group.contents] for group in packing.groups] == [
        [("A", 7), ("B", 2)], [("B", 1)]]  # fmt: skip
    assert [group.net_kg for group in packing.groups] == [25.0, 2.0]


def test_a_single_part_heavier_than_a_carton_may_be_goes_alone_and_is_flagged():
    packing = pack(_order(_line("A", 2, 40.0)))
    assert [(group.contents[0].count, group.heavy) for group in packing.groups] == [(1, True), (1, True)]


def test_what_the_book_does_not_know_stays_unknown():
    packing = pack(_order(_line("SC", 300, 0.01, 100), share=None))
    assert packing.gross_kg is None
    assert (packing.groups[0].gross_kg, packing.groups[0].length_mm, packing.longest_mm) == (None, None, None)


def test_what_comes_from_stock_is_not_packed():
    lists = make_order_lists([a_quote("Q-1", 260)], {"SC": 70}, TODAY)
    assert _held(pack(lists.lists[0])) == {"SC": 200}


def test_rules_that_allow_nothing_are_refused():
    with pytest.raises(Refused) as refused:
        pack(_order(_line()), PackingRules(most_carton_kg=0.0, most_bundle_kg=-1.0))
    assert [fault.pointer for fault in refused.value.faults] == ["/most_carton_kg", "/most_bundle_kg"]


LINES = st.lists(
    st.builds(
        _line,
        part=st.sampled_from("ABCDEFGH"),
        ordered=st.integers(1, 400),
        mass_kg=st.sampled_from([0.0, 0.004, 0.33, 3.172, 26.0]),
        pack=st.sampled_from([1, 1, 10, 25]),
        length_mm=st.sampled_from([None, None, 2400.0, 6150.0]),
    ),
    min_size=1,
    max_size=6,
    unique_by=lambda line: line.part,
)


@settings(max_examples=60, deadline=None)
@given(LINES)
def test_every_part_is_packed_once_and_the_masses_add_up(lines):
    order, rules = _order(*lines), PackingRules()
    packing = pack(order, rules)
    assert _held(packing) == {line.part: line.ordered for line in lines}
    assert packing.packages == sum(group.count for group in packing.groups)
    marks = [mark for group in packing.groups for mark in range(group.first, group.last + 1)]
    assert marks == list(range(1, packing.packages + 1))
    whole = sum(Decimal(str(group.net_kg)) * group.count for group in packing.groups)
    assert abs(float(whole) - packing.net_kg) <= 0.0005 * (packing.packages + 1)
    for group in packing.groups:
        alone = sum(each.count for each in group.contents) == 1
        most = rules.most_bundle_kg if group.kind == "bundle" else rules.most_carton_kg
        sold_singly = group.kind == "bundle" or group.contents[0].count not in (10, 25)
        assert not sold_singly or alone or group.net_kg <= most
