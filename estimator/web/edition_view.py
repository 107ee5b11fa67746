"""What an edition of a pricebook changes, its values in the words and numbers of whoever looks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from estimator.documents.language.texts import Reader, mark
from estimator.documents.language.words import MATERIALS, role_name, unit_name
from estimator.pricebook.against import EditionDifference
from estimator.web.labels import column_of

METHODS = {"margin": mark("margin on the price"), "markup": mark("mark-up on the cost")}
PRICES = frozenset({"cost", "list_price", "margin", "labour_rate"})
SHARES = frozenset({"pricing_rate", "packaging_share", "tax.rate"})
NUMBERS = frozenset({"pack_size", "lead_time_days", "rules", "price_places", "unit_mass_kg"})
Written = Callable[[Decimal], str]


@dataclass(frozen=True, slots=True)
class ChangedValue:
    """One difference as it is shown: of which part, what of it, before and after, and why somebody should look."""

    of: str
    what: str
    before: str
    after: str
    alarm: str


def edition_view(
    found: Sequence[EditionDifference], currencies: tuple[str, str], reader: Reader
) -> tuple[ChangedValue, ...]:
    """The differences in words; ``currencies``: that of the edition before and of the one after."""
    views = []
    for each in found:
        words, name = column_of(each.column)
        before = value_told(each.column, each.before, currencies[0], reader)
        after = value_told(each.column, each.after, currencies[1], reader)
        what, alarm = reader.texts.t(words, name=name), reader.say(each.alarm)
        views.append(ChangedValue(each.of, what, before, after, alarm))
    return tuple(views)


def value_told(column: str, text: str, currency: str, reader: Reader) -> str:
    """One value: prices, shares and numbers as the language writes them, codes by their names; all its decimals."""
    kind = "cost" if column.startswith("cost from ") else "tax.rate" if column.startswith("tiers.") else column
    words = {"role": role_name, "unit": unit_name, "material": _material, "pricing_method": _method}
    if not text:
        return "–"
    if kind in words:
        return words[kind](text, reader)
    written: dict[frozenset[str], Written] = {
        PRICES: lambda number: reader.formats.unit_price(number, currency),
        SHARES: reader.formats.exact_percent,
        NUMBERS: reader.formats.exact,
    }
    number = _number(text)
    write = next((write for names, write in written.items() if kind in names), None)
    return write(number) if write is not None and number is not None else reader.say(text)


def _number(text: str) -> Decimal | None:
    try:
        number = Decimal(text)
    except InvalidOperation:
        return None
    return number if number.is_finite() else None


def _material(code: str, reader: Reader) -> str:
    return reader.texts.t(MATERIALS[code]) if code in MATERIALS else code


def _method(code: str, reader: Reader) -> str:
    return reader.texts.t(METHODS[code]) if code in METHODS else code
