"""What a cell to be filled in takes."""

from __future__ import annotations

from openpyxl.worksheet.datavalidation import DataValidation

from estimator.documents.xlsx.page import Page


def _add(page: Page, cells: str, rule: DataValidation, allowed: str) -> None:
    rule.error = allowed[:250] or None
    rule.errorStyle = "stop"
    rule.showErrorMessage = True
    rule.add(cells)
    page.sheet.add_data_validation(rule)


def allow_count(page: Page, cells: str, largest: int, allowed: str = "") -> None:
    """Whole numbers from 0 on."""
    rule = DataValidation(type="whole", operator="between", formula1="0", formula2=str(largest), allow_blank=False)
    _add(page, cells, rule, allowed)


def allow_amount(page: Page, cells: str, allowed: str = "") -> None:
    """Amounts not below nothing, or nothing at all."""
    _add(page, cells, DataValidation(type="decimal", operator="greaterThanOrEqual", formula1="0"), allowed)


def allow_share(page: Page, cells: str, largest: str = "1", allowed: str = "") -> None:
    """A share of one."""
    rule = DataValidation(type="decimal", operator="between", formula1="0", formula2=largest)
    _add(page, cells, rule, allowed)


def allow_mark(page: Page, cells: str, *marks: str) -> None:
    """One of a few words, or nothing."""
    _add(page, cells, DataValidation(type="list", formula1='"' + ",".join(marks) + '"', allow_blank=True), "")


def allow_from(page: Page, cells: str, names: str, allowed: str = "") -> None:
    """One of the names in a range of cells, or nothing."""
    _add(page, cells, DataValidation(type="list", formula1=names, allow_blank=True), allowed)
