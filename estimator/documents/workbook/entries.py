"""The cells in which the estimator may write, each with its field, its part and what stood in it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from estimator.places import Place

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
    "override",
]
Kind = Literal[
    "unit_cost",
    "list_price",
    "unit_price",
    "line_price",
    "line_cost",
    "quantity",
    "total",
    "rate",
    "validity",
    "labour",
    "freight",
    "reason",
    "formula",
    "row",
    "override",
    "option",
    "sheet",
    "other",
]
"""What a cell whose change was ignored holds."""
ADDED_ROWS = 12
"""Free rows on the sheet for parts to be added."""
LARGEST_COUNT = 999_999_999
"""The largest quantity of one line that the workbook takes."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One cell to be filled in. ``row_part`` is the cell that names the row's part; empty for the quote's own rates.

    ``held`` is what the engine wrote: a number, a text, or nothing. ``check`` names the check that a word would let
    stand, by its code and place.
    """

    sheet: str
    cell: str
    field: Field
    part: str = ""
    row_part: str = ""
    held: Decimal | int | str | None = None
    added_row: int | None = None
    check: tuple[str, Place] | None = None


@dataclass(frozen=True, slots=True)
class Locked:
    """A locked figure that people try to change: what it is, of which part or activity, or by which name.

    ``detail`` is the column, where one row holds several.
    """

    kind: Kind
    about: str = ""
    detail: str = ""
