"""The cells in which the estimator may write, each with its field, its part and what stood in it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Field = Literal[
    "margin",
    "discount",
    "contingency",
    "freight",
    "labour",
    "ordered",
    "struck",
    "unit_price",
    "line_discount",
    "reason",
    "added_part",
]
ADDED_ROWS = 12
"""Free rows on the sheet for parts to be added."""
LARGEST_COUNT = 999_999_999
"""The largest quantity of one line that the workbook takes."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One cell to be filled in. ``row_part`` is the cell that names the row's part; empty for the quote's own rates.

    ``held`` is what the engine wrote: a number, a text, or nothing.
    """

    sheet: str
    cell: str
    field: Field
    part: str = ""
    row_part: str = ""
    held: Decimal | int | str | None = None
    added_row: int | None = None


@dataclass(frozen=True, slots=True)
class Fixed:
    """A locked figure that formulas use and that the pricebook, not the workbook, decides."""

    sheet: str
    cell: str
    name: str
    held: Decimal
