"""Tax rounded on each line: every line less its share of the quote discount, shared out by largest remainder.

All in whole minor units, so that the remainders are exact: with discount D, line price p and sum of lines P, the share
is the whole part of D * p / P, and the units left over go to the lines with the greatest remainders, the first line
first. Source: largest remainder method (common practice, no source). Only where the book taxes per line.
"""

from __future__ import annotations

from decimal import Decimal

from estimator.documents.workbook.draft import Draft
from estimator.documents.xlsx.looks import COUNT
from estimator.documents.xlsx.tables import Column, Heads, Row
from estimator.money import zero
from estimator.pricing.totals import Additions, tax_shares

_NEXT = 100_000
"""Divides a line's number, so that among equal remainders the first line comes first."""


def taxed_by_line(draft: Draft) -> bool:
    """Whether the book rounds the tax of every line, and taxes the lines at all."""
    return draft.book.tax.per == "line" and "parts" in draft.book.tax.taxed


def tables_of(draft: Draft) -> tuple[str, ...]:
    """The tables of priced lines: the customer's edition has no added parts."""
    return ("Pricing", "Added") if draft.for_estimator else ("Pricing",)


def tax_formula(draft: Draft, heads: Heads) -> str:
    """The tax from the named totals, rounded once on their sum, or on each amount, as the book says."""
    amounts = {"freight": "FreightTotal", "labour": "LabourTotal", "contingency": "ContingencyTotal"}
    named = [name for key, name in amounts.items() if key in draft.book.tax.taxed]
    if draft.book.tax.per == "line":
        of_lines = [f"SUM({heads.column('tax', table)})" for table in tables_of(draft)] if taxed_by_line(draft) else []
        return "+".join([*of_lines, *(draft.rounded(f"{name}*TaxRate") for name in named)]) or "0"
    parts = ["PartsTotal-QuoteDiscount"] if "parts" in draft.book.tax.taxed else []
    return draft.rounded(f"({'+'.join([*parts, *named]) or '0'})*TaxRate")


def tax_columns(draft: Draft, heads: Heads) -> tuple[Column, ...]:
    """Remainder, whole share, share of the discount and tax of every line; none where the tax is on the sum."""
    if not taxed_by_line(draft):
        return ()
    this, unit = heads.this, 10**draft.minor
    price = f"ROUND(N({this('price')})*{unit},0)"
    rest = f"IF(DiscountUnits=0,0,MOD(DiscountUnits*{price},PartsUnits))-{this('line')}/{_NEXT}"
    whole = f"IF(DiscountUnits=0,0,ROUND((DiscountUnits*{price}-MOD(DiscountUnits*{price},PartsUnits))/PartsUnits,0))"
    rests = [heads.column("tax_rest", table) for table in tables_of(draft)]
    ranks = "+".join(f"SUMPRODUCT(({each}>{this('tax_rest')})*1)" for each in rests)
    share = f"({this('tax_whole')}+IF({ranks}<DiscountUnitsLeft,1,0))/{unit}"
    tax = draft.rounded(f"(N({this('price')})-{this('tax_share')})*TaxRate")
    return (
        Column("tax_rest", heads.heads["tax_rest"], 12, COUNT, rest),
        Column("tax_whole", heads.heads["tax_whole"], 12, COUNT, whole),
        Column("tax_share", heads.heads["tax_share"], 12, draft.money.amount, share),
        Column("tax", heads.heads["tax"], 12, draft.money.amount, tax),
    )


def tax_values(draft: Draft) -> list[Row]:
    """The columns' values for every line as the engine shares and taxes."""
    lines, totals = draft.bill.lines, draft.bill.totals
    if not taxed_by_line(draft):
        return [{} for _ in lines]
    none = zero(draft.bill.currency)
    additions = Additions(totals.discount_rate, Decimal(0), none, none, none)
    shares = tax_shares(lines, totals.discount, none, additions, draft.book)[: len(lines)]
    return [
        _values(draft, number, line.price.minor(), (line.price - share.amount).amount, share.tax)
        for number, (line, share) in enumerate(zip(lines, shares, strict=True), start=1)
    ]


def _values(draft: Draft, number: int, price: int, share: Decimal, tax: Decimal) -> Row:
    units, parts = draft.bill.totals.discount.minor(), draft.bill.totals.parts.minor()
    rest = units * price % parts if parts else 0
    return {
        "tax_rest": Decimal(rest) - Decimal(number) / _NEXT,
        "tax_whole": units * price // parts if parts else 0,
        "tax_share": share,
        "tax": tax,
    }


def empty_tax_values(draft: Draft, number: int) -> Row:
    """The columns' values of a free row."""
    if not taxed_by_line(draft):
        return {}
    return _values(draft, number, 0, Decimal(0).quantize(Decimal(1).scaleb(-draft.minor)), Decimal(0))
