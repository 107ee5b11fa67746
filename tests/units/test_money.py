"""Money: minor units, rounding and sharing against outside lists."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from iso4217 import Currency

from estimator.errors import Refused
from estimator.money import Money, minor_digits, share, total, zero

# Source: the official ISO 4217 list, as the iso4217 package carries it.
LIST = [(each.code, each.exponent) for each in Currency if each.exponent is not None]
NO_MINOR_UNIT = [each.code for each in Currency if each.exponent is None]


@pytest.mark.parametrize(("code", "exponent"), LIST)
def test_minor_units_are_those_of_iso_4217(code, exponent):
    assert minor_digits(code) == exponent


# Source: ISO 4217, list three: BGN until 2026 and ANG until 2025, from memory.
def test_what_was_priced_in_a_currency_withdrawn_lately_is_still_read():
    assert (minor_digits("BGN"), minor_digits("ANG")) == (2, 2)


@pytest.mark.parametrize("code", [*NO_MINOR_UNIT, "DEM", "EURO", "", "usd", "ZZZ"])
def test_what_is_no_money_is_refused(code):
    with pytest.raises(Refused):
        minor_digits(code)


# Source: Python decimal, ROUND_HALF_UP and ROUND_HALF_EVEN at 0.01 (computed table).
@pytest.mark.parametrize(
    ("amount", "half_up", "half_even"),
    [
        ("1.005", "1.01", "1.00"),
        ("1.015", "1.02", "1.02"),
        ("2.675", "2.68", "2.68"),
        ("-1.005", "-1.01", "-1.00"),
        ("-1.015", "-1.02", "-1.02"),
        ("0.0049", "0.00", "0.00"),
    ],
)
def test_an_amount_is_rounded_as_the_mode_says(amount, half_up, half_even):
    money = Money(Decimal(amount), "USD")
    assert money.rounded().amount == Decimal(half_up)
    assert money.rounded("half_even").amount == Decimal(half_even)


def test_currencies_do_not_mix():
    with pytest.raises(Refused):
        Money(Decimal(1), "USD") + Money(Decimal(1), "EUR")


@pytest.mark.parametrize("factor", [1.5, True, "2"])
def test_money_is_never_multiplied_by_a_float(factor):
    with pytest.raises(TypeError):
        Money(Decimal(1), "USD") * factor


@pytest.mark.parametrize("amount", [1.0, Decimal("NaN"), Decimal("Infinity")])
def test_an_amount_is_a_finite_decimal(amount):
    with pytest.raises((TypeError, ValueError)):
        Money(amount, "USD")


@given(
    st.integers(0, 10**9),
    st.lists(st.decimals(0, 1000, places=2), min_size=1, max_size=20).filter(lambda weights: sum(weights) > 0),
)
def test_shares_add_up_to_the_amount_and_stay_within_a_unit_of_their_weight(units, weights):
    amount = Money(Decimal(units).scaleb(-2), "EUR")
    shares = share(amount, weights)
    assert total(shares, "EUR") == amount
    for part, weight in zip(shares, weights, strict=True):
        assert abs(part.amount - amount.amount * weight / sum(weights)) < Decimal("0.0100001")


def test_nothing_stands_at_the_minor_unit():
    assert str(zero("KWD").amount) == "0.000"
