"""Exact amounts with a currency, the one rounding rule, and the sharing of a sum over lines.

Source: ISO 4217 for the minor units.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from typing import Literal

from estimator.errors import Refused
from estimator.sentences import say

Rounding = Literal["half_up", "half_even"]
_MODES = {"half_up": ROUND_HALF_UP, "half_even": ROUND_HALF_EVEN}
# ISO 4217, list one as published on 2026-01-01: the codes by the decimals of their minor unit. It is kept here, since a
# new version of a library must not change a cent.
_BY_DIGITS = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    2: "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD CDF CHE CHF CHW "
    "CNY COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF "
    "IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK "
    "MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP "
    "SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD USN UYU UZS VED VES WST XAD XCD XCG "
    "YER ZAR ZMW ZWG",
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}
# Withdrawn from that list since 2020 (ISO 4217, list three; from memory): what was priced in them is still read.
_WITHDRAWN = "ANG BGN CUC HRK SLL ZWL"
_DIGITS = {code: digits for digits, codes in _BY_DIGITS.items() for code in codes.split()} | dict.fromkeys(
    _WITHDRAWN.split(), 2
)


def minor_digits(currency: str) -> int:
    """Decimals of a currency's minor unit; what has none (metals, units of account) is refused.

    Source: ISO 4217.

    >>> minor_digits("USD"), minor_digits("JPY"), minor_digits("KWD")
    (2, 0, 3)
    """
    if currency not in _DIGITS:
        raise Refused(say("{currency} is no currency of ISO 4217", currency=repr(currency)))
    return _DIGITS[currency]


def whole_below(number: Decimal) -> int:
    """The greatest whole number that is not above a number."""
    return int(number.to_integral_value(ROUND_FLOOR))


@dataclass(frozen=True, slots=True, order=False)
class Money:
    """An exact amount in one currency; amounts of different currencies never mix."""

    amount: Decimal
    currency: str

    def __post_init__(self) -> None:
        if not isinstance(self.amount, Decimal):
            raise TypeError("an amount is a Decimal, never a float")
        if not self.amount.is_finite():
            raise ValueError("an amount is a finite number")

    def __add__(self, other: Money) -> Money:
        self._same(other)
        return Money(self.amount + other.amount, self.currency)

    def __sub__(self, other: Money) -> Money:
        self._same(other)
        return Money(self.amount - other.amount, self.currency)

    def __neg__(self) -> Money:
        return Money(-self.amount, self.currency)

    def __mul__(self, factor: Decimal | int) -> Money:
        if isinstance(factor, bool) or not isinstance(factor, (Decimal, int)):
            raise TypeError("money is multiplied by whole numbers and Decimals only")
        return Money(self.amount * factor, self.currency)

    def __lt__(self, other: Money) -> bool:
        self._same(other)
        return self.amount < other.amount

    def rounded(self, rounding: Rounding = "half_up") -> Money:
        """To the currency's minor unit, once.

        >>> Money(Decimal("1.005"), "USD").rounded().amount
        Decimal('1.01')
        """
        return self.to_places(minor_digits(self.currency), rounding)

    def to_places(self, places: int, rounding: Rounding = "half_up") -> Money:
        """To a number of decimals (a pricebook's unit price places)."""
        return Money(self.amount.quantize(Decimal(1).scaleb(-places), _MODES[rounding]), self.currency)

    def minor(self) -> int:
        """The amount in whole minor units; it must be rounded already."""
        scaled = self.amount.scaleb(minor_digits(self.currency))
        if scaled != scaled.to_integral_value():
            raise ValueError(f"{self.amount} {self.currency} is not a whole number of minor units")
        return int(scaled)

    def _same(self, other: Money) -> None:
        if self.currency != other.currency:
            raise Refused(
                say("{currency} and {currency2} do not add up", currency=self.currency, currency2=other.currency)
            )


def zero(currency: str) -> Money:
    """Nothing, in that currency, at its minor unit's places."""
    return Money(Decimal(0), currency).rounded()


def total(amounts: Iterable[Money], currency: str) -> Money:
    """The sum of amounts of one currency."""
    result = zero(currency)
    for amount in amounts:
        result = result + amount
    return result


def share(amount: Money, weights: Sequence[Decimal]) -> tuple[Money, ...]:
    """A rounded amount shared over lines by weight, by largest remainder, so that the shares add up to it.

    Source: largest remainder method (common practice, no source).

    >>> [str(part.amount) for part in share(Money(Decimal("100.00"), "EUR"), [Decimal(1)] * 3)]
    ['33.34', '33.33', '33.33']
    """
    units, whole = amount.minor(), sum(weights, Decimal(0))
    if whole <= 0 or any(weight < 0 for weight in weights):
        raise ValueError("weights are not negative and add up to more than zero")
    exact = [Decimal(units) * weight / whole for weight in weights]
    floors = [whole_below(part) for part in exact]
    order = sorted(range(len(exact)), key=lambda i: (floors[i] - exact[i], i))
    for i in order[: units - sum(floors)]:
        floors[i] += 1
    digits = minor_digits(amount.currency)
    return tuple(Money(Decimal(part).scaleb(-digits), amount.currency) for part in floors)
