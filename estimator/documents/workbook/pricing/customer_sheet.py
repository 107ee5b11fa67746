"""The customer's priced lines: quantity, unit price, discount, line price, and no way back to a cost."""

from __future__ import annotations

from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.pricing.columns import customer_heads
from estimator.documents.workbook.pricing.tax_columns import tax_columns, tax_values
from estimator.documents.workbook.pricing.values import line_cells
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import COUNT, LINE, PERCENT, STRONG, TEXT, WRAPPED, as_total
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.tables import Column, Heads, Row, write_table

TOP = 4


def write_customer_pricing(draft: Draft, page: Page) -> Heads:
    """The table of priced lines, locked, its amounts still formulas over quantity and unit price."""
    heads = customer_heads(draft)
    head, this, money = heads.heads, heads.this, draft.money
    product = f"{this('quantity')}*{this('unit_price')}*(1-{this('discount')})"
    columns = (
        Column("line", head["line"], 6, LINE),
        Column("part", head["part"], 20, TEXT),
        Column("group", head["group"], 24, TEXT),
        Column("description", head["description"], 52, WRAPPED),
        Column("quantity", head["quantity"], 11, COUNT),
        Column("unit", head["unit"], 8, TEXT),
        Column("unit_price", head["unit_price"], 13, money.unit_price),
        Column("discount", head["discount"], 10, PERCENT),
        Column("price", head["price"], 15, money.amount, draft.rounded(product)),
        *tax_columns(draft, heads),
    )
    page.head(draft.t("Pricing"), draft.t("Every line with its quantity and unit price."))
    placed = write_table(page, TOP, "Pricing", columns, _rows(draft))
    row = placed.last + 1
    for column in placed.columns.values():
        page.put(row, column, None, as_total(STRONG))
    page.put(row, 2, draft.t("Sum of the lines"), as_total(STRONG))
    parts = draft.bill.totals.parts.amount
    page.formula(row, placed.columns["price"], f"SUM({heads.column('price')})", parts, as_total(money.amount))
    print_wide(draft, page, heads=TOP)
    page.sheet.freeze_panes = at(TOP + 1, 3)
    return heads


def _rows(draft: Draft) -> list[Row]:
    taxes = tax_values(draft)
    return [
        line_cells(number, priced, draft.reader) | dict(taxes[number - 1])
        for number, priced in enumerate(draft.bill.lines, start=1)
    ]
