"""Off-cuts from earlier jobs in the book of a quote: each heap at its own price, as many as there are."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.errors import ChoiceRefused
from estimator.estimate import estimate
from estimator.job import Choices, OffcutOnHand
from estimator.pricing.rail_offers import with_offcuts
from tests.builders import a_book, a_job

PLAIN = estimate(a_job(), a_book(), Choices(), date(2026, 11, 25))
LONGEST = max(run.length_mm for run in PLAIN.setting_out.runs)


def _book(*offcuts):
    choices = replace(Choices(), offcuts=tuple(OffcutOnHand("R-AL", mm, Decimal(price), n) for mm, price, n in offcuts))
    book = with_offcuts(a_book(), choices)
    stocks = {stock.part: stock for stock in book.rails["R-AL"].stocks if "offcut" in stock.part}
    return {part: (stock.length_mm, book.parts[part].cost, stock.available) for part, stock in stocks.items()}, choices


def test_heaps_of_one_length_at_two_prices_keep_their_prices():
    """One at 5.00, two at 6.00: not three at 6.00."""
    found, _ = _book((3000.0, "5.00", 1), (3000.0, "6.00", 2))
    assert found == {
        "R-AL-offcut-3000": (3000.0, Decimal("5.00"), 1),
        "R-AL-offcut-3000-2": (3000.0, Decimal("6.00"), 2),
    }


def test_the_same_off_cut_named_twice_is_one_heap():
    assert _book((3000.0, "5.00", 1), (3000.0, "5.00", 2))[0] == {"R-AL-offcut-3000": (3000.0, Decimal("5.00"), 3)}


def test_the_cheaper_heap_is_used_up_first_and_each_is_billed_at_its_own_price():
    """Off-cuts as long as a run: two at 1.00, then one at 2.00, then the fourth run from a bar of the book."""
    assert len(PLAIN.setting_out.runs) == 4
    _, choices = _book((LONGEST, "1.00", 2), (LONGEST, "2.00", 1))
    found = estimate(a_job(), a_book(), choices, date(2026, 11, 25))
    lines = {each.line.part: (each.line.ordered, each.price.amount) for each in found.bill.lines}
    name = f"R-AL-offcut-{LONGEST:g}"
    assert lines[name] == (2, Decimal("2.00"))
    assert lines[f"{name}-2"] == (1, Decimal("2.00"))
    assert sum(bars.count for bars in found.cut_plan.bars_by_length) == 4
    assert found.cut_plan.cost < PLAIN.cut_plan.cost
    assert found.cut_plan.proven_optimal


def test_an_off_cut_of_an_unknown_rail_is_refused_at_its_place():
    choices = replace(Choices(), offcuts=(OffcutOnHand("R-NO", 3000.0, Decimal(1)),))
    with pytest.raises(ChoiceRefused) as refused:
        with_offcuts(a_book(), choices)
    assert refused.value.faults[0].pointer == "/offcuts/0/rail"
