"""Which tax rules of a book hold for one sale, and the amounts under each tax category.

Who sells, who buys, where the goods go and whether the house sends them decide; the rules themselves are data in the
book. Sources: 2006/112/EC, Art. 138 (intra-Community supply), 146 (export), 44 and 196 (reverse charge), all from
memory: a tax adviser decides.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import get_args

from stdnum.eu import vat

from estimator.errors import Finding
from estimator.job import Choices, Job
from estimator.money import Money, total, zero
from estimator.pricebook import Book, Tax
from estimator.pricebook.tax import TaxCase, Taxed
from estimator.pricing.records import PricedBill
from estimator.sentences import say

EU = frozenset(
    [
        "AT",
        "BE",
        "BG",
        "CY",
        "CZ",
        "DE",
        "DK",
        "EE",
        "ES",
        "FI",
        "FR",
        "GR",
        "HR",
        "HU",
        "IE",
        "IT",
        "LT",
        "LU",
        "LV",
        "MT",
        "NL",
        "PL",
        "PT",
        "RO",
        "SE",
        "SI",
        "SK",
    ]
)
"""Member states; source: the EU's own list, from memory."""
_ORDER: tuple[Taxed, ...] = get_args(Taxed)


@dataclass(frozen=True, slots=True)
class TaxGroup:
    """The amounts of one tax category: the base, the tax on it, and the note that papers carry for it."""

    category: str
    rate: Decimal
    base: Money
    tax: Money
    note: str = ""


@dataclass(frozen=True, slots=True)
class Sale:
    """What decides about tax. ``number_country`` is that of a VAT number of right form, else empty."""

    seller: str
    delivery: str
    number_country: str
    sent: bool
    exemption: str


def sale_of(job: Job, book: Book, choices: Choices) -> Sale:
    """The facts of a sale: goods are sent where freight is part of the quote, to the site or else to the customer."""
    return Sale(
        seller=book.seller.country,
        delivery=job.site.address.country or job.customer.address.country,
        number_country=vat_country(job.customer.tax_number),
        sent=choices.freight,
        exemption=job.customer.tax_exemption,
    )


def vat_country(number: str) -> str:
    """The member state of a VAT number of right form and check digits; empty for any other text.

    Source: the forms and check digits of each member state as python-stdnum has them.

    >>> vat_country("FR 83 404 833 048"), vat_country("DE000"), vat_country("EL 094259216")
    ('FR', '', 'GR')
    """
    compact = "".join(number.split()).upper()
    code = {"EL": "GR"}.get(compact[:2], compact[:2])
    return code if code in EU and vat.is_valid(compact) else ""


def with_reliefs(book: Book, job: Job, choices: Choices) -> Book:
    """The book with those tax rules that hold for this sale; of two rules on one amount the first holds."""
    sale, left = sale_of(job, book, choices), set(book.tax.on)
    relieved = []
    for rule in book.tax.rules:
        on = rule.on & left
        if on and _holds(rule.case, sale):
            left -= on
            relieved.append(replace(rule, on=frozenset(on)))
    return replace(book, tax=replace(book.tax, relieved=tuple(relieved)))


def _holds(case: TaxCase, sale: Sale) -> bool:
    within = sale.seller in EU
    elsewhere = bool(sale.number_country) and sale.number_country != sale.seller
    sent_abroad = within and sale.sent and bool(sale.delivery) and sale.delivery != sale.seller
    return {
        "exempt_customer": bool(sale.exemption),
        "intra_community_supply": elsewhere and sent_abroad and sale.delivery in EU,
        "reverse_charge": within and elsewhere,
        "export": sent_abroad and sale.delivery not in EU,
    }[case]


def tax_findings(job: Job, book: Book, choices: Choices) -> Iterator[Finding]:
    """What is taken for taxes, and why; ``book`` with its reliefs."""
    sale, number = sale_of(job, book, choices), job.customer.tax_number
    cases = {rule.case for rule in book.tax.rules}
    for rule in book.tax.relieved:
        yield Finding("tax_relief", "note", say("{note}; a tax adviser decides", note=rule.note))
    if number and sale.seller in EU and job.customer.address.country in EU and not sale.number_country:
        message = say("tax number {number} does not have the form of a VAT number: the tax is charged", number=number)
        yield Finding("tax_number_form", "warning", message, found=number)
    if sale.exemption and "exempt_customer" not in cases:
        message = say("the customer names an exemption from tax, and the pricebook has no rule for it: tax is charged")
        yield Finding("tax_exemption_not_in_book", "warning", message, found=sale.exemption)
    sent_within = sale.seller in EU and sale.delivery in EU and sale.delivery != sale.seller
    if sent_within and "intra_community_supply" in cases and not _holds("intra_community_supply", sale):
        without = say("no VAT number of another member state is given, or the goods are not sent: tax is charged")
        yield Finding("tax_as_at_home", "note", without)


def tax_groups(bill: PricedBill, book: Book) -> tuple[TaxGroup, ...]:
    """The amounts before tax by category: their bases sum up to the total before tax, their taxes to the tax."""
    tax, totals, currency = book.tax, bill.totals, bill.currency
    amounts: dict[Taxed, Money] = {
        "parts": totals.parts - totals.discount,
        "freight": totals.freight,
        "labour": totals.labour,
        "contingency": totals.contingency,
    }
    groups = [_group(tax.category, tax.rate, tax.taxed, amounts, totals.tax)]
    groups += [_group(rule.category, Decimal(0), rule.on, amounts, zero(currency), rule.note) for rule in tax.relieved]
    rest = frozenset(_ORDER) - tax.on
    groups.append(_group("E", Decimal(0), rest, amounts, zero(currency), untaxed(tax)))
    return tuple(group for group in groups if group.base.amount or group.tax.amount) or tuple(groups[:1])


def untaxed(tax: Tax) -> str:
    """Why amounts that the book does not tax carry none."""
    return say("not subject to {tax}", tax=tax.name or say("tax"))


def _group(
    category: str, rate: Decimal, on: frozenset[Taxed], amounts: dict[Taxed, Money], tax: Money, note: str = ""
) -> TaxGroup:
    base = total((amounts[name] for name in _ORDER if name in on), tax.currency)
    return TaxGroup(category, rate, base, tax, note)
