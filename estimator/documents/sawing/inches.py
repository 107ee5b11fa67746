"""The lengths of a piece in inches too, as columns of CSV behind everything else."""

from __future__ import annotations

from estimator.documents.sawing.cells import COLUMNS
from estimator.documents.sawing.pieces import SawPiece

LENGTHS = ("stock_mm", "length_mm", "start_in_run_mm", "offcut_mm")
MM_PER_INCH = 25.4


def saw_columns(inches: bool = False) -> tuple[str, ...]:
    """The heads of a piece's cells; inches stand behind everything else."""
    return (*COLUMNS, *(f"{name.removesuffix('_mm')}_in" for name in LENGTHS)) if inches else COLUMNS


def in_inches(piece: SawPiece) -> list[str]:
    """The piece's lengths in inches, to the thousandth."""
    return [f"{getattr(piece, name) / MM_PER_INCH:.3f}" for name in LENGTHS]
