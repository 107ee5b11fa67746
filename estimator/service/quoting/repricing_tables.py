"""A re-pricing in tables: quote by quote, and summed by cause; as a workbook too."""

from __future__ import annotations

import io
from collections.abc import Mapping
from datetime import UTC, datetime
from decimal import Decimal

import pandas as pd
from openpyxl import Workbook
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

from estimator.comparison.repricing import CAUSES
from estimator.service.quoting.repricings import StoredRepricing

NUMBERS = ("old_total", "new_total", "difference", "margin_at_risk", *CAUSES)


def table_of(repricing: StoredRepricing) -> pd.DataFrame:
    """A row for each quote, exact amounts; what has no new price has none in its columns."""
    rows = [
        {
            "number": each.number,
            "revision": each.revision,
            "state": each.state,
            "currency": each.currency,
            "old_total": each.old_total,
            "new_total": each.new_total,
            "difference": each.difference,
            "margin_at_risk": each.margin_at_risk,
            **dict(each.causes),
            "plan": each.plan,
            "problem": each.problem or "",
        }
        for each in repricing.quotes
    ]
    columns = ["number", "revision", "state", "currency", *NUMBERS, "plan", "problem"]
    return pd.DataFrame(rows, columns=columns, dtype=object)


def sums_of(repricing: StoredRepricing) -> dict[str, Mapping[str, Decimal]]:
    """By currency: totals before and after of the quotes with a new price, margin at risk, and each cause."""
    table = table_of(repricing)
    priced = table[table["new_total"].notna()]
    return {
        str(currency): {name: sum(of_currency[name], Decimal(0)) for name in NUMBERS}
        for currency, of_currency in priced.groupby("currency")
    }


def workbook_of(repricing: StoredRepricing) -> bytes:
    """The table as a workbook, its sums as formulas; every text stands as a text, whatever it begins with."""
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Quotes"
    table = table_of(repricing)
    for column, name in enumerate(table.columns, start=1):
        sheet.cell(1, column, name.replace("_", " ")).font = Font(bold=True)
        sheet.column_dimensions[get_column_letter(column)].width = 14
        for row, value in enumerate(table[name], start=2):
            cell = sheet.cell(row, column, None if value is None or value is pd.NA else value)
            if isinstance(value, str):
                cell.data_type = "s"
            if name in NUMBERS:
                cell.number_format = "#,##0.00"
        if name in NUMBERS and len(table):
            letter = get_column_letter(column)
            total = sheet.cell(len(table) + 2, column, f"=SUBTOTAL(109,{letter}2:{letter}{len(table) + 1})")
            total.font, total.number_format = Font(bold=True), "#,##0.00"
    sheet.freeze_panes = "B2"
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(table.columns))}{len(table) + 1}"
    made: datetime = repricing.created_at.astimezone(UTC).replace(tzinfo=None, microsecond=0)
    book.properties.created = book.properties.modified = made
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()
