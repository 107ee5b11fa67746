"""What a bookkeeper objects to. Amounts are worked by hand beside each case; rules are common practice, no source."""

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.buying import buy
from estimator.errors import ChoiceRefused
from estimator.freight import charge_freight, falling_step, no_freight
from estimator.job import Choices, LineChange, OffcutOnHand
from estimator.labour import no_labour
from estimator.pricebook import FreightRate, PriceBreak
from estimator.pricing import check_choices, money_findings, price
from estimator.pricing.rail_offers import with_offcuts
from estimator.takeoff.records import NetLine
from tests.builders import a_book, a_part

D = Decimal
NO_CHOICES = Choices()


def _book(*parts, **changes):
    plain = {"spares": {}, "pricing_method": "markup", "pricing_rate": D("0.10"), "tiers": {}}
    return a_book(**plain | changes | {"parts": {part.part: part for part in parts}})


def _findings(book, counts, choices=NO_CHOICES):
    lines = buy([NetLine(part, "nut", n, ()) for part, n in counts.items()], book, choices.line_changes)
    freight = no_freight(charge_freight(lines, book, "near"))
    return {(each.code, each.place.part): each for each in money_findings(
        price(lines, freight, no_labour(book), book, choices), book, choices)}  # fmt: skip


def test_a_line_sold_below_cost_is_an_error_and_only_those_who_see_costs_are_told():
    """10 × 1.00 of cost, 10 × 0.99 of price; the other line earns 10 × 0.10, so that the whole is above cost."""
    book = _book(a_part("P", "nut", None, 0.1, "1.00"), a_part("Q", "nut", None, 0.1, "1.00"))
    found = _findings(book, {"P": 10, "Q": 10}, Choices(line_changes=(LineChange("P", unit_price=D("0.99")),)))
    finding = found["line_below_cost", "P"]
    assert (finding.severity, finding.found, finding.allowed, finding.unit) == ("error", 9.9, 10.0, "EUR")
    assert finding.tells_cost
    assert len(found) == 1


def test_the_discount_of_the_quote_counts_and_so_does_the_whole():
    """11.00 less 10 % = 9.90 against 10.00 of cost; contingency of 5 % (0.50) does not make it good."""
    book = _book(a_part("P", "nut", None, 0.1, "1.00"))
    choices = Choices(discount=D("0.10"), contingency=D("0.05"))
    found = _findings(book, {"P": 10}, choices)
    assert set(found) == {("line_below_cost", "P"), ("quote_below_cost", "")}
    assert (found["quote_below_cost", ""].found, found["quote_below_cost", ""].allowed) == (9.9, 10.0)


# Source: 249 × 2.00 = 498.00, 250 × 1.90 = 475.00; at 237 both ways: 474.00 < 475.00.
@pytest.mark.parametrize(("ordered", "offered"), [(237, False), (238, True), (240, True), (249, True), (250, False)])
def test_the_next_break_is_offered_where_it_costs_less_in_all(ordered, offered):
    part = replace(a_part("P", "nut", None, 0.1, "2.00"), breaks=(PriceBreak(250, D("1.90")),))
    found = _findings(_book(part), {"P": ordered})
    assert (("next_break_costs_less", "P") in found) is offered
    if offered:
        assert found["next_break_costs_less", "P"].allowed == 250.0


def test_a_discount_of_a_part_without_a_line_is_told_and_of_an_unknown_part_refused():
    book = _book(a_part("P", "nut", None, 0.1, "1.00"), a_part("Q", "nut", None, 0.1, "1.00"))
    assert ("discount_without_line", "Q") in _findings(book, {"P": 1}, Choices(line_discounts=(("Q", D("0.05")),)))
    with pytest.raises(ChoiceRefused) as refused:
        check_choices(book, Choices(line_discounts=(("ghost", D("0.05")),)), "")
    assert [fault.pointer for fault in refused.value.faults] == ["/line_discounts/ghost"]


def test_two_changes_of_a_part_and_a_price_of_too_many_decimals_are_refused_together():
    book = _book(a_part("P", "nut", None, 0.1, "1.00"))  # four places
    changes = (LineChange("P", ordered=3), LineChange("P", unit_price=D("1.23456")), LineChange("ghost", ordered=1))
    with pytest.raises(ChoiceRefused) as refused:
        check_choices(book, Choices(line_changes=changes), "")
    assert [fault.pointer for fault in refused.value.faults] == [
        "/line_changes/1/part",
        "/line_changes/1/unit_price",
        "/line_changes/2/part",
    ]


def test_an_offcut_on_hand_says_what_it_is_and_bears_no_margin():
    offcut = OffcutOnHand("R-AL", 1500.0, D("4.00"), 3)
    book = with_offcuts(a_book(), Choices(offcuts=(offcut,)))
    part = next(name for name in book.parts if "offcut" in name)
    lines = buy([NetLine(part, "rail", 2, ())], book)
    bill = price(lines, no_freight(charge_freight(lines, book, "near")), no_labour(book), book, Choices())
    assert "without margin" in bill.lines[0].price_rule
    assert (bill.lines[0].price, bill.lines[0].cost.amount) == (bill.lines[0].cost, D("8.00"))


def test_a_freight_table_that_falls_at_a_step_is_told():
    """499 kg at 0.25 and a base of 40 cost 164.75; 500 kg at 0.10 and the same base 90.00."""
    part = a_part("P", "nut", None, 1.0, "1.00")
    rates = (FreightRate("near", 0.0, D(40), D("0.25")), FreightRate("near", 500.0, D(40), D("0.10")))
    for table, told in ((rates, True), ((rates[0], replace(rates[1], base=D(130))), False)):
        book = _book(part, freight=table, packaging_share=0.0)
        charge = charge_freight(buy([NetLine("P", "nut", 499, ())], book), book, "near")
        assert [each.code for each in falling_step(charge, book)] == ["freight_falls_at_step"] * told
