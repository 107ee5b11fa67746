"""The chain of totals in its order, each step a formula over named cells."""

from __future__ import annotations

from decimal import Decimal

from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.pricing.tax_columns import tables_of, tax_formula, taxed_by_line
from estimator.documents.xlsx.looks import LABEL, PLAIN, STRONG, as_total
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.tables import Heads
from estimator.money import Money

LABELS, AMOUNTS = 1, 2


def write_totals(draft: Draft, page: Page, top: int, heads: Heads) -> int:
    """Parts, discount, freight, labour, contingency, tax and total from row ``top`` on; the row below them."""
    page.heading(top, draft.t("Totals"))
    row = top + 1
    for label, name, formula, amount in _steps(draft, heads):
        total_row = name in ("BeforeTax", "GrandTotal")
        page.put(row, LABELS, label, as_total(STRONG) if total_row else LABEL)
        look = as_total(draft.money.amount) if total_row else draft.money.amount
        if formula:
            page.formula(row, AMOUNTS, formula, amount.amount, look)
        else:
            page.put(row, AMOUNTS, amount.amount, look)
        draft.define(name, page, at(row, AMOUNTS))
        draft.show(page, at(row, AMOUNTS), "total", name)
        row += 1
    return _working_figures(draft, page, row, heads) if taxed_by_line(draft) else row


def _steps(draft: Draft, heads: Heads) -> list[tuple[str, str, str, Money]]:
    t, totals = draft.t, draft.bill.totals
    parts = "+".join(f"SUM({heads.column('price', table)})" for table in tables_of(draft))
    live = draft.for_estimator
    labour = 'IF(LabourIncluded="{yes}",LabourPrice,0)'.format(yes=draft.t("yes"))
    contingency = draft.rounded("(PartsTotal-QuoteDiscount+FreightTotal+LabourTotal)*ContingencyRate")
    return [
        (t("Parts"), "PartsTotal", parts, totals.parts),
        (t("Discount, taken off"), "QuoteDiscount", draft.rounded("PartsTotal*Discount"), totals.discount),
        (t("Freight"), "FreightTotal", "FreightCharge" if live else "", totals.freight),
        (t("Labour"), "LabourTotal", labour if live and draft.estimate.labour.lines else "", totals.labour),
        (t("Contingency"), "ContingencyTotal", contingency, totals.contingency),
        (
            t("Total before tax"),
            "BeforeTax",
            "PartsTotal-QuoteDiscount+FreightTotal+LabourTotal+ContingencyTotal",
            totals.before_tax,
        ),
        (draft.reader.say(totals.tax_name) or t("Tax"), "TaxTotal", tax_formula(draft, heads), totals.tax),
        (t("Total"), "GrandTotal", "BeforeTax+TaxTotal", totals.total),
    ]


def _working_figures(draft: Draft, page: Page, row: int, heads: Heads) -> int:
    """Whole units of the discount and how many the largest remainders still get, for a tax rounded on each line."""
    totals, unit = draft.bill.totals, 10**draft.minor
    whole = "+".join(f"SUM({heads.column('tax_whole', table)})" for table in tables_of(draft))
    units, parts = totals.discount.minor(), totals.parts.minor()
    shared = sum(units * line.price.minor() // parts for line in draft.bill.lines) if parts else 0
    for name, label, formula, value in (
        ("PartsUnits", draft.t("Parts in whole minor units"), f"ROUND(PartsTotal*{unit},0)", parts),
        ("DiscountUnits", draft.t("Discount in whole minor units"), f"ROUND(QuoteDiscount*{unit},0)", units),
        (
            "DiscountUnitsLeft",
            draft.t("left over for the largest remainders"),
            f"DiscountUnits-({whole})",
            units - shared,
        ),
    ):
        page.put(row, LABELS, label, PLAIN)
        page.formula(row, AMOUNTS, formula, Decimal(value), PLAIN)
        draft.define(name, page, at(row, AMOUNTS))
        draft.show(page, at(row, AMOUNTS), "total", name)
        row += 1
    return row


def write_margin(draft: Draft, page: Page, top: int, heads: Heads) -> int:
    """What the house pays and what it keeps; the estimator's edition only."""
    t, totals = draft.t, draft.bill.totals
    labour_cost = draft.estimate.labour.cost
    parts_cost = totals.cost - totals.freight - labour_cost
    cost = "+".join(f"SUM({heads.column('cost', table)})" for table in tables_of(draft))
    labour = 'IF(LabourIncluded="{yes}",LabourCost,0)'.format(yes=t("yes")) if draft.estimate.labour.lines else ""
    page.heading(top, t("Margin"))
    rows: list[tuple[str, str, str, Money]] = [
        (t("Cost of parts"), "PartsCost", cost, parts_cost),
        (t("Cost of freight"), "FreightCost", "FreightTotal", totals.freight),
        (t("Cost of labour"), "LabourCostTotal", labour, labour_cost),
        (t("Cost"), "CostTotal", "PartsCost+FreightCost+LabourCostTotal", totals.cost),
        (t("Total before tax less cost"), "MarginAmount", "BeforeTax-CostTotal", totals.margin),
        (t("of it contingency, not earned yet"), "ContingencyInMargin", "ContingencyTotal", totals.contingency),
    ]
    for row, (label, name, formula, amount) in enumerate(rows, start=top + 1):
        total_row = name in ("CostTotal", "MarginAmount")
        page.put(row, LABELS, label, as_total(STRONG) if total_row else LABEL)
        look = as_total(draft.money.amount) if total_row else draft.money.amount
        if formula:
            page.formula(row, AMOUNTS, formula, amount.amount, look)
        else:
            page.put(row, AMOUNTS, amount.amount, look)
        draft.define(name, page, at(row, AMOUNTS))
        draft.show(page, at(row, AMOUNTS), "total", name)
    return top + 1 + len(rows)
