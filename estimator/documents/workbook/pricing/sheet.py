"""The pricing sheet: every line from quantity and unit cost to line price, each step a formula."""

from __future__ import annotations

from openpyxl.formatting.rule import FormulaRule
from openpyxl.styles import PatternFill

from estimator.documents import style
from estimator.documents.language.words import group_name
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.entries import LARGEST_COUNT, Entry, Field, Kind
from estimator.documents.workbook.pricing.columns import Formulas, pricing_columns, pricing_heads
from estimator.documents.workbook.pricing.price_lists import PriceLists
from estimator.documents.workbook.pricing.tax_columns import tax_columns, tax_values
from estimator.documents.workbook.pricing.values import given_price, margin_of, margin_share
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import PERCENT, STRONG, as_total
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.tables import Heads, Placed, Row, write_table
from estimator.documents.xlsx.validation import allow_amount, allow_count, allow_mark, allow_share
from estimator.pricing.records import PricedLine

TOP = 4
STRUCK = "x"
INPUT_FIELDS: tuple[tuple[str, Field], ...] = (
    ("ordered", "ordered"),
    ("struck", "struck"),
    ("given_price", "unit_price"),
    ("discount", "line_discount"),
    ("reason", "reason"),
)
SHOWN: tuple[tuple[str, Kind], ...] = (
    ("quantity", "quantity"),
    ("unit_cost", "unit_cost"),
    ("list_price", "list_price"),
    ("unit_price", "unit_price"),
    ("price", "line_price"),
    ("cost", "line_cost"),
    ("margin", "line_cost"),
    ("margin_share", "line_cost"),
)


def write_pricing(draft: Draft, page: Page, lists: PriceLists) -> tuple[Heads, Placed]:
    """The estimator's table of priced lines, with its inputs, and its sums."""
    heads = pricing_heads(draft, "Pricing")
    formulas = Formulas(draft, heads, lists)
    lines = draft.bill.lines
    columns = (*pricing_columns(draft, formulas), *tax_columns(draft, heads))
    taxes = tax_values(draft)
    rows: list[Row] = [
        {**_row(draft, lists, at_line, line), **taxes[at_line - 1]} for at_line, line in enumerate(lines, start=1)
    ]
    page.head(draft.t("Pricing"), draft.t("Tinted cells may be changed; everything else follows from them."))
    placed = write_table(page, TOP, "Pricing", columns, rows)
    for row, priced in enumerate(lines, start=placed.first):
        description, rule = draft.reader.say(priced.line.description), draft.reader.say(priced.price_rule)
        page.lines(row, description, 30)
        page.lines(row, rule, 36)  # in smaller letters
    _enter(draft, page, placed, rows)
    _sums(draft, page, placed, heads)
    _validate(page, placed, draft.t("a whole number from 0 on"))
    _mark_struck(page, placed)
    print_wide(draft, page, heads=TOP, across=2, repeated=2)
    page.sheet.freeze_panes = at(TOP + 1, placed.columns["part"] + 1)
    return heads, placed


def _row(draft: Draft, lists: PriceLists, line_number: int, priced: PricedLine) -> Row:
    line, part = priced.line, draft.book.parts[priced.line.part]
    return {
        "line": line_number,
        "part": line.part,
        "group": group_name(priced.group, draft.reader),
        "description": draft.reader.say(line.description),
        "ordered": line.ordered,
        "struck": None,
        "quantity": line.ordered,
        "number": lists.numbers[line.part],
        "unit_cost": priced.unit_cost,
        "given_price": given_price(line.part, draft.estimate.choices),
        "list_price": part.list_price,
        "unit_price": priced.unit_price,
        "discount": priced.discount,
        "price": priced.price.amount,
        "cost": priced.cost.amount,
        "margin": margin_of(priced).amount,
        "margin_share": margin_share(priced),
        "price_from": draft.reader.say(priced.price_rule),
        "reason": None,
    }


def _enter(draft: Draft, page: Page, placed: Placed, rows: list[Row]) -> None:
    """Note every cell that may be changed, with what stands in it."""
    for row_number, row in enumerate(rows, start=placed.first):
        part = str(row["part"])
        for key, field in INPUT_FIELDS:
            cell = at(row_number, placed.columns[key])
            draft.entries.append(
                Entry(page.title, cell, field, part, at(row_number, placed.columns["part"]), row.get(key))
            )
        for key, kind in SHOWN:
            draft.show(page, at(row_number, placed.columns[key]), kind, part)


def _sums(draft: Draft, page: Page, placed: Placed, heads: Heads) -> None:
    row, totals, money = placed.last + 1, draft.bill.totals, as_total(draft.money.amount)
    for column in placed.columns.values():
        page.put(row, column, None, as_total(STRONG))
    page.put(row, placed.columns["part"], draft.t("Sum of the lines"), as_total(STRONG))
    cost = totals.cost - totals.freight - draft.estimate.labour.cost
    page.formula(row, placed.columns["price"], f"SUM({heads.column('price')})", totals.parts.amount, money)
    page.formula(row, placed.columns["cost"], f"SUM({heads.column('cost')})", cost.amount, money)
    margin = (totals.parts - cost).amount
    page.formula(row, placed.columns["margin"], f"SUM({heads.column('margin')})", margin, money)
    price_cell, margin_cell = at(row, placed.columns["price"]), at(row, placed.columns["margin"])
    share = margin / totals.parts.amount if totals.parts.amount else margin * 0
    page.formula(
        row,
        placed.columns["margin_share"],
        f"IF({price_cell}=0,0,ROUND({margin_cell}/{price_cell},4))",
        round(share, 4),
        as_total(PERCENT),
    )


def _validate(page: Page, placed: Placed, counts: str) -> None:
    allow_count(page, placed.span("ordered"), LARGEST_COUNT, counts)
    allow_mark(page, placed.span("struck"), STRUCK)
    allow_amount(page, placed.span("given_price"))
    allow_share(page, placed.span("discount"))


def _mark_struck(page: Page, placed: Placed) -> None:
    """Grey out a line that is struck."""
    span = f"{at(placed.first, 1)}:{at(placed.last, placed.columns['description'])}"
    struck = f"${at(placed.first, placed.columns['struck'])}"
    grey = PatternFill("solid", bgColor=f"FF{style.RULE}")
    page.sheet.conditional_formatting.add(span, FormulaRule(formula=[f'{struck}<>""'], fill=grey))
