"""A quote as a UBL 2.1 Quotation (ISO/IEC 19845), with the customer's prices only.

A Quotation has one total, one tax and one way to be ordered, and the alternatives that the standard knows are of single
lines (AlternativeLineItem). Options of a quote differ in nearly every line and in their totals; so each is a Quotation
of its own, which names the others (AdditionalDocumentReference).
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from estimator.comparison.records import Offer
from estimator.documents.header import QuoteHeader
from estimator.documents.language.texts import Reader, reader_for
from estimator.documents.xml import ubl
from estimator.errors import Refused
from estimator.estimate import Estimate
from estimator.job import Address
from estimator.money import Money, total
from estimator.pricing import PricedLine
from estimator.pricing.taxation import EU, tax_groups
from estimator.sentences import say


def write_ubl_quotation(offer: Offer, header: QuoteHeader) -> bytes:
    """The estimate of an offer as an electronic quotation, in the language of its head.

    It is that of the option which the head names. Sums and codes are checked before anything is written.
    """
    estimate = offer.estimate
    _check(estimate)
    totals, currency = estimate.bill.totals, estimate.bill.currency
    job = estimate.job
    reader = reader_for(header.language, job.customer.address.country, job.display_units, estimate.book.texts)
    document = ubl.root("Quotation")
    ubl.basic(document, "ID", header.code)
    ubl.basic(document, "IssueDate", header.dated.isoformat())
    ubl.basic(document, "Note", job.title)
    if header.option:
        named = reader.texts.t("Option {letter}", letter=header.option), _title(offer, header)
        ubl.basic(document, "Note", ": ".join(part for part in named if part))
    ubl.basic(document, "PricingCurrencyCode", currency)
    ubl.basic(document, "LineCountNumeric", len(estimate.bill.lines))
    validity = ubl.aggregate(document, "ValidityPeriod")
    ubl.basic(validity, "EndDate", header.valid_until.isoformat())
    _others(document, offer, header, reader)
    _parties(document, estimate)
    _charges(document, estimate, reader)
    _taxes(document, estimate, reader)
    sums = ubl.aggregate(document, "QuotedMonetaryTotal")
    ubl.amount(sums, "LineExtensionAmount", totals.parts)
    ubl.amount(sums, "TaxExclusiveAmount", totals.before_tax)
    ubl.amount(sums, "TaxInclusiveAmount", totals.total)
    ubl.amount(sums, "AllowanceTotalAmount", totals.discount)
    ubl.amount(sums, "ChargeTotalAmount", totals.freight + totals.labour + totals.contingency)
    ubl.amount(sums, "PayableAmount", totals.total)
    for number, line in enumerate(estimate.bill.lines, start=1):
        _line(document, number, line, currency, reader.say(line.line.description))
    return ubl.to_bytes(document)


def _title(offer: Offer, header: QuoteHeader) -> str:
    return next((way.title for way in offer.options if way.letter == header.option), "")


def _others(document: ubl.Element, offer: Offer, header: QuoteHeader, reader: Reader) -> None:
    """The quotations of the other options, by their numbers."""
    for letter in offer.letters if header.option else ():
        if letter != header.option:
            other = ubl.aggregate(document, "AdditionalDocumentReference")
            ubl.basic(other, "ID", replace(header, option=letter).code)
            ubl.basic(other, "DocumentType", reader.texts.t("Option {letter}", letter=letter))


def _parties(document: ubl.Element, estimate: Estimate) -> None:
    seller, customer = estimate.seller, estimate.job.customer
    scheme, house = scheme_of(estimate), Address(seller.address_lines, seller.postcode, seller.city, "", seller.country)
    ours = ubl.UblParty(seller.name, house, seller.email, seller.tax_number, scheme)
    ubl.party(ubl.aggregate(document, "SellerSupplierParty"), ours)
    theirs = ubl.UblParty(customer.name, customer.address, customer.email, customer.tax_number, scheme)
    ubl.party(ubl.aggregate(document, "BuyerCustomerParty"), theirs)


def _taxes(document: ubl.Element, estimate: Estimate, reader: Reader) -> None:
    """The tax, and below it each category with its base.

    Source: EN 16931-1, business terms BT-110 and BG-23, and its rules BR-CO-13, -14, -17, by analogy: they are for
    invoices.
    """
    total_tax = ubl.aggregate(document, "TaxTotal")
    ubl.amount(total_tax, "TaxAmount", estimate.bill.totals.tax)
    for group in tax_groups(estimate.bill, estimate.book):
        below = ubl.aggregate(total_tax, "TaxSubtotal")
        ubl.amount(below, "TaxableAmount", group.base)
        ubl.amount(below, "TaxAmount", group.tax)
        ubl.tax_category(
            below, "TaxCategory", (group.category, group.rate), scheme_of(estimate), reader.say(group.note)
        )


def scheme_of(estimate: Estimate) -> str:
    """What the tax is called among schemes: VAT in the European Union, else the book's own name."""
    return "VAT" if estimate.seller.country in EU else estimate.bill.totals.tax_name


def _charges(document: ubl.Element, estimate: Estimate, reader: Reader) -> None:
    """Discount as an allowance; freight, labour and contingency as charges."""
    totals, t = estimate.bill.totals, reader.texts.t
    if totals.discount.amount:
        _charge(document, "false", t("Quote discount"), totals.discount)
    charges = ((t("Freight"), totals.freight), (t("Labour"), totals.labour), (t("Contingency"), totals.contingency))
    for reason, money in charges:
        if money.amount:
            _charge(document, "true", reason, money)


def _charge(document: ubl.Element, is_charge: str, reason: str, money: Money) -> None:
    element = ubl.aggregate(document, "AllowanceCharge")
    ubl.basic(element, "ChargeIndicator", is_charge)
    ubl.basic(element, "AllowanceChargeReason", reason)
    ubl.amount(element, "Amount", money)


def _line(document: ubl.Element, number: int, priced: PricedLine, currency: str, description: str) -> None:
    line = priced.line
    wrapper = ubl.aggregate(document, "QuotationLine")
    ubl.basic(wrapper, "ID", number)
    item = ubl.aggregate(wrapper, "LineItem")
    ubl.basic(item, "ID", number)
    ubl.quantity(item, "Quantity", line.ordered, line.unit)
    ubl.amount(item, "LineExtensionAmount", priced.price)
    price = ubl.aggregate(item, "Price")
    ubl.price_amount(price, "PriceAmount", _net_unit_price(priced), currency)
    ubl.quantity(price, "BaseQuantity", 1, line.unit)
    goods = ubl.aggregate(item, "Item")
    ubl.basic(goods, "Description", description)
    ubl.basic(goods, "Name", description[:100] or line.part)
    ubl.basic(ubl.aggregate(goods, "SellersItemIdentification"), "ID", line.part)


def _net_unit_price(priced: PricedLine) -> Decimal:
    return priced.unit_price * (1 - priced.discount)


def _check(estimate: Estimate) -> None:
    """The schema checks neither sums nor codes; this does."""
    bill = estimate.bill
    totals = bill.totals
    if total((line.price for line in bill.lines), bill.currency) != totals.parts:
        raise Refused(say("the quote's lines do not add up to its parts total"))
    charges = totals.freight + totals.labour + totals.contingency
    if totals.parts - totals.discount + charges + totals.tax != totals.total:
        raise Refused(say("the quote's parts, charges and tax do not add up to its total"))
    ubl.check_codes(
        [(f"line {at}", line.line.unit) for at, line in enumerate(bill.lines, start=1)],
        [("seller", estimate.seller.country), ("customer", estimate.job.customer.address.country)],
        bill.currency,
    )
