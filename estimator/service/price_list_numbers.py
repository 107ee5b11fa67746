"""Numbers as suppliers write them in their lists."""

from __future__ import annotations

import re
from decimal import Decimal, InvalidOperation


def number_in(text: str, decimal_sign: str) -> Decimal | None:
    """A number as the list writes it, thousands set apart or not.

    >>> number_in("1.234,50", ","), number_in("12.5", "."), number_in("1,5", ".")
    (Decimal('1234.50'), Decimal('12.5'), None)
    """
    other = "," if decimal_sign == "." else "."
    text = text.replace("\u00a0", "").replace(" ", "")
    whole = rf"\d{{1,3}}(?:{re.escape(other)}\d{{3}})+|\d+"
    if not re.fullmatch(rf"-?(?:{whole})(?:{re.escape(decimal_sign)}\d{{1,10}})?", text, re.ASCII):
        return _plain(text)
    return Decimal(text.replace(other, "").replace(decimal_sign, "."))


def _plain(text: str) -> Decimal | None:
    """A number as a workbook's own cell gives it, such as 5.35, whatever sign texts have."""
    if not re.fullmatch(r"\d+\.\d{1,17}(?:[eE][+-]?\d{1,2})?", text, re.ASCII):
        return None
    try:
        return Decimal(text)
    except InvalidOperation:
        return None
