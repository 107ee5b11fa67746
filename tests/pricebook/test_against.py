"""An edition against an earlier one: differences by hand, and the alarms of a pricing manager (rules of the house)."""

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.pricebook import PriceBreak
from estimator.pricebook.against import against, cost_at
from tests.fixture_book import a_book

BOOK = a_book()
PART = next(iter(BOOK.parts.values()))


def changed(**fields):
    return replace(BOOK, parts={**BOOK.parts, PART.part: replace(PART, breaks=(), **fields)})


BEFORE = changed(cost=Decimal("10"))


@pytest.mark.parametrize(
    ("cost", "alarm"),
    [
        ("11", ""),  # 10 % is the threshold, not beyond it
        ("11.01", "rises by 10.1%"),
        ("8.90", "falls by 11.0%"),
    ],
)
def test_a_cost_beyond_the_threshold_is_an_alarm(cost, alarm):
    (found,) = against(changed(cost=Decimal(cost)), BEFORE, Decimal("0.1"))
    assert (found.of, found.column, found.before, found.after) == (PART.part, "cost", "10", cost)
    assert alarm in found.alarm
    assert bool(found.alarm) == bool(alarm)


def test_a_break_is_compared_at_its_quantity_whichever_edition_has_it():
    """By hand: 10.00 before from one piece on; 6.00 from 100 on is 40 % less."""
    after = changed(cost=Decimal("10"))
    part = replace(after.parts[PART.part], breaks=(PriceBreak(100, Decimal("6")),))
    (found,) = against(replace(after, parts={**after.parts, PART.part: part}), BEFORE, Decimal("0.1"))
    assert (found.column, found.alarm) == ("cost from 100", "the cost falls by 40.0%")
    assert cost_at(part, 99) == Decimal("10")


def test_a_part_that_is_gone_is_an_alarm_and_a_new_one_is_not():
    fewer = replace(BEFORE, parts={name: part for name, part in BEFORE.parts.items() if name != PART.part})
    (gone,) = against(fewer, BEFORE, Decimal("0.1"))
    (new,) = against(BEFORE, fewer, Decimal("0.1"))
    assert (gone.after, bool(gone.alarm)) == ("gone", True)
    assert (new.after, new.alarm) == ("new", "")


@pytest.mark.parametrize(("list_price", "alarm"), [("8", "-25.0%"), ("0", "nothing"), ("12", "")])
def test_a_margin_outside_0_to_100_per_cent_is_an_alarm(list_price, alarm):
    """By hand: (8 - 10) / 8 = -25 %."""
    book = changed(cost=Decimal("10"), list_price=Decimal(list_price))
    assert [
        each.alarm for each in against(book, book, Decimal("0.1")) if alarm and alarm in each.alarm
    ] != [] or not alarm
    assert bool(against(book, book, Decimal("0.1"))) == bool(alarm)


def test_a_pack_that_changes_is_an_alarm():
    after = changed(cost=Decimal("10"), pack_size=PART.pack_size + 1)
    assert [(each.column, bool(each.alarm)) for each in against(after, BEFORE, Decimal("0.1"))] == [("pack_size", True)]
