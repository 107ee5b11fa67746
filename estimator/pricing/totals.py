"""The totals in their order: parts, quote discount, freight, labour, contingency, tax."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.money import Money, share, total, zero
from estimator.pricebook import Book
from estimator.pricing.records import PricedLine, TaxShare, Totals


@dataclass(frozen=True, slots=True)
class Additions:
    """What joins the lines on the way to the total."""

    discount_rate: Decimal
    contingency_rate: Decimal
    freight: Money
    labour: Money
    labour_cost: Money


def add_up(lines: Sequence[PricedLine], additions: Additions, book: Book) -> Totals:
    """Totals of the lines, each amount rounded once, every total a sum of rounded amounts."""
    currency, rounding = book.currency, book.rounding
    parts = total((line.price for line in lines), currency)
    discount = (parts * additions.discount_rate).rounded(rounding)
    base = parts - discount + additions.freight + additions.labour
    contingency = (base * additions.contingency_rate).rounded(rounding)
    before_tax = base + contingency
    tax = _tax(lines, discount, contingency, additions, book)
    cost = total((line.cost for line in lines), currency) + additions.freight + additions.labour_cost
    margin = before_tax - cost
    share_of_price = margin.amount / before_tax.amount if before_tax.amount else Decimal(0)
    return Totals(
        parts=parts,
        discount_rate=additions.discount_rate,
        discount=discount,
        freight=additions.freight,
        labour=additions.labour,
        contingency_rate=additions.contingency_rate,
        contingency=contingency,
        before_tax=before_tax,
        tax_name=book.tax.name,
        tax_rate=book.tax.rate,
        tax_per=book.tax.per,
        tax=tax,
        total=before_tax + tax,
        cost=cost,
        margin=margin,
        margin_rate=share_of_price.quantize(Decimal("0.0001")),
    )


def _tax(lines: Sequence[PricedLine], discount: Money, contingency: Money, additions: Additions, book: Book) -> Money:
    """Tax on what the book taxes: rounded once on the sum, or on each amount and then summed, as the book says."""
    shares = tax_shares(lines, discount, contingency, additions, book)
    if book.tax.per == "line":
        return total((Money(each.tax, book.currency) for each in shares), book.currency)
    return Money(sum((each.tax for each in shares), Decimal(0)), book.currency).rounded(book.rounding)


def tax_shares(
    lines: Sequence[PricedLine], discount: Money, contingency: Money, additions: Additions, book: Book
) -> tuple[TaxShare, ...]:
    """Every amount that is taxed, lines less their share of the quote discount, with its tax."""
    taxed: list[tuple[str, Money]] = []
    if "parts" in book.tax.taxed:
        taxed += _discounted(lines, discount)
    others = {"freight": additions.freight, "labour": additions.labour, "contingency": contingency}
    taxed += [(name, amount) for name, amount in others.items() if name in book.tax.taxed]
    return tuple(_tax_share(name, amount, book) for name, amount in taxed)


def _tax_share(name: str, amount: Money, book: Book) -> TaxShare:
    tax = amount * book.tax.rate
    return TaxShare(name, amount, (tax.rounded(book.rounding) if book.tax.per == "line" else tax).amount)


def _discounted(lines: Sequence[PricedLine], discount: Money) -> list[tuple[str, Money]]:
    if not discount.amount:
        return [(line.line.part, line.price) for line in lines]
    shares = share(discount, [line.price.amount for line in lines])
    return [(line.line.part, line.price - part) for line, part in zip(lines, shares, strict=True)]


def nothing(currency: str) -> Additions:
    """No additions at all."""
    return Additions(Decimal(0), Decimal(0), zero(currency), zero(currency), zero(currency))
