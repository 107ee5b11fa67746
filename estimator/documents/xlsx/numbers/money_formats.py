"""Number formats of a currency, written as spreadsheets write them."""

from __future__ import annotations

from dataclasses import dataclass

from babel import Locale
from babel.numbers import get_currency_symbol

from estimator.documents.xlsx.looks import Look
from estimator.money import minor_digits

# Signs that spreadsheets expect with a region; the region changes nothing but the sign's origin.
_REGIONS = {"$": "-409", "€": "-407", "£": "-809", "¥": "-411"}


@dataclass(frozen=True, slots=True)
class MoneyLooks:
    """Amounts at the minor unit, and unit prices at the book's places."""

    amount: Look
    unit_price: Look


def money_looks(currency: str, places: int, locale: str) -> MoneyLooks:
    r"""The looks of amounts and unit prices of a currency, its sign placed as the reader's locale places it.

    >>> money_looks("USD", 4, "en_US").amount.number_format
    '[$$-409]#,##0.00;-[$$-409]#,##0.00'
    >>> money_looks("EUR", 4, "de_DE").unit_price.number_format
    '#,##0.0000\\ [$€-407]'
    """
    digits = minor_digits(currency)
    return MoneyLooks(
        Look(number_format=_format(currency, digits, locale), across="right", rule="below"),
        Look(number_format=_format(currency, max(places, digits), locale), across="right", rule="below"),
    )


def _format(currency: str, places: int, locale: str) -> str:
    figure = "#,##0" + (f".{'0' * places}" if places else "")
    sign = str(get_currency_symbol(currency, locale=locale)).replace("]", "")
    sign += _REGIONS.get(sign, "")
    pattern = str(Locale.parse(locale).currency_formats["standard"].pattern)
    if pattern.rstrip().endswith("¤"):
        return f"{figure}\\ [${sign}]"
    gap = "\\ " if sign.isalpha() else ""
    return f"[${sign}]{gap}{figure};-[${sign}]{gap}{figure}"
