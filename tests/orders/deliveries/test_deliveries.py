"""A merged order parted by site and day: the deliveries sum up to what is ordered, whatever stock and packs do.

Source: sums by hand; the rules are the house's (stock serves the earliest delivery, the rest of a pack the last).
"""

import io
from dataclasses import replace
from datetime import date
from types import SimpleNamespace

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.documents.header import OrderHeader
from estimator.documents.papers import DELIVERY_FILES, ORDER_FORMS, files_of_delivery
from estimator.job import Address
from estimator.orders import EarlierOrder, OrderLists, change_of, deliveries_of, make_order_lists
from estimator.sentences import LANGUAGES
from tests.documents.pdf_reading import text as text_of_pdf
from tests.orders.order_builders import TODAY, a_quote, an_order_book

KIEL, GRAZ = Address(("Feldweg 1",), "24103", "Kiel", "", "DE"), Address(("Gasse 2",), "8010", "Graz", "", "AT")
HEADER = OrderHeader("O-7", date(2026, 11, 25))


def at(number, screws, address, needed_on):
    """A quote for a site of its own."""
    return a_quote(number, screws, needed_on=needed_on, address=address)


def the_lists(first=130, second=300, stock=0):
    quotes = [at("Q-1", first, KIEL, "2027-05-01"), at("Q-2", second, GRAZ, "2027-04-01")]
    return make_order_lists(quotes, {"SC": stock} if stock else {}, TODAY).moving


def paper_of(name, delivery, whole, header=HEADER):
    """One delivery's paper."""
    form = ORDER_FORMS[name]
    return (
        form.write_delivery(delivery, whole, header) if form.write_delivery else form.write(delivery.lists, header, ())
    )


def test_a_site_and_a_day_make_a_delivery_the_earliest_first():
    """By hand: 130 and 300 required, packs of 100: 70 more go with the later delivery."""
    graz, kiel = deliveries_of(the_lists())
    assert (graz.number, graz.address, graz.needed_on, graz.quotes) == (1, GRAZ, date(2027, 4, 1), ("Q-2",))
    assert [(pick.required, pick.from_stock, pick.sent) for pick in graz.picks] == [(300, 0, 300)]
    assert (kiel.number, kiel.quotes) == (2, ("Q-1",))
    assert [(pick.required, pick.from_stock, pick.sent) for pick in kiel.picks] == [(130, 0, 200)]


def test_stock_serves_the_earliest():
    """By hand: 350 in stock: all of the 300, 50 of the 130; 80 are to be ordered, a pack of 100."""
    graz, kiel = deliveries_of(the_lists(stock=350))
    assert [(pick.from_stock, pick.sent) for pick in graz.picks] == [(300, 0)]
    assert [(pick.from_stock, pick.sent) for pick in kiel.picks] == [(50, 100)]
    assert graz.lists == ()


def test_a_delivery_that_stock_gives_alone_has_no_packing_list():
    graz, kiel = deliveries_of(the_lists(stock=350))
    assert files_of_delivery(graz) == ("pick-list.pdf", "pick-list.xlsx")
    assert files_of_delivery(kiel) == DELIVERY_FILES


@given(st.integers(1, 900), st.integers(1, 900), st.integers(0, 1200))
def test_deliveries_sum_up_to_what_is_ordered_and_taken_from_stock(first, second, stock):
    lists = the_lists(first, second, stock)
    picks = [pick for delivery in deliveries_of(lists) for pick in delivery.picks]
    lines = [line for each in lists for line in each.lines]
    assert sum(pick.sent for pick in picks) == sum(line.ordered for line in lines)
    assert sum(pick.from_stock for pick in picks) == min(stock, first + second)
    assert sum(pick.required for pick in picks) == first + second
    sent = [line for delivery in deliveries_of(lists) for each in delivery.lists for line in each.lines]
    assert all(line.packs * line.pack_size == line.ordered for line in sent)
    assert sum(line.ordered for line in sent) == sum(line.ordered for line in lines)


def test_one_site_on_two_days_is_two_deliveries_and_on_one_day_one():
    same = [at("Q-1", 130, KIEL, "2027-05-01"), at("Q-2", 300, KIEL, "2027-05-01")]
    assert len(deliveries_of(make_order_lists(same, {}, TODAY).lists)) == 1
    phased = [same[0], at("Q-2", 300, KIEL, "2027-06-01")]
    assert [each.quotes for each in deliveries_of(make_order_lists(phased, {}, TODAY).lists)] == [("Q-1",), ("Q-2",)]


@pytest.mark.parametrize("language", LANGUAGES)
def test_each_delivery_has_a_pick_list_and_a_packing_list_of_its_own(language):
    header = replace(HEADER, language=language)
    lists = the_lists()
    whole = text_of_pdf(ORDER_FORMS["picking.pdf"].write(lists, header, ()))
    assert "Kiel" in whole
    assert "Graz" in whole
    every = OrderLists(lists, (), ())
    for delivery, own, other in zip(deliveries_of(lists), ("Graz", "Kiel"), ("Kiel", "Graz"), strict=True):
        for name in ("picking.pdf", "packing.pdf"):
            found = text_of_pdf(paper_of(name, delivery, every, header))
            assert own in found, name
            assert other not in found, name


def test_an_order_kept_before_sites_were_has_no_deliveries():
    assert deliveries_of([replace(each, sites=()) for each in the_lists()]) == ()


def test_each_line_is_ordered_by_the_day_of_the_site_that_needs_it():
    """By hand: screws take 10 days, nuts 30; only the later site takes nuts, the earlier one screws."""
    quotes = [
        a_quote("Q-1", 0, nuts=40, needed_on="2027-05-01", address=KIEL),
        at("Q-2", 300, GRAZ, "2027-04-01"),
    ]
    lists = make_order_lists(quotes, {}, TODAY).lists
    days = {line.part: line.order_by for each in lists for line in each.lines}
    assert days == {"SC": date(2027, 3, 22), "N": date(2027, 4, 1)}
    assert {each.supplier.supplier: (each.needed_on, each.order_by) for each in lists} == {
        "S-1": (date(2027, 4, 1), date(2027, 3, 22)),
        "S-2": (date(2027, 5, 1), date(2027, 4, 1)),
    }
    graz, kiel = deliveries_of(lists)
    assert (graz.order_by, kiel.order_by) == (date(2027, 3, 22), date(2027, 4, 1))
    assert {pick.part: pick.order_by for pick in kiel.picks} == {"N": date(2027, 4, 1)}


def test_what_stock_gives_the_first_site_is_ordered_by_the_day_of_the_second():
    """By hand: 300 of stock serve the first site whole; what is ordered is needed on 1 May, 10 days after the order."""
    (only,) = the_lists(stock=300)
    assert only.lines[0].order_by == date(2027, 4, 21)


def test_deliveries_of_a_change_are_its_differences():
    """By hand: the later site wants 130 instead of 30: one pack of 100 more, none for the other site."""
    first = make_order_lists([at("Q-1", 30, KIEL, "2027-05-01"), at("Q-2", 300, GRAZ, "2027-04-01")], {}, TODAY)
    now = make_order_lists([at("Q-1", 130, KIEL, "2027-05-01"), at("Q-2", 300, GRAZ, "2027-04-01")], {}, TODAY)
    change = change_of([EarlierOrder("O-7", first)], now, an_order_book().parts, frozenset())
    (kiel,) = [each for each in deliveries_of(change.lists) if each.picks]
    assert [(pick.required, pick.sent) for pick in kiel.picks] == [(100, 100)]
    assert kiel.order_by == change.lists[0].lines[0].order_by == date(2027, 4, 21)


def picked(lists):
    """What each delivery picks of the screws: required, from stock, sent."""
    return [
        [(pick.required, pick.from_stock, pick.sent) for pick in each.picks if pick.part == "SC"]
        for each in deliveries_of(lists.moving)
    ]


def test_what_stock_gives_alone_is_picked_and_stands_on_the_sites_own_pick_list():
    """By hand: 400 in stock for 300 and 50: nothing is ordered of screws, and each site's are picked from stock."""
    quotes = [a_quote("Q-1", 50, 40, needed_on="2027-05-01", address=KIEL), at("Q-2", 300, GRAZ, "2027-04-01")]
    whole = make_order_lists(quotes, {"SC": 400}, TODAY)
    assert [line.part for each in whole.lists for line in each.lines] == ["N"]
    assert picked(whole) == [[(300, 300, 0)], [(50, 50, 0)]]
    graz, kiel = deliveries_of(whole.moving)
    assert (graz.lists, [each.supplier.supplier for each in kiel.lists]) == ((), ["S-2"])
    for name, delivery, told in (("picking.pdf", graz, "300 300 0"), ("picking.pdf", kiel, "50 50 0")):
        found = text_of_pdf(paper_of(name, delivery, whole))
        assert told in found
        assert "SC" in found
    sheets = openpyxl.load_workbook(io.BytesIO(ORDER_FORMS["xlsx"].write_whole(whole, HEADER))).sheetnames
    assert sheets == ["S-2", "Delivery 1", "Delivery 2"]
    alone = make_order_lists(quotes[1:], {"SC": 400}, TODAY)
    assert (alone.lists, picked(alone)) == ((), [[(300, 300, 0)]])
    assert "300 300 0" in text_of_pdf(ORDER_FORMS["picking.pdf"].write_whole(alone, HEADER))


def test_a_sites_own_pick_list_has_a_part_once_with_what_that_site_requires():
    """By hand: 440 required, 5 packs of 100: 310 go to the first site, 190 to the second, full packs and loose."""
    whole = make_order_lists([at("Q-1", 130, KIEL, "2027-05-01"), at("Q-2", 310, GRAZ, "2027-04-01")], {}, TODAY)
    graz, kiel = deliveries_of(whole.moving)
    for delivery, told in ((graz, "310 310"), (kiel, "130 190")):
        found = text_of_pdf(paper_of("picking.pdf", delivery, whole))
        assert found.count("\N{BALLOT BOX}") == 1
        assert told in found


@pytest.mark.parametrize(("steps", "told"), [
    # 200 more required, 200 in stock: nothing more is ordered.
    ([(100, 0), (300, 200)], [(200, 200, 0)]),
    # 250 more, 50 in stock: 200 more are ordered.
    ([(100, 0), (350, 50)], [(250, 50, 200)]),
    # 60 of 160 came from stock, which is all that is required now: the pack is not.
    ([(160, 60), (60, 60)], [(-100, 0, -100)]),
    # 60 of 60 came from stock, none is needed: it gets them back.
    ([(60, 60), (0, 60)], [(-60, -60, 0)]),
    # 60 of 160 came from stock; none is needed: stock gets its own back, the pack is cancelled.
    ([(160, 60), (0, 0)], [(-160, -60, -100)]),
    # All came from stock; 100 more are required, and ordered.
    ([(60, 60), (160, 60)], [(100, 0, 100)]),
    # As required before: nothing moves.
    ([(160, 60), (160, 60)], []),
])  # fmt: skip
def test_what_a_change_takes_from_stock_is_picked(steps, told):
    first, now = (
        make_order_lists([at("Q-1", count, KIEL, "2027-05-01")], {"SC": stock}, TODAY) for count, stock in steps
    )
    change = change_of([EarlierOrder("O-7", first)], now, an_order_book().parts, frozenset())
    assert [each for delivery in picked(change) for each in delivery] == told


def test_the_notes_of_each_job_go_with_its_own_delivery():
    first, other = at("Q-1", 130, KIEL, "2027-05-01"), at("Q-2", 9, GRAZ, "")
    job = replace(first.estimate.job, notes="Yard gate\nCall first")
    first = replace(first, estimate=SimpleNamespace(**{**vars(first.estimate), "job": job}))
    whole = make_order_lists([first, other], {}, TODAY)
    kiel, graz = deliveries_of(whole.lists)
    assert (kiel.notes, graz.notes) == (("Yard gate", "Call first"), ())
    for name in ("picking.pdf", "packing.pdf"):
        assert "Call first" in text_of_pdf(paper_of(name, kiel, whole))
    for name in ("picking.xlsx", "packing.xlsx"):
        book = openpyxl.load_workbook(io.BytesIO(paper_of(name, kiel, whole)))
        assert "Call first" in {cell.value for sheet in book for row in sheet.iter_rows() for cell in row}


def test_the_workbook_of_the_whole_order_has_a_pick_list_for_each_delivery_and_a_suppliers_has_none():
    lists = the_lists()
    form = ORDER_FORMS["xlsx"]
    whole = openpyxl.load_workbook(io.BytesIO(form.write_whole(OrderLists(lists, (), ()), HEADER)))
    assert whole.sheetnames == ["S-1", "Delivery 1", "Delivery 2"]
    for delivery in deliveries_of(lists):
        sheet = whole[f"Delivery {delivery.number}"]
        values = [[cell.value for cell in row] for row in sheet.iter_rows()]
        (row,) = [row for row in values if row[1] == "SC"]
        assert row[4] == delivery.picks[0].required
        assert row[6] == delivery.picks[0].sent
    assert openpyxl.load_workbook(io.BytesIO(form.write(lists, HEADER, ()))).sheetnames == ["Order"]
