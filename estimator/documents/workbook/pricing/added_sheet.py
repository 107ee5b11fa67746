"""Free rows for parts that the estimator adds to the quote: a part of the book and a quantity, the rest follows."""

from __future__ import annotations

from dataclasses import replace

from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.entries import ADDED_ROWS, LARGEST_COUNT, Entry, Field
from estimator.documents.workbook.pricing.columns import Formulas, pricing_heads
from estimator.documents.workbook.pricing.price_lists import PriceLists
from estimator.documents.workbook.pricing.tax_columns import empty_tax_values, tax_columns
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import COUNT, LINE, MASS, PERCENT, STRONG, TEXT, WRAPPED, as_input, as_total
from estimator.documents.xlsx.numbers.measures import keys_of, measured_columns
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.tables import Column, Heads, Placed, Row, write_table
from estimator.documents.xlsx.validation import allow_amount, allow_count, allow_from, allow_share

TOP = 4
UNKNOWN = "?"
INPUT_FIELDS: tuple[tuple[str, Field], ...] = (
    ("part", "added_part"),
    ("ordered", "ordered"),
    ("given_price", "unit_price"),
    ("discount", "line_discount"),
    ("reason", "reason"),
)


def write_added(draft: Draft, page: Page, lists: PriceLists) -> Heads:
    """The table of added parts, its rows free."""
    heads = pricing_heads(draft, "Added")
    formulas = Formulas(draft, heads, lists, guard=f"ISNUMBER({heads.this('quantity')})")
    columns = (*_columns(draft, formulas), *tax_columns(draft, heads))
    first_line = len(draft.bill.lines) + 1
    rows = [_free_row(draft, number) for number in range(first_line, first_line + ADDED_ROWS)]
    page.head(
        draft.t("Added parts"),
        draft.t("Choose a part of the price list and a quantity. A part that has a line already is changed there."),
    )
    placed = write_table(page, TOP, "Added", columns, rows)
    _enter(draft, page, placed)
    row = placed.last + 1
    for column in placed.columns.values():
        page.put(row, column, None, as_total(STRONG))
    page.put(row, 2, draft.t("Sum of the added parts"), as_total(STRONG))
    for key in ("price", "cost"):
        nothing = draft.bill.totals.parts.amount * 0
        formula = f"SUM({heads.column(key)})"
        page.formula(row, placed.columns[key], formula, nothing, as_total(draft.money.amount))
    _validate(page, placed, lists.part_names, draft.t("a part of the price list"))
    print_wide(draft, page, heads=TOP, across=2, repeated=2)
    page.sheet.freeze_panes = at(TOP + 1, 3)
    return heads


def _columns(draft: Draft, formulas: Formulas) -> tuple[Column, ...]:
    heads, lists, money = formulas.heads, formulas.lists, draft.money
    head, this = heads.heads, heads.this
    part, number, ordered = this("part"), this("number"), this("ordered")
    find = f'IF({part}="","",IFERROR(MATCH({part},{lists.parts.column("part")},0),"{UNKNOWN}"))'
    quantity = f'IF(AND(ISNUMBER({number}),ISNUMBER({ordered})),{ordered},"")'
    list_price = f"INDEX({lists.parts.column('list_price')},{number})"
    return (
        Column("line", head["line"], 6, LINE),
        Column("part", head["part"], 19, as_input(TEXT)),
        Column("ordered", head["ordered"], 10, as_input(COUNT)),
        Column("given_price", head["given_price"], 12, as_input(money.unit_price)),
        Column("discount", head["discount"], 10, as_input(PERCENT)),
        Column("reason", head["reason"], 24, as_input(TEXT)),
        Column("number", head["number"], 8, replace(COUNT, across="right"), find),
        Column("quantity", head["quantity"], 10, COUNT, quantity),
        Column("description", head["description"], 36, WRAPPED, _from_list(formulas, "description")),
        Column("unit_cost", head["unit_cost"], 12, money.unit_price, formulas.unit_cost()),
        Column(
            "list_price",
            head["list_price"],
            12,
            money.unit_price,
            formulas.guarded(f'IF(ISNUMBER({list_price}),{list_price},"")'),
        ),
        Column("unit_price", head["unit_price"], 12, money.unit_price, formulas.unit_price()),
        Column("price", head["price"], 14, money.amount, formulas.price()),
        Column("cost", head["cost"], 14, money.amount, formulas.cost()),
        *measured_columns("mass", head, formulas.draft.units, 11, MASS, lambda end: _from_list(formulas, "mass" + end)),
        *measured_columns(
            "shipped_mass",
            head,
            formulas.draft.units,
            11,
            MASS,
            lambda end: formulas.guarded(f"{this('quantity')}*{this('mass' + end)}"),
        ),
    )


def _from_list(formulas: Formulas, key: str) -> str:
    return formulas.guarded(f"INDEX({formulas.lists.parts.column(key)},{formulas.heads.this('number')})")


def _free_row(draft: Draft, line: int) -> Row:
    empty: dict[str, str | int] = dict.fromkeys(
        (
            "number",
            "quantity",
            "description",
            "unit_cost",
            "list_price",
            "unit_price",
            "price",
            "cost",
            *(key for name in ("mass", "shipped_mass") for key, _ in keys_of(name, draft.units)),
        ),
        "",
    )
    return {**empty, "line": line, **empty_tax_values(draft, line)}


def _enter(draft: Draft, page: Page, placed: Placed) -> None:
    for index, row in enumerate(range(placed.first, placed.last + 1)):
        for key, field in INPUT_FIELDS:
            cell = at(row, placed.columns[key])
            draft.entries.append(Entry(page.title, cell, field, added_row=index))


def _validate(page: Page, placed: Placed, names: str, allowed: str) -> None:
    allow_from(page, placed.span("part"), names, allowed)
    allow_count(page, placed.span("ordered"), LARGEST_COUNT)
    allow_amount(page, placed.span("given_price"))
    allow_share(page, placed.span("discount"))
