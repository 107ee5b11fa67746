"""Order lists: merged over quotes, rounded to packs once, less stock, dated to meet the site."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.errors import Refused
from estimator.job import Address, LineChange
from estimator.money import total
from estimator.orders import make_order_lists
from estimator.orders.deliveries.sites import address_lines
from tests.facts import facts, refusing
from tests.orders.order_builders import TODAY, a_quote, an_order_book


def _line(lists, part):
    return next(line for each in lists.lists for line in each.lines if line.part == part)


def test_packs_are_rounded_once_over_all_quotes():
    """130 and 130 screws: 2 packs of 100 each alone, 4 in all; together 260 make 3 packs."""
    lists = make_order_lists([a_quote("Q-1", 130), a_quote("Q-2", 130)], {}, TODAY)
    line = _line(lists, "SC")
    assert (line.required, line.packs, line.ordered) == (260, 3, 300)
    assert [(share.quote, share.required) for share in line.shares] == [("Q-1", 130), ("Q-2", 130)]


def test_stock_is_used_up_before_packs_are_rounded():
    lists = make_order_lists([a_quote("Q-1", 260)], {"SC": 70}, TODAY)
    line = _line(lists, "SC")
    assert (line.from_stock, line.ordered) == (70, 200)
    assert lists.left_in_stock == (("SC", 0),)
    assert make_order_lists([a_quote("Q-1", 60)], {"SC": 70}, TODAY).lists == ()


def test_a_break_is_reached_by_quotes_together():
    assert _line(make_order_lists([a_quote("Q-1", 250)], {}, TODAY), "SC").unit_cost == Decimal("0.10")
    together = make_order_lists([a_quote("Q-1", 250), a_quote("Q-2", 250)], {}, TODAY)
    assert _line(together, "SC").unit_cost == Decimal("0.08")
    assert _line(together, "SC").cost.amount == Decimal("40.00")


def test_each_supplier_gets_its_own_list_that_adds_up():
    lists = make_order_lists([a_quote("Q-1", 130, 20)], {}, TODAY).lists
    assert [each.supplier.supplier for each in lists] == ["S-1", "S-2"]
    for each in lists:
        assert total((line.cost for line in each.lines), each.currency) == each.total


def test_the_order_date_meets_the_earliest_site_date():
    """15 March 2027 less 30 days is 13 February; less 10 days is 5 March."""
    lists = make_order_lists([a_quote("Q-1", 10, 10, needed_on="2027-06-01"), a_quote("Q-2", 10, 10)], {}, TODAY)
    assert _line(lists, "N").order_by == date(2027, 2, 13)
    assert _line(lists, "SC").order_by == date(2027, 3, 5)
    assert lists.findings == ()
    late = make_order_lists([a_quote("Q-1", 10, needed_on="2026-12-01")], {}, TODAY)
    assert [finding.code for finding in late.findings] == ["order_late"]


def test_an_order_below_the_suppliers_minimum_is_said():
    book = an_order_book()
    book = replace(
        book, suppliers={**book.suppliers, "S-1": replace(book.suppliers["S-1"], minimum_order=Decimal(500))}
    )
    assert [finding.code for finding in make_order_lists([a_quote("Q-1", 10, book=book)], {}, TODAY).findings] == [
        "order_below_minimum"
    ]


def test_a_quantity_the_estimator_set_is_what_is_required():
    lists = make_order_lists([a_quote("Q-1", 130, changes=(LineChange("SC", ordered=150),))], {}, TODAY)
    assert _line(lists, "SC").required == 150


def test_what_cannot_be_ordered_is_refused():
    with refusing(Refused, ("/quotes", "missing")):
        make_order_lists([], {}, TODAY)
    with refusing(Refused, ("/quotes", "contradiction"), holds=("EUR and USD",)):
        make_order_lists([a_quote("Q-1", 1), a_quote("Q-2", 1, book=an_order_book(currency="USD"))], {}, TODAY)
    with pytest.raises(Refused) as refused:
        make_order_lists([a_quote("Q-1", 1)], {"ghost": 1, "SC": -1}, TODAY)
    assert [fault.pointer for fault in refused.value.faults] == ["/stock/ghost", "/stock/SC"]


def test_quotes_for_one_site_are_delivered_there_and_quotes_for_several_to_the_buyer():
    """Nothing for the second roof may be sent to the first."""
    here, there = Address(("Dock 1",), "10000", "Here", "", "DE"), Address(("Dock 2",), "20000", "There", "", "AT")
    one = make_order_lists([a_quote("Q-1", 1, address=here), a_quote("Q-2", 1, address=here)], {}, TODAY)
    assert (one.lists[0].ship_to, one.lists[0].country, one.findings) == (("Dock 1", "10000 Here"), "DE", ())
    two = make_order_lists([a_quote("Q-1", 1, address=here), a_quote("Q-2", 1, address=there)], {}, TODAY)
    buyer = two.lists[0].buyer
    assert two.lists[0].ship_to[0] == buyer.name
    assert [finding.code for finding in two.findings] == ["order_several_sites"]
    assert any("Dock 2, 20000 There" in str(fact) for fact in facts(two.findings[0].message))


def test_a_place_to_deliver_to_is_written_as_its_country_does():
    """Town, region, postcode in the United States; postcode and town in Germany. Source: common practice, no source."""
    assert address_lines(Address(("12 Mill Road",), "50010", "Ames", "IA", "US")) == ("12 Mill Road", "Ames, IA 50010")
    assert address_lines(Address(("Am Bach 3",), "24211", "Preetz", "", "DE")) == ("Am Bach 3", "24211 Preetz")
