"""What was taken from a workbook that came back, cell by cell, and what was changed in vain."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from estimator.contract.answers.fields import Each, NumberOrText, Words
from estimator.contract.answers.writing import Answer, Source
from estimator.documents.workbook_reading import WorkbookChanges


def figure(about: str, of: Source = None, **more: Any) -> NumberOrText:
    """A number, a text or a truth as it stood in a cell."""
    return NumberOrText(about, of, **{"null": True, "example": "0.30", **more})


def _told(name: str) -> Source:
    def told(it: object, _to: object) -> object:
        value = getattr(it, name)
        return f"{value:f}" if isinstance(value, Decimal) else value

    return told


class CellChangeSchema(Answer):
    """One changed cell that was taken."""

    part = Words("The part it is about; empty for the quote's own rates.", example="XB-40")
    field = Words("What was changed.", example="unit_price")
    old = figure("What stood there.", _told("old"))
    new = figure("What stands there now.", _told("new"))
    cell = Words("The sheet and cell.", example="Lines!H12")
    reason = Words("The reason that was given.", example="agreed by telephone")


class CellLeftSchema(Answer):
    """One changed cell that was not taken, since the tool computes it."""

    name = Words("What the cell holds.", example="total")
    old = figure("What the tool computed.", _told("old"))
    found = Words("What stood in the cell.", example="12000")
    cell = Words("The sheet and cell.", example="Summary!C20")


class WorkbookAnswerSchema(Answer):
    """What was taken from a workbook, and what was changed in vain."""

    record = WorkbookChanges
    changes = Each("The cells that were taken.", CellChangeSchema)
    not_taken = Each("The cells that were changed in vain.", CellLeftSchema)
