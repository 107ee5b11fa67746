"""The options of a quote: side by side on one sheet, and the priced lines of each on a sheet of its own.

The other sheets, and everything that may be filled in, are of option A; its amounts here follow them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.comparison.carried import CODE
from estimator.comparison.records import FIRST, QuotedOption
from estimator.documents.language.words import ARRANGEMENTS, MATERIALS, check_where
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.pricing.values import line_cells, margin_share
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import (
    CAUTION,
    COUNT,
    HEAD,
    LABEL,
    LINE,
    MASS,
    NOTE,
    PERCENT,
    STRONG,
    TEXT,
    WRAPPED,
    Look,
    as_total,
)
from estimator.documents.xlsx.numbers.measures import in_unit, keys_of, named_with, to_gram
from estimator.documents.xlsx.page import Content, Page, at
from estimator.documents.xlsx.tables import Column, Heads, Row, write_table
from estimator.money import Money

TOP = 4
WIDTHS = (30.0, 26.0, 26.0, 26.0)
DESCRIPTION = 46.0
_RIGHT = Look(across="right", rule="below", wrap=True)


@dataclass(frozen=True, slots=True)
class _Fact:
    """One row: what it is, what stands there, how; ``formula`` is option A's where it follows the other sheets."""

    label: str
    content: Content
    look: Look
    formula: str = ""


def write_options(draft: Draft) -> None:
    """The sheets of a quote with options; none for any other."""
    if not draft.offer.options:
        return
    _write_beside(draft)
    for option in draft.offer.options:
        if option.estimate.bill.lines:
            _write_lines(draft, option)


def _write_beside(draft: Draft) -> None:
    """A column for each option, the same facts beside each other, and what each costs more than option A."""
    t, ways = draft.t, draft.offer.ways
    page = draft.page(t("Options"))
    page.head(t("Options"), t("All other sheets are of option A; the acceptance names the option that is ordered."))
    page.widths(*WIDTHS[: len(ways) + 1])
    page.put(TOP, 1, None, HEAD)
    for column, way in enumerate(ways, start=2):
        page.put(TOP, column, _name(draft, way), HEAD)
    page.sheet.row_dimensions[TOP].height = 30
    every = [_facts(draft, way) for way in ways]
    row = TOP
    for facts in zip(*every, strict=True):
        row += 1
        page.put(row, 1, facts[0].label, as_total(STRONG) if facts[0].look.bold else LABEL)
        for column, (way, fact) in enumerate(zip(ways, facts, strict=True), start=2):
            _put(draft, page, (row, column), fact, first=way.letter == FIRST)
    row = _write_difference(draft, page, row)
    _write_notes(draft, page, row + 1)
    print_wide(draft, page, heads=TOP)


def _name(draft: Draft, way: QuotedOption) -> str:
    name = draft.t("Option {letter}", letter=way.letter)
    return f"{name}: {way.title}" if way.title else name


def _facts(draft: Draft, way: QuotedOption) -> list[_Fact]:
    t, made, money = draft.t, way.estimate, draft.money.amount
    mounting, totals = made.mounting, made.bill.totals
    words = f"{t(ARRANGEMENTS[mounting.arrangement])}, {t(MATERIALS[mounting.material])}"
    steps: list[tuple[str, Money, str]] = [
        (t("Parts less discount"), totals.parts - totals.discount, "PartsTotal-QuoteDiscount"),
        (t("Freight"), totals.freight, "FreightTotal"),
        (t("Labour"), totals.labour, "LabourTotal"),
        (t("Contingency"), totals.contingency, "ContingencyTotal"),
        (t("Total before tax"), totals.before_tax, "BeforeTax"),
        (draft.reader.say(totals.tax_name) or t("Tax"), totals.tax, "TaxTotal"),
        (t("Total"), totals.total, "GrandTotal"),
    ]
    own: list[tuple[str, Money, str]] = [
        (t("Cost"), totals.cost, "CostTotal"),
        (t("Total before tax less cost"), totals.margin, "MarginAmount"),
    ]
    strong = {"BeforeTax", "GrandTotal"}
    shown = [each for each in made.errors if draft.for_estimator or not each.tells_cost]
    return [
        _Fact(t("Mounting"), words[:1].upper() + words[1:], _RIGHT),
        _Fact(t("Bracket"), mounting.bracket.part, _RIGHT),
        _Fact(t("Rail"), mounting.rail.rail if mounting.rail else "\N{EN DASH}", _RIGHT),
        _Fact(t("Attachments"), made.counts.counts.attachments, COUNT),
        *(
            _Fact(
                named_with(t("Shipped mass (kg)"), "mass", system),
                to_gram(in_unit(made.freight.mass_kg, "mass", system)),
                MASS,
            )
            for _, system in keys_of("shipped", draft.units)
        ),
        *(
            _Fact(label, amount.amount, as_total(money) if name in strong else money, name)
            for label, amount, name in (*steps, *(own if draft.for_estimator else ()))
        ),
        _Fact(t("Failed checks"), len(shown), replace(COUNT, fill=CAUTION.fill) if shown else COUNT),
    ]


def _put(draft: Draft, page: Page, place: tuple[int, int], fact: _Fact, *, first: bool) -> None:
    row, column = place
    if first and fact.formula and isinstance(fact.content, Decimal):
        page.formula(row, column, fact.formula, fact.content, fact.look)
    else:
        page.put(row, column, fact.content, fact.look)
    if isinstance(fact.content, str):
        page.lines(row, fact.content, WIDTHS[1])


def _write_difference(draft: Draft, page: Page, row: int) -> int:
    """What each option's total is above option A's, the last of the totals."""
    ways = draft.offer.ways
    amounts = [way.estimate.bill.totals.total for way in ways]
    page.put(row + 1, 1, draft.t("Total above option A"), LABEL)
    page.put(row + 1, 2, None, draft.money.amount)
    total_row = _row_of(page, draft.t("Total"), row)
    for column, amount in enumerate(amounts[1:], start=3):
        more = f"{at(total_row, column)}-{at(total_row, 2)}"
        page.formula(row + 1, column, more, (amount - amounts[0]).amount, draft.money.amount)
    return row + 2


def _row_of(page: Page, label: str, last: int) -> int:
    return next(row for row in range(TOP + 1, last + 1) if page.sheet.cell(row, 1).value == label)


def _write_notes(draft: Draft, page: Page, row: int) -> None:
    """Failed checks of the other options, and what of the changes of lines does not hold in them."""
    for option in draft.offer.options:
        told = [each for each in option.estimate.checks if _is_told(draft, each.code, each.severity)]
        told = [each for each in told if draft.for_estimator or not each.tells_cost]
        if told:
            page.heading(row, _name(draft, option))
            row += 1
        for each in told:
            text = check_where(each, draft.reader)
            page.put(row, 1, text, CAUTION if each.severity == "error" else NOTE)
            page.merge(row, 1, len(draft.offer.ways) + 1)
            page.lines(row, text, sum(WIDTHS[: len(draft.offer.ways) + 1]))
            row += 1


def _is_told(draft: Draft, code: str, severity: str) -> bool:
    return severity == "error" or (draft.for_estimator and code == CODE)


def _write_lines(draft: Draft, option: QuotedOption) -> None:
    """The priced lines of an option, with cost and margin for the estimator; locked: option A is what is edited."""
    t, name = draft.t, f"Option{option.letter}"
    page = draft.page(t("Option {letter}", letter=option.letter))
    page.head(_name(draft, option), t("Every line with its quantity and unit price."))
    columns = _columns(draft, name)
    placed = write_table(page, TOP, name, columns, _rows(draft, option))
    for at_row, priced in enumerate(option.estimate.bill.lines, start=placed.first):
        for column in placed.columns.values():
            draft.show(page, at(at_row, column), "option", priced.line.part)
    row, totals = placed.last + 1, option.estimate.bill.totals
    for column in placed.columns.values():
        page.put(row, column, None, as_total(STRONG))
    page.put(row, 2, t("Sum of the lines"), as_total(STRONG))
    price_at = placed.columns["price"]
    page.formula(row, price_at, f"SUM({placed.span('price')})", totals.parts.amount, as_total(draft.money.amount))
    print_wide(draft, page, heads=TOP)
    page.sheet.freeze_panes = at(TOP + 1, 3)


def _columns(draft: Draft, name: str) -> list[Column]:
    """The columns of a table of that name; prices and costs of lines as formulas."""
    t, money = draft.t, draft.money
    heads = {
        "line": t("No."), "part": t("Part"), "group": t("Group"), "description": t("Description"),
        "quantity": t("Quantity"), "unit": t("Unit"), "unit_price": t("Unit price"), "discount": t("Discount"),
        "price": t("Line price"), "unit_cost": t("Unit cost"), "cost": t("Line cost"), "margin": t("Margin share"),
    }  # fmt: skip
    this = Heads(name, heads).this
    product = f"{this('quantity')}*{this('unit_price')}*(1-{this('discount')})"
    cost = f"{this('quantity')}*{this('unit_cost')}"
    share = f"IF({this('price')}=0,0,ROUND(({this('price')}-{this('cost')})/{this('price')},4))"
    columns = [
        Column("line", heads["line"], 6, LINE),
        Column("part", heads["part"], 20, TEXT),
        Column("group", heads["group"], 22, TEXT),
        Column("description", heads["description"], DESCRIPTION, WRAPPED),
        Column("quantity", heads["quantity"], 11, COUNT),
        Column("unit", heads["unit"], 8, TEXT),
        Column("unit_price", heads["unit_price"], 13, money.unit_price),
        Column("discount", heads["discount"], 10, PERCENT),
        Column("price", heads["price"], 15, money.amount, draft.rounded(product)),
    ]
    if draft.for_estimator:
        columns += [
            Column("unit_cost", heads["unit_cost"], 12, money.unit_price),
            Column("cost", heads["cost"], 14, money.amount, draft.rounded(cost)),
            Column("margin", heads["margin"], 10, PERCENT, share),
        ]
    return columns


def _rows(draft: Draft, option: QuotedOption) -> list[Row]:
    return [
        line_cells(number, priced, draft.reader)
        | {"unit_cost": priced.unit_cost, "cost": priced.cost.amount, "margin": margin_share(priced)}
        for number, priced in enumerate(option.estimate.bill.lines, start=1)
    ]
