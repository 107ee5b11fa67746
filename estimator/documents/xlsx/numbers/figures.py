"""Quantities and dates as cells hold them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal


def number(value: float) -> Decimal:
    """A measured quantity as its own decimal text, so that the file shows what the engine holds."""
    return Decimal(repr(value))


def serial(day: date) -> int:
    """A date as spreadsheets count days.

    >>> serial(date(2026, 11, 25))
    46351
    """
    return (day - date(1899, 12, 30)).days
