"""Freight by shipped mass, worked by hand."""

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.buying import buy
from estimator.errors import ChoiceRefused
from estimator.freight import charge_freight, no_freight
from estimator.takeoff.records import NetLine
from tests.builders import a_book, a_part


def _charge(mass_kg: float, zone: str = "near", packaging: float = 0.05):
    book = replace(
        a_book(), parts={"P": a_part("P", "nut", None, mass_kg, "1.00")}, packaging_share=packaging, spares={}
    )
    return charge_freight(buy([NetLine("P", "nut", 1, ())], book), book, zone)


# 100 kg + 5 kg packaging: 40.00 + 0.25 * 105 = 66.25. 10 kg + 0.5: 42.625, the minimum of 60.00 holds.
# 500 kg + 25: the second row, 80.00 + 0.18 * 525 = 174.50. 476.19 + 23.81 = 500.00 kg exactly: the second row.
@pytest.mark.parametrize(
    ("mass", "shipped", "charge"),
    [(100.0, 105.0, "66.25"), (10.0, 10.5, "60.00"), (500.0, 525.0, "174.50"), (476.19, 500.0, "170.00")],
)
def test_freight_follows_the_table_by_shipped_mass(mass, shipped, charge):
    freight = _charge(mass)
    assert freight.mass_kg == pytest.approx(shipped, abs=0.001)
    assert freight.charge.amount == Decimal(charge)


def test_an_unknown_zone_is_refused_with_the_zones_there_are():
    with pytest.raises(ChoiceRefused) as refused:
        _charge(1.0, zone="moon")
    assert refused.value.faults[0].pointer == "/site/freight_zone"
    assert "near" in refused.value.faults[0].allowed


def test_nothing_shipped_costs_nothing_and_a_quote_may_leave_freight_out():
    book = a_book()
    assert charge_freight((), book, "near").charge.amount == 0
    assert no_freight(_charge(100.0)).charge.amount == 0
    assert no_freight(_charge(100.0)).mass_kg == 105.0
