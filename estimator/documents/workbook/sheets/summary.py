"""The first sheet: what is quoted, the chain of totals, the rates, the counts, the groups with their chart."""

from __future__ import annotations

from decimal import Decimal

from estimator.documents.language.words import group_name
from estimator.documents.quoting.content import quote_content
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.pricing.rates_block import write_rates
from estimator.documents.workbook.pricing.totals_block import AMOUNTS, LABELS, write_margin, write_totals
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.drawings.charts import bar_chart, place
from estimator.documents.xlsx.drawings.logo import put_logo
from estimator.documents.xlsx.looks import (
    CAUTION,
    COUNT,
    HEAD,
    LABEL,
    NOTE,
    PERCENT,
    STRONG,
    TEXT,
    WRAPPED,
    Look,
    as_total,
)
from estimator.documents.xlsx.numbers.figures import number
from estimator.documents.xlsx.numbers.measures import in_unit, unit_of
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.tables import Heads
from estimator.money import Money, total
from estimator.pricing.records import PricedLine
from estimator.units import SYSTEMS, System

WIDTHS = (28.0, 15.0, 15.0, 15.0, 3.0, 26.0, 14.0, 24.0)
_LAST = len(WIDTHS)
_KILOWATT = Look(number_format='#,##0.00" kW"', across="right", rule="below")
_MASS: dict[System, Look] = {
    system: Look(number_format=f'#,##0.0" {unit_of("mass", system)}"', across="right", rule="below")
    for system in SYSTEMS
}


def write_summary(draft: Draft, page: Page, pricing: Heads) -> None:
    """Head, facts, totals beside the rates, margin beside the counts, groups beside their chart."""
    page.widths(*WIDTHS)
    row = _write_head(draft, page)
    below_totals = write_totals(draft, page, row, pricing)
    below_rates = write_rates(draft, page, row)
    row = max(below_totals, below_rates) + 1
    below_counts = _write_counts(draft, page, row)
    if draft.for_estimator:
        row = _write_margin_share(draft, page, write_margin(draft, page, row, pricing))
    row = max(row, below_counts) + 1
    _write_groups(draft, page, row, pricing)
    print_wide(draft, page, upright=True, one_page=True)


def _write_head(draft: Draft, page: Page) -> int:
    """Number, state and facts; notes that must be seen stand tinted."""
    t, content = draft.t, quote_content(draft.offer, draft.header)
    title = t("Quote {number}", number=content.number)
    page.head(title, " · ".join(part for part in (content.seller.name, content.title) if part))
    put_logo(page, draft.estimate.seller, draft.reader, _LAST)
    row = 3
    for note in (content.state_note, content.invented_note):
        if note:
            page.put(row, 1, note, CAUTION)
            page.merge(row, 1, _LAST)
            row += 1
    facts = [(t("Customer"), ", ".join((content.customer.name, *content.customer.lines)))]
    facts += [(fact.label, fact.value) for fact in (*content.facts, *content.scope)]
    row += 1
    for label, value in facts:
        page.put(row, 1, label, LABEL)
        page.put(row, 2, value, WRAPPED)
        page.merge(row, 2, _LAST)
        page.lines(row, value, sum(WIDTHS[1:]) * 1.02)
        row += 1
    return row + 1


def _write_counts(draft: Draft, page: Page, top: int) -> int:
    """The counts that a reader asks for first."""
    t, counts, estimate = draft.t, draft.estimate.counts.counts, draft.estimate
    page.heading(top, t("Counts"), 6)
    rows: list[tuple[str, int | Decimal, Look]] = [
        (t("Modules"), counts.modules, COUNT),
        (t("Power"), number(counts.power) / 1000, _KILOWATT),
        (t("Attachments"), counts.attachments, COUNT),
        (t("Rail runs"), counts.runs, COUNT),
        (t("Splices"), counts.splices + counts.expansion_splices, COUNT),
        (t("Bars"), sum(counts.bars.values()), COUNT),
        *(
            (t("Shipped mass"), in_unit(estimate.freight.mass_kg, "mass", system), _MASS[system])
            for system in draft.formats.systems
        ),
    ]
    for row, (label, value, look) in enumerate(rows, start=top + 1):
        page.put(row, 6, label, LABEL)
        page.put(row, 7, value, look)
    row = top + 1 + len(rows)
    page.put(row, 6, t("Failed checks"), LABEL)
    page.put(row, 7, len(estimate.errors), CAUTION if estimate.errors else COUNT)
    return row + 1


def _write_margin_share(draft: Draft, page: Page, row: int) -> int:
    page.put(row, LABELS, draft.t("Margin share before tax"), LABEL)
    share = "IF(BeforeTax=0,0,ROUND(MarginAmount/BeforeTax,4))"
    page.formula(row, AMOUNTS, share, draft.bill.totals.margin_rate, PERCENT)
    draft.define("MarginShare", page, at(row, AMOUNTS))
    return row + 1


def _write_groups(draft: Draft, page: Page, top: int, pricing: Heads) -> None:
    """Price (and cost and margin, for the estimator) of every group of parts, and their chart."""
    t, live = draft.t, draft.for_estimator
    page.heading(top, t("Groups"))
    heads = [t("Group"), t("Price"), *([t("Cost"), t("Margin")] if live else [])]
    for column, head in enumerate(heads, start=1):
        page.put(top + 1, column, head, HEAD)
    row = first = top + 2
    for group, price, cost in _groups(draft):
        page.put(row, 1, group, TEXT)
        _group_sums(draft, page, row, pricing, (price, cost))
        row += 1
    if live:
        page.put(row, 1, t("Added parts"), TEXT)
        nothing = draft.bill.totals.parts.amount * 0
        for column, key in ((2, "price"), (3, "cost")):
            page.formula(row, column, f"SUM({pricing.column(key, 'Added')})", nothing, draft.money.amount)
        page.formula(row, 4, f"{at(row, 2)}-{at(row, 3)}", nothing, draft.money.amount)
        row += 1
    _group_totals(draft, page, (first, row), len(heads))
    chart = bar_chart(page, t("Cost and price by group") if live else t("Price by group"), (first - 1, row - 1), heads)
    place(page, chart, f"F{top + 1}", 14.5, 1.2 * (row - first) + 4.5)
    page.put(row + 2, 1, _note(draft), NOTE)
    page.merge(row + 2, 1, 4)
    page.lines(row + 2, _note(draft), 80)


def _note(draft: Draft) -> str:
    """The legend: what is protected, what may be filled in, and what becomes of it."""
    if not draft.for_estimator:
        return draft.t("All sheets are protected, without a password: nothing is to be filled in.")
    return draft.t(
        "Legend: tinted, framed cells may be filled in, with a figure or with arithmetic such as =72+8*2; all others "
        "are protected, without a password. When the workbook is sent back, the service prices the quote again by the "
        "same edition of the pricebook and tells every change that it took or did not take. Another price or margin "
        "may lead to another cut plan there."
    )


def _groups(draft: Draft) -> list[tuple[str, Money, Money]]:
    """Every group, by the name its lines carry, with their sums, in the order they first appear."""
    currency = draft.bill.currency
    named: dict[str, list[PricedLine]] = {}
    for line in draft.bill.lines:
        named.setdefault(group_name(line.group, draft.reader), []).append(line)
    return [
        (name, total((line.price for line in lines), currency), total((line.cost for line in lines), currency))
        for name, lines in named.items()
    ]


def _group_sums(draft: Draft, page: Page, row: int, pricing: Heads, sums: tuple[Money, Money]) -> None:
    # A criterion of SUMIFS would take a name such as ">0" or "A*" for a rule.
    group = f"({pricing.column('group')}={at(row, 1)})*"
    page.formula(row, 2, f"SUMPRODUCT({group}{pricing.column('price')})", sums[0].amount, draft.money.amount)
    if draft.for_estimator:
        page.formula(row, 3, f"SUMPRODUCT({group}{pricing.column('cost')})", sums[1].amount, draft.money.amount)
        margin = (sums[0] - sums[1]).amount
        page.formula(row, 4, f"{at(row, 2)}-{at(row, 3)}", margin, draft.money.amount)


def _group_totals(draft: Draft, page: Page, rows: tuple[int, int], columns: int) -> None:
    first, row = rows
    page.put(row, 1, draft.t("Parts"), as_total(STRONG))
    totals = draft.bill.totals
    cost = totals.cost - totals.freight - draft.estimate.labour.cost
    for column, amount in zip(range(2, columns + 1), (totals.parts, cost, totals.parts - cost), strict=False):
        formula = f"SUM({at(first, column)}:{at(row - 1, column)})"
        page.formula(row, column, formula, amount.amount, as_total(draft.money.amount))
