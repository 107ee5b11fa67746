"""What one cell can hold: quantities with units, money, shares, counts, lists, yes or no."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from estimator.sentences import Sentence, say
from estimator.units import FACTORS, Dimension, UnitFault, parse, parse_sheet_thickness

Kind = Literal[
    "length",
    "mass",
    "force",
    "strength",
    "angle",
    "area",
    "inertia",
    "section_modulus",
    "mass_per_length",
    "volume",
    "moment",
]
Units = Mapping[str, str]
MAX_TEXT = 500

DIMENSIONS: dict[Kind, Dimension] = {
    "length": "length",
    "mass": "mass",
    "force": "force",
    "strength": "strength",
    "angle": "angle",
    "area": "area",
    "inertia": "moment_of_inertia",
    "section_modulus": "section_modulus",
    "mass_per_length": "mass_per_length",
    "volume": "section_modulus",  # both are cubic lengths
    "moment": "moment",
}
DEFAULT_UNITS: dict[Kind, str] = {kind: next(iter(FACTORS[dimension])) for kind, dimension in DIMENSIONS.items()} | {
    "volume": "cm3"
}
_COMMA = re.compile(r"\d,\d")
_DECIMAL = re.compile(r"\d{1,12}(\.\d{1,8})?\Z")
_MONEY = re.compile(r"(?P<amount>\S+?)(\s*(?P<currency>[A-Z]{3}))?\Z")
_YES = {"yes": True, "true": True, "1": True, "no": False, "false": False, "0": False}


class CellFault(ValueError):
    """A cell that does not hold what its column asks for."""

    def __init__(self, message: Sentence, allowed: str = "") -> None:
        super().__init__(message)
        self.message, self.allowed = message, allowed


def plain_text(text: str) -> str:
    """The text without surrounding blanks; refuses control characters and overlong texts."""
    stripped = text.strip()
    if any(unicodedata.category(sign) == "Cc" for sign in stripped):
        raise CellFault(say("the text holds a control character"), say("letters, figures and signs on one line"))
    if len(stripped) > MAX_TEXT:
        raise CellFault(
            say("the text has {count} characters", count=len(stripped)), say("at most {most}", most=MAX_TEXT)
        )
    return stripped


def quantity(text: str, kind: Kind, units: Units, *, zero: bool = False) -> float:
    """A number with a unit, or a bare one in the unit the book declares, in the inside unit.

    >>> quantity("48 in", "length", {})
    1219.2
    >>> quantity("48", "length", {"length": "in"})
    1219.2
    """
    _refuse_comma(text)
    try:
        value = parse(text, DIMENSIONS[kind], bare=units.get(kind, DEFAULT_UNITS[kind]))
    except UnitFault as fault:
        raise _unit_fault(fault) from fault
    return _in_range(value, text, zero)


def thickness(text: str, material: str, units: Units) -> float:
    """A sheet's thickness: a length, or a gauge number of steel ("26 ga"), mm."""
    _refuse_comma(text)
    metal = "steel" if "steel" in material else "aluminium"
    try:
        value = parse_sheet_thickness(text, metal, bare=units.get("length", DEFAULT_UNITS["length"]))
    except UnitFault as fault:
        raise _unit_fault(fault) from fault
    return _in_range(value, text, zero=False)


def decimal(text: str) -> Decimal:
    """An exact number, not negative, as a price list writes it: figures and one decimal point."""
    _refuse_comma(text)
    if text.startswith("-"):
        raise CellFault(say("{text} is negative", text=repr(text)), say("0 or more"))
    if not _DECIMAL.match(text):
        raise CellFault(
            say("{text} is not a number", text=repr(text)), say("figures and one decimal point, such as 12.50")
        )
    return Decimal(text)


def money(text: str, currency: str) -> Decimal:
    """An amount in the book's currency, whose code may stand behind it."""
    match = _MONEY.match(text)
    if match is None:
        raise CellFault(
            say("{text} is not an amount", text=repr(text)),
            say("an amount in {currency}, such as 12.50", currency=currency),
        )
    if match["currency"] and match["currency"] != currency:
        raise CellFault(
            say("the amount is in {currency}", currency=match["currency"]),
            say("amounts in the book's currency, {currency}", currency=currency),
        )
    return decimal(match["amount"])


def share(text: str) -> Decimal:
    """A share from 0 to 1, or a percentage.

    >>> share("2 %"), share("0.02")
    (Decimal('0.02'), Decimal('0.02'))
    """
    value = decimal(text[:-1].strip()) / 100 if text.endswith("%") else decimal(text)
    if value > 1:
        raise CellFault(say("{text} is more than the whole", text=repr(text)), say("0 to 1, or 0 % to 100 %"))
    return value


def fraction(text: str) -> Fraction:
    """A count above nothing: a whole number, a fraction such as 1/2, or a decimal."""
    _refuse_comma(text)
    try:
        value = Fraction(text) if len(text) <= 20 else None
    except (ValueError, ZeroDivisionError):
        value = None
    if value is None or not 0 < value <= 10**6:
        raise CellFault(say("{text} is no count", text=repr(text)), say("a number above 0, such as 4 or 1/2"))
    return value


def whole(text: str, least: int) -> int:
    """A whole number not below ``least``."""
    if not re.fullmatch(r"\d{1,9}(\.0+)?", text) or int(float(text)) < least:
        raise CellFault(
            say("{text} is no whole number of at least {least}", text=repr(text), least=least),
            say("{least} or more", least=least),
        )
    return int(float(text))


def yes_or_no(text: str) -> bool:
    """``yes`` or ``no``, or TRUE and FALSE as a spreadsheet writes them."""
    if text.lower() not in _YES:
        raise CellFault(say("{text} is not yes or no", text=repr(text)), "yes, no")
    return _YES[text.lower()]


def listed(text: str) -> tuple[str, ...]:
    """The entries of a cell that holds several, separated by semicolons."""
    return tuple(entry.strip() for entry in text.split(";") if entry.strip())


def _refuse_comma(text: str) -> None:
    if _COMMA.search(text):
        raise CellFault(
            say("{text} has a comma: it could part thousands or decimals, and that is not guessed", text=repr(text)),
            say("a decimal point, and nothing between thousands"),
        )


def _in_range(value: float, text: str, zero: bool) -> float:
    if value < 0 or (value == 0 and not zero):
        found = say("{text} is negative", text=repr(text)) if value < 0 else say("{text} is nothing", text=repr(text))
        raise CellFault(found, say("0 or more") if zero else say("above 0"))
    if value > 1e12:
        raise CellFault(say("{text} is too large", text=repr(text)), say("at most 1e12"))
    return value


def _unit_fault(fault: UnitFault) -> CellFault:
    return CellFault(fault.message, fault.allowed)
