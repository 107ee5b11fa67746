"""The priced bill: margin and markup, breaks, the order of adjustments, tax, against published and worked values."""

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.buying import BuyLine, buy
from estimator.errors import ChoiceRefused
from estimator.freight import charge_freight, no_freight
from estimator.job import Choices, LineChange
from estimator.labour import no_labour
from estimator.money import Money, total
from estimator.pricebook import PriceBreak, Tax
from estimator.pricing import price, price_from_cost, unit_cost
from estimator.takeoff.records import NetLine
from tests.builders import a_book, a_part
from tests.facts import refusing

D = Decimal
NO_CHOICES = Choices()


# Source: definitions of margin and markup; values computed to the cent.
@pytest.mark.parametrize(
    ("rate", "by_markup", "by_margin"),
    [("0.20", "86.82", "90.44"), ("0.25", "90.44", "96.47"), ("0.30", "94.06", "103.36"), ("0.35", "97.67", "111.31")],
)
def test_margin_is_not_markup(rate, by_markup, by_margin):
    for method, expected in (("markup", by_markup), ("margin", by_margin)):
        assert Money(price_from_cost(D("72.35"), method, D(rate)), "USD").rounded().amount == D(expected)


def test_a_quarter_of_markup_is_a_fifth_of_margin():  # Source: g = m / (1 + m)
    assert price_from_cost(D(100), "markup", D("0.25")) == price_from_cost(D(100), "margin", D("0.20"))


def _bill(parts, counts, book=None, choices=NO_CHOICES, tier=""):
    book = book or a_book()
    book = replace(book, parts={part.part: part for part in parts})
    lines = buy([NetLine(part.part, part.role, n, ()) for part, n in zip(parts, counts, strict=True)], book)
    freight = no_freight(charge_freight(lines, book, "near"))
    return price(lines, freight, no_labour(book), book, choices, tier)


def _plain_book(**changes):
    """No spares, no margin, no tiers: costs are prices."""
    return a_book(**{"spares": {}, "pricing_method": "markup", "pricing_rate": D(0), "tiers": {}} | changes)


# Source: worked example, three lines of 3 x 1.15, 7 x 0.85 and 11 x 2.35 at 8.25 %: 2.90 by line, 2.91 on the total.
@pytest.mark.parametrize(("per", "tax"), [("line", "2.90"), ("total", "2.91")])
def test_tax_by_line_and_on_the_total_differ_and_the_book_says_which(per, tax):
    parts = [a_part(f"P{n}", "nut", None, 0.1, cost) for n, cost in enumerate(["1.15", "0.85", "2.35"])]
    book = _plain_book(currency="USD", tax=Tax("Sales tax", D("0.0825"), frozenset({"parts"}), per))
    bill = _bill(parts, [3, 7, 11], book)
    assert bill.totals.parts.amount == D("35.25")
    assert bill.totals.tax.amount == D(tax)


def test_a_break_applies_to_the_ordered_quantity_not_to_the_net_one():
    part = replace(
        a_part("P", "nut", None, 0.1, "1.00", 50), breaks=(PriceBreak(100, D("0.80")), PriceBreak(200, D("0.70")))
    )
    bill = _bill([part], [151], _plain_book())  # 151 become 4 packs of 50
    assert bill.lines[0].line.ordered == 200
    assert bill.lines[0].unit_cost == D("0.70")
    assert bill.lines[0].price.amount == D("140.00")
    assert unit_cost(part, 99) == (D("1.00"), 0)
    assert unit_cost(part, 100) == (D("0.80"), 100)


def test_every_step_comes_in_its_order():
    """1000.00 of parts, 10 % line discount, 5 % quote discount, 10 % contingency, 20 % tax on parts.

    900.00; less 45.00; 855.00; contingency 85.50; 940.50 before tax; tax 0.2 * 855.00 = 171.00; 1111.50.
    """
    tax = Tax("VAT", D("0.20"), frozenset({"parts"}))
    choices = Choices(discount=D("0.05"), contingency=D("0.10"), line_discounts=(("P", D("0.10")),))
    totals = _bill([a_part("P", "nut", None, 0.1, "10.00")], [100], _plain_book(tax=tax), choices).totals
    amounts = [totals.parts, totals.discount, totals.contingency, totals.before_tax, totals.tax, totals.total]
    assert [str(each.amount) for each in amounts] == ["900.00", "45.00", "85.50", "940.50", "171.00", "1111.50"]


def test_a_line_is_rounded_once_from_the_unit_price_at_the_books_places():
    """Cost 0.33 at 30 % margin is 0.471428..., at four places 0.4714; times 7 is 3.2998, rounded 3.30."""
    bill = _bill([a_part("P", "nut", None, 0.1, "0.33")], [7], a_book(spares={}))
    assert bill.lines[0].unit_price == D("0.4714")
    assert bill.lines[0].price.amount == D("3.30")


def test_totals_are_sums_of_rounded_lines():
    parts = [a_part(f"P{n}", "nut", None, 0.1, f"0.{n:02d}7") for n in range(1, 40)]
    bill = _bill(parts, list(range(1, 40)), a_book(spares={}))
    assert total((line.price for line in bill.lines), "EUR") == bill.totals.parts
    assert all(line.price == line.price.rounded() for line in bill.lines)


def test_the_customers_tier_is_the_quote_discount_unless_the_estimator_gives_one():
    part = a_part("P", "nut", None, 0.1, "10.00")
    book = _plain_book(tiers={"trade": D("0.05")})
    assert _bill([part], [10], book, tier="trade").totals.discount.amount == D("5.00")
    assert _bill([part], [10], book, Choices(discount=D("0.02")), "trade").totals.discount.amount == D("2.00")


def test_margin_and_cost_follow_from_the_lines():
    totals = _bill([a_part("P", "nut", None, 0.1, "70.00")], [10], a_book(spares={}, tiers={})).totals
    assert (totals.cost.amount, totals.before_tax.amount) == (D("700.00"), D("1000.00"))
    assert (totals.margin.amount, totals.margin_rate) == (D("300.00"), D("0.3000"))


def test_all_wrong_rates_are_refused_at_once():
    choices = Choices(margin=D(1), discount=D("1.5"), contingency=D("-0.1"), line_discounts=(("P", D(2)),))
    with pytest.raises(ChoiceRefused) as refused:
        _bill([a_part("P", "nut", None, 0.1, "1.00")], [1], choices=choices, tier="nobody")
    pointers = {fault.pointer for fault in refused.value.faults}
    assert pointers == {"/margin", "/discount", "/contingency", "/line_discounts/P", "/customer/tier"}


def test_an_estimators_line_changes_are_carried_out_and_said():
    book = _plain_book(
        parts={p.part: p for p in (a_part("P", "nut", None, 0.1, "1.00"), a_part("Q", "nut", None, 0.1, "2.00"))}
    )
    changes = (
        LineChange("P", ordered=5, unit_price=D("0.90"), reason="agreed"),
        LineChange("Q", ordered=3, reason="wanted"),
    )
    lines = buy([NetLine("P", "nut", 10, ())], book, changes)
    bill = price(
        lines, no_freight(charge_freight(lines, book, "near")), no_labour(book), book, Choices(line_changes=changes)
    )
    assert [(line.line.part, line.line.ordered, str(line.price.amount)) for line in bill.lines] == [
        ("P", 5, "4.50"),
        ("Q", 3, "6.00"),
    ]
    assert "5 ordered instead of 10, changed by the estimator: agreed" in lines[0].why
    assert "given by the estimator" in bill.lines[0].price_rule
    assert buy([NetLine("P", "nut", 10, ())], book, [LineChange("P", struck=True)]) == ()
    with refusing(ChoiceRefused, ("/line_changes/0/part", "unknown_name"), holds=("'ghost'",)):
        buy([], book, [LineChange("ghost", ordered=1)])


def test_currencies_keep_their_minor_units():
    bill = _bill([a_part("P", "nut", None, 0.1, "10.4")], [3], _plain_book(currency="JPY"))
    assert str(bill.totals.parts.amount) == "31"
    assert isinstance(bill.lines[0].line, BuyLine)
