"""A re-pricing in tables: quote by quote, and summed by cause; as a workbook in the house's look."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC
from decimal import Decimal

import pandas as pd
from openpyxl import Workbook
from openpyxl.utils import get_column_letter

from estimator.comparison.repricing import CAUSES
from estimator.documents import style
from estimator.documents.xlsx.cached_values import Value, saved_workbook
from estimator.documents.xlsx.looks import COUNT, HEAD, WRAPPED, Look, Looks
from estimator.documents.xlsx.page import Content, Page
from estimator.documents.xlsx.printing import footer_text, print_on
from estimator.documents.xlsx.tables import Column, Heads, write_table
from estimator.service.calculations import Tell, ignore
from estimator.service.quoting.repricing.repricings import RepricedQuote, StoredRepricing

NUMBERS = ("old_total", "new_total", "difference", "margin_at_risk", *CAUSES)
HEADS_AT = 4
PROBLEM_WIDTH = 34
AMOUNT = Look(number_format="#,##0.00", across="right", rule="below")


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


def workbook_of(repricing: StoredRepricing, *, tell: Tell = ignore) -> bytes:
    """The report as a workbook: what each currency comes to, as formulas, over the table of quotes."""
    workbook = Workbook()
    first = workbook.worksheets[0]
    looks = Looks(workbook)
    values: dict[str, dict[str, Value]] = {}
    sums, quotes = (
        Page(workbook.create_sheet(name), looks, values.setdefault(name, {})) for name in ("Sums", "Quotes")
    )
    workbook.remove(first)
    title = f"Open quotes by {repricing.pricebook}, edition {repricing.edition}"
    workbook.properties.title = workbook.properties.creator = title
    if repricing.quotes:
        _write_sums(sums, repricing)
        write_table(quotes, HEADS_AT, "Quotes", _columns(), [_row(each) for each in repricing.quotes])
        for row, each in enumerate(repricing.quotes, start=HEADS_AT + 1):
            if each.problem:
                quotes.lines(row, each.problem, PROBLEM_WIDTH)
        quotes.sheet.freeze_panes = f"B{HEADS_AT + 1}"
    for page in (sums, quotes):
        page.head(title, _about(repricing))
        _set_up(page, repricing)
    workbook.calculation.fullCalcOnLoad = True
    return saved_workbook(workbook, values, repricing.created_at.astimezone(UTC).date())


def _about(repricing: StoredRepricing) -> str:
    made = repricing.created_at.astimezone(UTC)
    without = sum(each.new_total is None for each in repricing.quotes)
    return (
        f"Prices of {repricing.priced_on.isoformat()}; asked for by {repricing.asked_by}, {made:%Y-%m-%d %H:%M} UTC; "
        f"{len(repricing.quotes)} quotes, {without} of them without a new price. No quote was changed."
    )


def _columns() -> list[Column]:
    amounts = [Column(name, _head(name), 12.5, AMOUNT) for name in NUMBERS]
    cards = [Column("number", "number", 14), Column("revision", "revision", 9, COUNT), Column("state", "state", 10)]
    told = [Column("plan", "build", 13), Column("problem", "problem", PROBLEM_WIDTH, WRAPPED)]
    return [*cards, Column("currency", "currency", 9), *amounts, *told]


def _head(name: str) -> str:
    return name.replace("_", " ")


def _row(each: RepricedQuote) -> dict[str, Content | bool]:
    amounts: dict[str, Content | bool] = {name: getattr(each, name) for name in NUMBERS if name not in CAUSES}
    card: dict[str, Content | bool] = {"number": each.number, "revision": each.revision, "state": each.state}
    told: dict[str, Content | bool] = {"plan": _head(each.plan), "problem": each.problem or ""}
    return {**card, "currency": each.currency, **amounts, **dict(each.causes), **told}


def _write_sums(page: Page, repricing: StoredRepricing) -> None:
    """A row for each currency, over its quotes with a new price: amounts of different ones are never added."""
    heads = Heads("Quotes", {column.key: column.head for column in _columns()})
    found = sums_of(repricing)
    currencies = sorted({each.currency for each in repricing.quotes})
    page.widths(14)
    for column, head in enumerate(("currency", "priced quotes", *map(_head, NUMBERS)), start=1):
        page.put(HEADS_AT, column, head, HEAD)
    page.sheet.row_dimensions[HEADS_AT].height = 30
    for row, currency in enumerate(currencies, start=HEADS_AT + 1):
        own = [each for each in repricing.quotes if each.currency == currency and each.new_total is not None]
        which = f'{heads.column("currency")},A{row},{heads.column("new_total")},"<>"'
        page.put(row, 1, currency)
        page.formula(row, 2, f"COUNTIFS({which})", len(own), COUNT)
        for column, name in enumerate(NUMBERS, start=3):
            value = found[currency][name] if currency in found else Decimal(0)
            page.formula(row, column, f"SUMIFS({heads.column(name)},{which})", value, AMOUNT)
            page.sheet.column_dimensions[get_column_letter(column)].width = 13.5
    page.sheet.freeze_panes = f"B{HEADS_AT + 1}"


def _set_up(page: Page, repricing: StoredRepricing) -> None:
    """One page wide, heads on every page, the edition and the page in the foot."""
    sheet = page.sheet
    sheet.sheet_properties.tabColor = f"FF{style.BLUE}"
    sheet.sheet_view.showGridLines = False
    page.fit_heads()
    american = {each.currency for each in repricing.quotes} == {"USD"}
    print_on(sheet, "letter" if american else "A4", upright=False)
    sheet.print_title_rows = f"{HEADS_AT}:{HEADS_AT}"
    footer = sheet.oddFooter
    assert footer is not None
    footer.left.text = footer_text(f"{repricing.pricebook}, {repricing.edition}")
    footer.right.text = "page &P of &N"
    footer.left.size = footer.right.size = 8
