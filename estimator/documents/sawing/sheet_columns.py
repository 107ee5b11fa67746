"""The lengths of a piece as columns of a sheet."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from estimator.documents.sawing.pieces import SawPiece
from estimator.documents.xlsx.numbers.measures import measured, measured_heads
from estimator.units import DisplayUnits


def piece_heads(t: Callable[[str], str], units: DisplayUnits) -> dict[str, str]:
    """The heads of a piece's lengths by key."""
    names = {
        "stock": t("Bar length (mm)"),
        "length": t("Piece (mm)"),
        "start": t("Begins in the run at (mm)"),
        "offcut": t("Left over (mm)"),
    }
    found: dict[str, str] = {}
    for key, name in names.items():
        found |= measured_heads(key, name, "length", units)
    return found


def piece_lengths(piece: SawPiece, units: DisplayUnits) -> dict[str, Decimal | None]:
    """A piece's lengths by key, from tenths of a millimetre."""
    lengths = {
        "stock": piece.stock_mm,
        "length": piece.length_mm,
        "start": piece.start_in_run_mm,
        "offcut": piece.offcut_mm,
    }
    found: dict[str, Decimal | None] = {}
    for key, mm in lengths.items():
        found |= measured(key, Decimal(repr(round(mm, 1))), "length", units)
    return found
