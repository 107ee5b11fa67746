"""Numbers in a table's cells as the house's country writes them, brought to figures and one decimal point.

A table is written one way throughout. Where the book's locale writes decimals with a comma, a table with such a
number in it is read so; one with plain decimal points and no comma is read as it stands. What could be
read both ways is a fault.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Literal

from estimator.pricebook import BookLocale
from estimator.sentences import say
from estimator.storage.books.rows.cells import CellFault

Sign = Literal[".", ",", "?"]
_END = r"(?![\d.,])"
_WITH_COMMA = re.compile(rf"(?:\d+|\d{{1,3}}(?:\.\d{{3}})+),\d+{_END}")
_GROUPED = re.compile(rf"\d{{1,3}}(?:\.\d{{3}})+{_END}")
_WITH_POINT = re.compile(rf"\d+\.\d+{_END}")
_NUMBER = re.compile(r"(?<![\w.,])\d[\d.,]*")


def sign_of(texts: Iterable[str], locale: BookLocale) -> Sign:
    """The decimal sign of a table by its cells; ``?`` where none of them tells.

    >>> german = BookLocale("de-DE", ",")
    >>> sign_of(["2,5", "1.234"], german), sign_of(["2.5", "1.234"], german), sign_of(["1.234"], german)
    (',', '.', '?')
    """
    if locale.decimal_sign == ".":
        return "."
    stripped = [text.strip() for text in texts]
    if any(_WITH_COMMA.match(text) for text in stripped):
        return ","
    pointed = any(_WITH_POINT.match(text) and not _GROUPED.match(text) for text in stripped)
    return "." if pointed else "?"


def in_points(text: str, sign: Sign) -> str:
    """A cell's numbers with decimal points; refuses (CellFault) what could be read both ways.

    >>> in_points("1.234,50 EUR", ","), in_points("2,5 mm", ","), in_points("2.5", ".")
    ('1234.50 EUR', '2.5 mm', '2.5')
    """
    return text if sign == "." else _NUMBER.sub(lambda found: _pointed(found[0], sign), text)


def _pointed(number: str, sign: Sign) -> str:
    if _GROUPED.fullmatch(number):
        whole = number.replace(".", "")
        message = say("{number} could part thousands or decimals, and that is not guessed", number=repr(number))
        raise CellFault(message, say("{whole} or {replace}", whole=whole, replace=number.replace(".", ",", 1)))
    if sign == ",":
        if _WITH_POINT.fullmatch(number):
            message = say(
                "{number} has a decimal point in a table that writes decimals with a comma", number=repr(number)
            )
            raise CellFault(message, number.replace(".", ","))
        if _WITH_COMMA.fullmatch(number):
            return number.replace(".", "").replace(",", ".")
    return number
