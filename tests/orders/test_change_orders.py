"""A change of an order: differences are the rule's own arithmetic, worked by hand beside each case; common practice, no
source. The electronic form is held against the OASIS schemas."""

from dataclasses import replace
from decimal import Decimal

import pytest
from lxml import etree

from estimator.documents.header import OrderHeader
from estimator.documents.order.ubl import write_ubl_order
from estimator.money import total
from estimator.orders import EarlierOrder, change_of, make_order_lists
from tests.documents.xml.ubl_schemas import ubl_schema
from tests.orders.order_builders import TODAY, a_quote, an_order_book

NAMES = {
    "cbc": "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2",
    "cac": "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2",
}
PARTS = an_order_book().parts


def _lists(screws, nuts=0):
    return make_order_lists([a_quote("Q-1", screws, nuts)], {}, TODAY)


def _change(*steps, delivered=()):
    """The change that the last of the steps makes, the ones before it ordered one after the other."""
    earlier = [EarlierOrder("O-1", _lists(*steps[0]))]
    for number, step in enumerate(steps[1:], start=2):
        made = change_of(earlier, _lists(*step), PARTS, frozenset(delivered))
        earlier.append(EarlierOrder(f"O-{number}", made))
    return earlier[-1].lists


def _told(lists):
    return {
        line.part: (line.change, line.before, line.ordered, line.packs, line.after)
        for each in lists.lists
        for line in each.lines
    }


def test_more_is_ordered_besides_what_was_ordered():
    """130 screws are 2 packs of 100, 330 are 4: 2 packs more. 60 nuts stay 2 packs of 50: no change."""
    made = _change((130, 60), (330, 60))
    assert _told(made) == {"SC": ("more", 200, 200, 2, 400)}
    [order] = made.lists
    assert order.changes == ("O-1",)
    assert order.total.amount == Decimal("20.00")


def test_less_is_cancelled_at_the_price_it_was_ordered_at():
    """530 screws are 6 packs at 0.08 (break at 500); 130 are 2: 400 less, 400 x 0.08 = 32.00."""
    made = _change((530, 60), (130, 0))
    assert _told(made) == {"SC": ("less", 600, -400, -4, 200), "N": ("less", 100, -100, -2, 0)}
    screws = next(each for each in made.lists if each.supplier.supplier == "S-1")
    assert screws.total.amount == Decimal("-32.00")
    assert all(total((line.cost for line in each.lines), each.currency) == each.total for each in made.lists)


def test_what_was_delivered_is_returned_and_more_of_it_has_its_own_break():
    """From 600 delivered to 900: 300 more do not reach the break at 500 by themselves: 300 x 0.10 = 30.00; an order
    that is still open reaches it: 300 x 0.08 = 24.00."""
    assert _told(_change((530,), (130,), delivered=["S-1"])) == {"SC": ("returned", 600, -400, -4, 200)}
    assert _change((530,), (830,), delivered=["S-1"]).lists[0].total.amount == Decimal("30.00")
    assert _change((530,), (830,)).lists[0].total.amount == Decimal("24.00")


def test_a_second_change_is_reckoned_against_the_order_and_its_first_change():
    """200, then 400, then 300 on order."""
    made = _change((130,), (330,), (230,))
    assert _told(made) == {"SC": ("less", 400, -100, -1, 300)}
    assert made.lists[0].changes == ("O-1", "O-2")


def test_a_supplier_of_whom_nothing_is_on_order_gets_an_order_and_no_difference_none():
    made = _change((130,), (130, 60))
    [order] = made.lists
    assert (order.supplier.supplier, order.changes, order.lines[0].change) == ("S-2", (), "")
    assert _change((130, 60), (150, 60)).lists == ()
    assert {each.code for each in _change((130, 60), (150, 60)).findings} >= {"order_changed"}


@pytest.mark.parametrize(("steps", "status"), [
    (((130,), (330,)), "Revised"),
    (((530, 60), (130, 60)), "Revised"),
    (((130, 60), (130, 0)), "Cancelled"),
])  # fmt: skip
def test_the_electronic_change_names_its_order_and_is_valid(steps, status):
    order = _change(*steps).lists[0]
    header = OrderHeader("O-2", TODAY, "en")
    document = etree.fromstring(write_ubl_order(order, header))
    ubl_schema("OrderChange").assertValid(document)
    reference = document.findtext("cac:OrderReference/cbc:ID", namespaces=NAMES)
    assert reference == f"O-1-{order.supplier.supplier}"
    for line, item in zip(order.lines, document.iterfind(".//cac:LineItem", NAMES), strict=True):
        told = {name: item.findtext(name, namespaces=NAMES) for name in
                ("cbc:LineStatusCode", "cbc:Quantity", "cbc:LineExtensionAmount", "cac:Price/cbc:PriceAmount",
                 "cac:Price/cbc:BaseQuantity")}  # fmt: skip
        assert (told["cbc:LineStatusCode"], told["cbc:Quantity"]) == (status, str(line.after))
        price, base = Decimal(told["cac:Price/cbc:PriceAmount"]), Decimal(told["cac:Price/cbc:BaseQuantity"])
        assert round(line.after * price / base, 2) == Decimal(told["cbc:LineExtensionAmount"])


def test_an_order_that_changes_none_stays_an_order():
    document = etree.fromstring(write_ubl_order(_lists(130).lists[0], OrderHeader("O-1", TODAY, "en")))
    ubl_schema("Order").assertValid(document)
    assert replace(_lists(130).lists[0], changes=()) == _lists(130).lists[0]
