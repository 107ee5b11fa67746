"""A piece as a row of CSV."""

from __future__ import annotations

from estimator.documents.csv_text import Profile, inert
from estimator.places import Place

COLUMNS = (
    "pattern", "pattern_bars", "bar", "part", "stock_mm", "from_yard", "cut", "length_mm", "label", "run", "piece",
    "start_in_run_mm", "offcut_mm", "offcut_kept",
)  # fmt: skip
"""The heads of a piece's cells: fields of ``SawPiece``."""


def cell_of(value: str | Place | float | bool, profile: Profile) -> str:
    """A value as it stands in the table; texts that a spreadsheet would run are made inert for people."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Place):
        value = str(value)
    if isinstance(value, float):
        return f"{value:.1f}".removesuffix(".0")
    if isinstance(value, str) and profile == "spreadsheet":
        return inert(value)
    return str(value)
