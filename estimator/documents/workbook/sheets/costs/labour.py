"""The labour sheet: hours from counts and minutes, and their price (and cost, for the estimator)."""

from __future__ import annotations

from decimal import Decimal

from estimator.documents.language.words import basis_name
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import HOURS, LABEL, PLAIN, STRONG, TEXT, WRAPPED, Look, as_total
from estimator.documents.xlsx.numbers.measures import basis_factor, basis_figure, basis_head
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.tables import Column, Heads, Placed, Row, write_table
from estimator.labour.records import LabourLine

_QUANTITY = Look(number_format="#,##0.###", across="right", rule="below")
RATES_AT = 4


def write_labour(draft: Draft) -> None:
    """Activities below the hourly rates; says so where labour is not part of the quote."""
    t = draft.t
    page = draft.page(t("Labour"))
    lines = draft.estimate.labour.lines
    page.head(t("Labour"), t("Hours = count × minutes / 60, to the hundredth; each amount rounded once."))
    page.widths(26, 36)
    if not lines:
        page.put(4, 1, t("Labour is not part of this quote."), PLAIN)
        print_wide(draft, page)
        return
    for row, (label, name, rate) in enumerate(
        (
            (t("Rate an hour"), "LabourRate", draft.book.labour_rate),
            (t("Cost an hour"), "LabourCostRate", draft.book.labour_cost_rate),
        ),
        start=RATES_AT,
    ):
        page.put(row, 1, label, LABEL)
        page.put(row, 2, rate, draft.money.unit_price)
        draft.define(name, page, at(row, 2))
        draft.show(page, at(row, 2), "labour", name)
    _write_lines(draft, page, lines)
    print_wide(draft, page, heads=RATES_AT + 3)


def _write_lines(draft: Draft, page: Page, lines: tuple[LabourLine, ...]) -> None:
    t, money = draft.t, draft.money
    head = {
        "activity": t("Activity"),
        "description": t("Description"),
        "basis": t("for each"),
        "count": t("Count"),
        "minutes": t("Minutes each"),
        "hours": t("Hours"),
        "price": t("Price"),
        "cost": t("Cost"),
        "why": t("Why"),
    }
    heads = Heads("Labour", head)
    this = heads.this
    minutes = f"{this('count')}*{this('minutes')}"
    if draft.formats.systems[0] == "us":  # cleared of what binary figures leave of a length in mm
        minutes = f"ROUND({minutes},9)"
    columns = (
        Column("activity", head["activity"], 26, TEXT),
        Column("description", head["description"], 36, WRAPPED),
        Column("basis", head["basis"], 18, TEXT),
        Column("count", head["count"], 11, _QUANTITY),
        Column("minutes", head["minutes"], 11, _QUANTITY),
        Column("hours", head["hours"], 11, HOURS, f"ROUND({minutes}/60,2)"),
        Column("price", head["price"], 14, money.amount, draft.rounded(f"{this('hours')}*LabourRate")),
        Column("cost", head["cost"], 14, money.amount, draft.rounded(f"{this('hours')}*LabourCostRate")),
        Column("why", head["why"], 48, WRAPPED),
    )
    placed = write_table(page, RATES_AT + 3, "Labour", columns, [_row(draft, line) for line in lines])
    _show(draft, page, placed, lines)
    row, labour = placed.last + 1, draft.estimate.labour
    for column in placed.columns.values():
        page.put(row, column, None, as_total(STRONG))
    page.put(row, 1, t("Sum"), as_total(STRONG))
    page.formula(row, placed.columns["hours"], f"SUM({heads.column('hours')})", labour.hours, as_total(HOURS))
    for key, name, amount in (("price", "LabourPrice", labour.price), ("cost", "LabourCost", labour.cost)):
        column = placed.columns[key]
        page.formula(row, column, f"SUM({heads.column(key)})", amount.amount, as_total(money.amount))
        draft.define(name, page, at(row, column))


def _show(draft: Draft, page: Page, placed: Placed, lines: tuple[LabourLine, ...]) -> None:
    """Note what people try to change."""
    for at_row, line in enumerate(lines, start=placed.first):
        for key in ("minutes", "hours", "price"):
            draft.show(page, at(at_row, placed.columns[key]), "labour", line.activity, key)


def _row(draft: Draft, line: LabourLine) -> Row:
    return {
        "activity": line.activity,
        "description": draft.reader.say(line.description),
        "basis": basis_head(basis_name(line.basis, draft.reader), line.basis_count, line.basis, draft.formats),
        "count": basis_figure(line.basis_count, line.basis, draft.formats),
        "minutes": _figure(line.minutes_each * basis_factor(line.basis, draft.formats)),
        "hours": line.hours,
        "price": line.price.amount,
        "cost": line.cost.amount,
        "why": draft.reader.say(line.why),
    }


def _figure(value: Decimal) -> Decimal:
    """To what a cell can hold."""
    return round(value, 12).normalize() if value else value
