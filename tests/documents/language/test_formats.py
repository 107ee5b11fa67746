"""Numbers, amounts, dates and lengths as each locale reads them; Babel (CLDR) is the outside reference."""

from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from babel.numbers import format_currency, format_decimal
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.documents.language.formats import Formats, currency_name, locale_for
from estimator.documents.language.formats import number_rule as rule
from estimator.documents.language.lengths import feet_and_inches
from estimator.money import Money, minor_digits

LOCALES = (
    "en_US", "en_GB", "en_CA", "en_IN", "de_DE", "de_AT", "de_CH", "es_ES", "es_MX", "es_US", "fr_FR", "fr_CA", "fr_CH",
    "fr_BE",
)  # fmt: skip
CURRENCIES = ("USD", "EUR", "CHF", "GBP", "JPY", "KWD", "MXN")
values = st.decimals(min_value=-(10**10), max_value=10**10, places=4)
# With CLDR 48 Babel groups Swiss thousands by ', and not at all beyond a million: there it is no reference.
SWISS = ("de_CH", "fr_CH")


def is_reference(locale, value):
    return locale not in SWISS or abs(value) < 1000


@settings(max_examples=60, deadline=None)
@given(value=values, locale=st.sampled_from(LOCALES), currency=st.sampled_from(CURRENCIES))
def test_amounts_are_written_as_babel_writes_them_once_rounded_half_up(value, locale, currency):
    places = Decimal(1).scaleb(-minor_digits(currency))
    rounded = value.quantize(places, ROUND_HALF_UP)
    if rounded and is_reference(locale, rounded):  # Babel keeps the minus of a negative zero
        assert Formats(locale).money(Money(value, currency)) == format_currency(rounded, currency, locale=locale)


@settings(max_examples=60, deadline=None)
@given(value=values, locale=st.sampled_from(LOCALES), places=st.integers(0, 4))
def test_numbers_are_written_as_babel_writes_them_once_rounded_half_up(value, locale, places):
    rounded = value.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    pattern = "#,##0" + ("." + "0" * places if places else "")
    if rounded and is_reference(locale, rounded):
        assert Formats(locale).decimal(value, places) == format_decimal(rounded, pattern, locale=locale)


# Source: CLDR 45 to 47 (Babel 2.17 and 2.18).
@pytest.mark.parametrize(
    ("locale", "written"),
    [("de_CH", "CHF 1’234’567.50"), ("de_LI", "CHF 1’234’567.50"), ("en_CH", "CHF 1’234’567.50"),
     ("fr_CH", "1 234 567,50 CHF")],
)  # fmt: skip
def test_no_version_of_the_library_changes_how_amounts_look(locale, written):
    amount = Formats(locale).money(Money(Decimal("1234567.5"), "CHF"))
    assert amount.replace("\u00a0", " ").replace("\u202f", " ") == written
    assert Formats(locale).money(Money(Decimal("-2.5"), "CHF")) == format_currency(-2.5, "CHF", locale=locale)


@pytest.mark.parametrize("locale", [name for name in LOCALES if name != "en_IN"])
def test_the_fast_way_serves_every_locale_but_those_that_group_in_lakhs(locale):
    assert rule(locale, "EUR", 2).slow is None
    assert rule("en_IN", "EUR", 2).slow is not None


def test_a_half_cent_is_rounded_up_where_babel_alone_would_round_to_even():
    assert Formats("en_US").money(Money(Decimal("2.665"), "USD")) == "$2.67"
    assert Formats("en_US").decimal(Decimal("0.125"), 2) == "0.13"


def test_nothing_is_not_written_with_a_minus():
    assert Formats("de_DE").decimal(Decimal("-0.001"), 2) == "0,00"


@pytest.mark.parametrize(
    ("tag", "country", "locale"),
    [
        ("de", "CH", "de_CH"), ("en", "US", "en_US"), ("en-GB", "DE", "en_GB"), ("fr", "CA", "fr_CA"),
        ("es", "MX", "es_MX"), ("es", "US", "es_US"), ("en", "", "en_US"), ("xx", "FR", "en_FR"), ("de", "??", "de_DE"),
        ("", "", "en_US"),
    ],
)  # fmt: skip
def test_the_locale_follows_language_and_country(tag, country, locale):
    assert locale_for(tag, country) == locale


@pytest.mark.parametrize(
    ("locale", "written"),
    [("en_US", "November 25, 2026"), ("de_DE", "25. November 2026"), ("es_ES", "25 de noviembre de 2026"),
     ("fr_FR", "25 novembre 2026")],
)  # fmt: skip
def test_a_date_has_its_month_in_words(locale, written):
    assert Formats(locale).date(date(2026, 11, 25)) == written


@pytest.mark.parametrize(
    ("share", "locale", "written"),
    [("0.2", "en_US", "20%"), ("0.0825", "en_US", "8.25%"), ("0.055", "fr_FR", "5,5 %"), ("1", "de_DE", "100 %"),
     ("0", "en_US", "0%")],
)  # fmt: skip
def test_a_share_is_written_with_no_more_decimals_than_it_has(share, locale, written):
    assert Formats(locale).percent(Decimal(share)).replace("\u00a0", " ").replace("\u202f", " ") == written


@pytest.mark.parametrize(
    ("mm", "written"),
    [
        (25.4 / 16, '1/16"'), (25.4 / 2, '1/2"'), (25.4, '1"'), (304.8, "1'-0\""), (1022.35, "3'-4 1/4\""),
        (304.79, "1'-0\""), (25.4 * 11.99, "1'-0\""), (-304.8, "-1'-0\""), (-0.1, '0"'), (0.79375, '1/16"'),
    ],
)  # fmt: skip
def test_feet_inches_and_sixteenths(mm, written):
    assert feet_and_inches(mm) == written


@settings(max_examples=100, deadline=None)
@given(st.floats(0, 200_000))
def test_feet_and_inches_lie_within_a_32nd_of_an_inch_of_the_length(mm):
    text = feet_and_inches(mm)
    feet, _, inches = text.rstrip('"').rpartition("'-")
    written = Fraction(feet or 0) * 12 + sum(Fraction(part) for part in inches.split())
    assert abs(float(written) - mm / 25.4) <= 1 / 32 + 1e-6


def test_both_systems_side_by_side():
    assert Formats("en_US", "metric_us").length(1000.0).replace("\u00a0", " ") == "1,000 mm (3'-3 3/8\")"
    assert Formats("en_US", "metric_us").mass(10.0).replace("\u00a0", " ") == "10 kg (22.0 lb)"


def test_a_column_names_the_currency_as_its_amounts_do():
    assert [currency_name("de_DE", code) for code in ("EUR", "CHF")] == ["€", "CHF"]
    assert currency_name("fr_CA", "USD").replace("\u00a0", " ") == "$ US"
