"""Numbers, amounts, dates and quantities as people of a locale read them.

Patterns come from Babel (CLDR) once per locale and currency; loops then use a plain formatter that is compared with
Babel before it is trusted. Everything is rounded half up before it is written, since Babel rounds half to even.
Amounts are only written here, never computed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from typing import Literal

from babel import Locale
from babel.dates import format_date
from babel.localedata import locale_identifiers
from babel.numbers import format_currency, format_decimal

from estimator.documents.language.lengths import feet_and_inches, whole_mm
from estimator.money import Money, minor_digits
from estimator.sentences import LANGUAGES
from estimator.units import Dimension, DisplayUnits, System, shown, side_by_side, systems_of

Units = DisplayUnits
_ABROAD = {"en": "001"}
"""English for readers of a country whose own English CLDR does not know."""
_HOME = {"en": "US", "de": "DE", "es": "ES", "fr": "FR"}
_SEPARATORS = {"de_CH": ("’", "."), "de_LI": ("’", "."), "en_CH": ("’", "."), "fr_CH": ("\u202f", ",")}
"""Between thousands and before decimals where CLDR 48 differs from 45 to 47 (with CLDR 48 Babel does not group Swiss
millions at all): as the earlier ones say, so that papers look the same with every version."""
_NEW_IN_CLDR_48 = frozenset({"en_EE", "en_GE", "en_JP", "en_LT", "en_LV", "en_UA"})
_PROBES = tuple(
    Decimal(text)
    for text in ("0", "1", "-1", "0.5", "-0.5", "12.34", "999", "1000", "-1234.5", "12345.67", "-1234567.89", "9876543")
)  # fmt: skip
_SIGNS: dict[str, str] = {
    "mm2": "mm²",
    "in2": "in²",
    "mm3": "mm³",
    "in3": "in³",
    "mm4": "mm⁴",
    "in4": "in⁴",
    "m2": "m²",
    "ft2": "ft²",
}


def language_of(tag: str) -> str:
    """The language of a tag, English where there is no catalogue for it.

    >>> language_of("de-CH"), language_of("fi")
    ('de', 'en')
    """
    language = tag.replace("-", "_").split("_")[0].lower()
    return language if language in LANGUAGES else "en"


@lru_cache(maxsize=256)
def locale_for(tag: str, country: str = "") -> str:
    """The CLDR locale of a language tag and the reader's country.

    >>> locale_for("de", "CH"), locale_for("en", ""), locale_for("fr", "US"), locale_for("en", "BG")
    ('de_CH', 'en_US', 'fr_FR', 'en_001')
    """
    language = language_of(tag)
    region = tag.replace("-", "_").partition("_")[2].upper() or country.upper()
    for place in (region, _ABROAD.get(language, "") if region else "", _HOME[language]):
        if place and f"{language}_{place}" in _localities():
            return f"{language}_{place}"
    return language


@lru_cache(maxsize=1)
def _localities() -> frozenset[str]:
    """Those that every version of the library in range knows."""
    return frozenset(locale_identifiers()) - _NEW_IN_CLDR_48


@dataclass(frozen=True, slots=True)
class NumberRule:
    """How to write numbers of so many places: separators, and what stands before and after; or Babel itself."""

    places: int
    separators: dict[int, str]
    before: str
    after: str
    before_minus: str
    after_minus: str
    slow: Callable[[Decimal], str] | None = None

    def write(self, value: Decimal | int) -> str:
        """The number, rounded half up to its places."""
        rounded = Decimal(value).quantize(Decimal(1).scaleb(-self.places), ROUND_HALF_UP)
        if self.slow is not None:
            return self.slow(rounded)
        digits = f"{abs(rounded):,.{self.places}f}".translate(self.separators)
        if rounded < 0:
            return f"{self.before_minus}{digits}{self.after_minus}"
        return f"{self.before}{digits}{self.after}"


@lru_cache(maxsize=512)
def number_rule(locale: str, currency: str, places: int) -> NumberRule:
    """The fast rule where it writes every probe as Babel does, else Babel."""
    pattern = "#,##0." + "0" * places if places else "#,##0"
    known = Locale.parse(locale)

    if currency:
        pattern = re.sub(r"0\.00", pattern.removeprefix("#,##"), known.currency_formats["standard"].pattern)

    def slow(value: Decimal) -> str:
        if not currency:
            return str(format_decimal(value, pattern, locale=known))
        return str(format_currency(value, currency, pattern, locale=known, currency_digits=False))

    own = _SEPARATORS.get(locale)
    separators = {ord(","): own[0], ord("."): own[1]} if own else _separators(slow, places)
    sample = Decimal(777 if own else 1234567)
    figure = f"{sample:,.{places}f}".translate(separators)
    plus, minus = slow(sample), slow(-sample)
    before, _, after = plus.partition(figure)
    before_minus, _, after_minus = minus.partition(figure)
    fast = NumberRule(places, separators, before, after, before_minus, after_minus)
    step = Decimal(1).scaleb(-places)
    probes = [probe.quantize(step, ROUND_HALF_UP) for probe in _PROBES if not own or abs(probe) < 1000]
    if figure in plus and figure in minus and all(fast.write(probe) == slow(probe) for probe in probes if probe):
        return fast
    return NumberRule(places, separators, before, after, before_minus, after_minus, slow)


def _separators(slow: Callable[[Decimal], str], places: int) -> dict[int, str]:
    """The separators a locale uses (in amounts some use others than in plain numbers), read off one number."""
    written = slow(Decimal(7777777))
    figure = written[written.index("7") :]
    last = max(at for at, ch in enumerate(figure) if ch.isdigit())
    marks = [ch for ch in figure[:last] if not ch.isdigit()]
    group = marks[0] if marks else ","
    return {ord(","): group, ord("."): marks[-1] if places and marks else "."}


@dataclass(frozen=True, slots=True)
class Formats:
    """Writes numbers for one locale, in metric units, US units, or both side by side, ``apart`` between them."""

    locale: str
    units: Units = "metric"
    apart: str = " "

    @property
    def stacked(self) -> Formats:
        """The same, of two systems the second below the first: for narrow columns."""
        return replace(self, apart="\n")

    @property
    def systems(self) -> tuple[System, ...]:
        """One system of units, or two in the order they are shown."""
        return systems_of(self.units)

    def count(self, value: int) -> str:
        """A whole count.

        >>> Formats("de_DE").count(1234)
        '1.234'
        """
        return number_rule(self.locale, "", 0).write(value)

    def decimal(self, value: Decimal | float, places: int) -> str:
        """A number with so many decimals, rounded half up."""
        return number_rule(self.locale, "", places).write(Decimal(str(value)))

    def amount(self, money: Money) -> str:
        """An amount without its currency, for a column whose head names it.

        >>> Formats("fr_FR").amount(Money(Decimal("-12.50"), "EUR"))
        '-12,50'
        """
        return number_rule(self.locale, "", minor_digits(money.currency)).write(money.amount)

    def money(self, money: Money) -> str:
        """An amount with its currency.

        >>> Formats("en_US").money(Money(Decimal("1234.5"), "USD"))
        '$1,234.50'
        """
        return number_rule(self.locale, money.currency, minor_digits(money.currency)).write(money.amount)

    def unit_price(self, price: Decimal, currency: str) -> str:
        """A unit price with every decimal it has, at least those of the currency.

        >>> Formats("en_US").unit_price(Decimal("0.1650"), "USD"), Formats("en_US").unit_price(Decimal("4.1"), "USD")
        ('0.165', '4.10')
        """
        return number_rule(self.locale, "", price_places([price], currency)).write(price)

    def percent(self, share: Decimal) -> str:
        """A share as a percentage, with no more decimals than it has (two at most).

        >>> Formats("de_DE").percent(Decimal("0.0825")) == "8,25" + chr(0xA0) + "%"
        True
        """
        number = (share * 100).quantize(Decimal("0.01"), ROUND_HALF_UP).normalize()
        exponent = number.as_tuple().exponent
        places = max(0, -exponent) if isinstance(exponent, int) else 0
        return f"{number_rule(self.locale, '', places).write(number)}{_percent_sign(self.locale)}"

    def exact_percent(self, share: Decimal) -> str:
        """A share as a percentage with every decimal it has, where two that differ must not look alike.

        >>> Formats("en_US").exact_percent(Decimal("0.07125")), Formats("en_US").exact_percent(Decimal("0.2"))
        ('7.125%', '20%')
        """
        return f"{self.exact(share * 100)}{_percent_sign(self.locale)}"

    def exact(self, number: Decimal) -> str:
        """A number with every decimal it has, and no naught behind them.

        >>> Formats("de_DE").exact(Decimal("1200.50")), Formats("de_DE").exact(Decimal("1000"))
        ('1.200,5', '1.000')
        """
        exponent = number.normalize().as_tuple().exponent
        return self.decimal(number, max(0, -exponent) if isinstance(exponent, int) else 0)

    def short_date(self, day: date) -> str:
        """A date where room is short, as the language abbreviates it.

        >>> Formats("en_US").short_date(date(2026, 4, 5)), Formats("de_DE").short_date(date(2026, 4, 5))
        ('Apr 5, 2026', '05.04.2026')
        """
        return _date(self.locale, day, "medium")

    def date(self, day: date) -> str:
        """A date, the month in words so that nobody mixes up day and month."""
        return _date(self.locale, day, "long")

    def length(self, mm: float) -> str:
        r"""A length as the crew measures it: to 1 mm, or feet and inches to 1/16 in.

        >>> Formats("en_US", "us").length(1812.0), Formats("de_DE").length(1812.4) == "1.812" + chr(0xA0) + "mm"
        ('5\'-11 5/16"', True)
        """
        return self._both(f"{self.count(whole_mm(mm))}\u00a0mm", feet_and_inches(mm))

    def lengths(self, mm: float) -> tuple[str, ...]:
        """The same as ``length``, each system a text of its own, the second in brackets."""
        texts = [f"{self.count(whole_mm(mm))}\u00a0mm" if s == "metric" else feet_and_inches(mm) for s in self.systems]
        return (texts[0], *(f"({text})" for text in texts[1:]))

    def long_length(self, mm: float) -> str:
        r"""A length of a roof: metres with two decimals, or feet and inches.

        >>> Formats("en_US", "us").long_length(12192.0)
        '40\'-0"'
        """
        return self._both(f"{self.decimal(mm / 1000, 2)}\u00a0m", feet_and_inches(mm))

    def mass(self, kg: float) -> str:
        """A mass in kg or lb, with fewer decimals the heavier it is."""
        return self._in_units(kg, "mass")

    def power(self, watts: float) -> str:
        """A power of the array in kW."""
        return f"{self.decimal(watts / 1000, 2 if watts < 100_000 else 1)}\u00a0kW"

    def quantity(self, value: float, dimension: Dimension, places: int | None = None) -> str:
        """Any quantity of the inside unit, in the reader's unit."""
        return self._in_units(value, dimension, places)

    def _in_units(self, value: float, dimension: Dimension, places: int | None = None) -> str:
        return side_by_side([self._one(value, dimension, system, places) for system in self.systems], self.apart)

    def _one(self, value: float, dimension: Dimension, system: System, places: int | None) -> str:
        quantity = shown(value, dimension, system)
        if places is None:
            size = abs(quantity.number)
            places = 0 if size >= 100 or size == round(size) else 1 if size >= 10 else 2
        return f"{self.decimal(quantity.number, places)}\u00a0{_SIGNS.get(quantity.unit, quantity.unit)}"

    def _both(self, metric: str, us: str) -> str:
        return side_by_side([metric if system == "metric" else us for system in self.systems], self.apart)


def price_places(prices: Iterable[Decimal], currency: str) -> int:
    """The decimals that show every one of some unit prices in full, at least those of the currency.

    >>> price_places([Decimal("4.10"), Decimal("0.1650")], "USD")
    3
    """
    exponents = [price.normalize().as_tuple().exponent for price in prices]
    return max([minor_digits(currency), *(-each for each in exponents if isinstance(each, int))])


@lru_cache(maxsize=64)
def _percent_sign(locale: str) -> str:
    return str(Locale.parse(locale).percent_formats[None].suffix[0])


@lru_cache(maxsize=1024)
def _date(locale: str, day: date, length: Literal["long", "medium"]) -> str:
    return str(format_date(day, length, locale=locale))


def currency_name(locale: str, currency: str) -> str:
    """The sign or code that a column's head shows for a currency, as its amounts do."""
    written = str(format_currency(Decimal(1), currency, locale=locale))
    return "".join(ch for ch in written if not ch.isdigit() and ch not in ".,").strip("\u00a0\u202f ") or currency
