"""How the house's country writes numbers and lists, where people read them in a spreadsheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

DecimalSign = Literal[".", ","]


@dataclass(frozen=True, slots=True)
class BookLocale:
    """A language and country such as ``de-DE``, and the sign before decimals there; without a code, points."""

    code: str = ""
    decimal_sign: DecimalSign = "."

    @property
    def list_separator(self) -> str:
        """What separates cells in a spreadsheet of that country: a semicolon where decimals take the comma.

        Source: common practice of spreadsheets' regional settings, no source.

        >>> BookLocale("de-DE", ",").list_separator, BookLocale("en-US").list_separator
        (';', ',')
        """
        return ";" if self.decimal_sign == "," else ","


POINTS = BookLocale()
"""What is taken where a book names no locale."""
