"""The quote's rates and switches: those the estimator may change, and those the pricebook holds."""

from __future__ import annotations

from decimal import Decimal

from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.entries import Entry, Field
from estimator.documents.xlsx.looks import LABEL, NOTE, PERCENT, TEXT, as_input
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.validation import allow_mark, allow_share

LABELS, RATES, NOTES = 6, 7, 8
LARGEST_MARGIN = "0.9999"


def write_rates(draft: Draft, page: Page, top: int) -> int:
    """Rates from row ``top`` on, inputs first; the row below them."""
    page.heading(top, draft.t("Rates"), LABELS)
    row = top + 1
    if draft.for_estimator:
        row = _write_pricing_rates(draft, page, row)
    totals = draft.bill.totals
    row = _write_rate(draft, page, row, ("discount", "Discount", draft.t("Discount"), totals.discount_rate))
    row = _write_rate(
        draft, page, row, ("contingency", "ContingencyRate", draft.t("Contingency"), totals.contingency_rate)
    )
    if draft.for_estimator:
        row = _write_switches(draft, page, row)
    page.put(row, LABELS, draft.t("{tax}, rate", tax=draft.reader.say(totals.tax_name) or draft.t("Tax")), LABEL)
    page.put(row, RATES, totals.tax_rate, PERCENT)
    page.put(row, NOTES, draft.t("set by the pricebook"), NOTE)
    draft.define("TaxRate", page, at(row, RATES))
    draft.show(page, at(row, RATES), "rate", "TaxRate")
    return row + 1


def _write_pricing_rates(draft: Draft, page: Page, row: int) -> int:
    """The margin; where the book prices by markup, that markup too, which is used until a margin is filled in."""
    bill = draft.bill
    by_markup = bill.pricing_method == "markup"
    if by_markup:
        page.put(row, LABELS, draft.t("Markup on cost"), LABEL)
        page.put(row, RATES, bill.pricing_rate, PERCENT)
        note = draft.t("set by the pricebook; a margin filled in below wins")
        page.put(row, NOTES, note, NOTE)
        page.lines(row, note, 28)
        draft.define("BookMarkup", page, at(row, RATES))
        draft.show(page, at(row, RATES), "rate", "BookMarkup")
        row += 1
    held = None if by_markup else bill.pricing_rate
    row = _write_rate(draft, page, row, ("margin", "Margin", draft.t("Margin on price"), held))
    note = draft.t("share of the price, not of the cost")
    page.put(row - 1, NOTES, note, NOTE)
    page.lines(row - 1, note, 28)
    return row


def _write_rate(draft: Draft, page: Page, row: int, rate: tuple[Field, str, str, Decimal | None]) -> int:
    field, name, label, held = rate
    page.put(row, LABELS, label, LABEL)
    page.put(row, RATES, held, as_input(PERCENT) if draft.for_estimator else PERCENT)
    draft.define(name, page, at(row, RATES))
    if draft.for_estimator:
        largest = LARGEST_MARGIN if field == "margin" else "1"
        allow_share(page, at(row, RATES), largest, draft.t("a share from 0 % to 100 %"))
        draft.entries.append(Entry(page.title, at(row, RATES), field, held=held))
    return row + 1


def _write_switches(draft: Draft, page: Page, row: int) -> int:
    yes, no = draft.t("yes"), draft.t("no")
    switches: list[tuple[Field, str, str, str]] = [
        ("freight", "FreightIncluded", draft.t("Freight included"), yes if draft.estimate.choices.freight else no)
    ]
    if draft.estimate.labour.lines:
        switches.append(("labour", "LabourIncluded", draft.t("Labour included"), yes))
    for field, name, label, held in switches:
        page.put(row, LABELS, label, LABEL)
        page.put(row, RATES, held, as_input(TEXT))
        draft.define(name, page, at(row, RATES))
        allow_mark(page, at(row, RATES), yes, no)
        draft.entries.append(Entry(page.title, at(row, RATES), field, held=held))
        row += 1
    return row
