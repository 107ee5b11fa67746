"""What was taken from a workbook that came back, cell by cell, and which changes were ignored."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, get_args

from estimator.contract.answers.fields import Each, MoneyText, NumberOrText, OneWord, Truth, Whole, Words
from estimator.contract.answers.offer.bill import CURRENCY
from estimator.contract.answers.writing import Answer, Source
from estimator.documents.workbook.entries import Kind
from estimator.documents.workbook_reading import CAUSES, Cause
from estimator.service.quoting.returned_workbooks import ReturnedWorkbook


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
    """One changed cell that was not taken."""

    name = Words("The part, activity or label it is about.", example="XB-40")
    kind = OneWord("What the cell holds.", get_args(Kind))
    old = figure("What stood there; null for an empty cell.", _told("old"))
    found = Words("What stands in it now.", example="12000")
    cell = Words("The sheet and cell.", example="Summary!C20")
    reason = Words("Why it is not taken.", example="totals follow from the lines, the rates, freight and labour")


class CauseSchema(Answer):
    """One cause of the difference between the workbook's total and the revision's."""

    record = Cause
    cause = OneWord("What it comes from.", CAUSES)
    amount = MoneyText("What the revision has more than the workbook because of it.", example="-12.40")
    currency = Words("The currency, by ISO 4217.", "amount.currency", pattern=CURRENCY, example="EUR")
    cell = Words("The cell, where it comes from one.", example="Pricing!I7")
    about = Words("What that cell is about.", example="XB-40")


class WorkbookAnswerSchema(Answer):
    """What was taken from a workbook, which changes were ignored, and why its total is not the revision's."""

    record = ReturnedWorkbook
    changes = Each("The cells that were taken.", CellChangeSchema, "changes.changes")
    not_taken = Each("The cells whose changes were ignored, the first 200.", CellLeftSchema, "changes.not_taken")
    more_not_taken = Whole("How many more there are.", "changes.more_not_taken", example=0)
    sheet_total = MoneyText("The total as the workbook shows it.", "account.sheet_total", example="12554.56")
    sheet_total_reckoned = Truth(
        "Whether the program that saved the file left no total in it: it is calculated as the sheet's formulas do.",
        "account.reckoned",
        example=False,
    )
    revision_total = MoneyText("The total of the revision.", "account.revision_total", example="12542.16")
    currency = Words(
        "The currency of both, by ISO 4217.", "account.revision_total.currency", pattern=CURRENCY, example="EUR"
    )
    causes = Each("Each cause of the difference; they add up to revision less workbook.", CauseSchema, "account.causes")
