"""The quote as a UBL 2.1 Quotation: valid by the OASIS schema, sums that add up, the customer's prices only."""

from dataclasses import replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache

import pytest
from lxml import etree

from estimator.comparison.records import Comparison, Offer
from estimator.documents.header import QuoteHeader
from estimator.documents.quotation.ubl import write_ubl_quotation
from estimator.errors import Refused
from estimator.estimate import estimate
from estimator.job import Address, Choices, Customer, OptionChoice
from estimator.money import Money
from tests.builders import a_book, a_job
from tests.documents.offers import PAYLOADS
from tests.documents.xml.ubl_schemas import no_currency, set_text, ubl_schema, without
from tests.searches import offer

NAMES = {
    "cac": "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2",
    "cbc": "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2",
}
DAY = date(2026, 11, 25)
HEAD = QuoteHeader("Q-7", 2, "issued", DAY, date(2026, 12, 25))
PLACE = Address(("Rua Nova 3",), "1000", "Lisboa", "", "PT")
CUSTOMER = Customer("Test customer", "Ana Gómez", "ana@example.com", PLACE, "trade")
CHOICES = Choices(discount=Decimal("0.03"), contingency=Decimal("0.025"), line_discounts=(("CC-1", Decimal("0.10")),))
SCHEMA = ubl_schema("Quotation")


@lru_cache(maxsize=1)
def _estimate():
    """Every step of the totals is there: line and quote discounts, freight, labour, contingency, tax."""
    return estimate(a_job(customer=CUSTOMER), a_book(), CHOICES, DAY)


def _of(made):
    nothing = Comparison(None, None, (), None, None, None, None)
    return write_ubl_quotation(Offer(made, nothing), HEAD)


@lru_cache(maxsize=1)
def _written():
    return _of(_estimate())


def _document():
    return etree.fromstring(_written())


def _amount(element, path):
    return Decimal(element.findtext(path, default="0.00", namespaces=NAMES))


def test_the_quotation_is_valid_and_the_same_every_time():
    SCHEMA.assertValid(_document())
    assert _written() == _of(_estimate())
    assert _document().findtext("cbc:ID", namespaces=NAMES) == "Q-7-2"
    assert _document().findtext("cac:ValidityPeriod/cbc:EndDate", namespaces=NAMES) == "2026-12-25"


def test_the_sums_add_up_line_by_line_to_what_is_to_be_paid():
    """The schema checks no sum. Source: UBL 2.1, MonetaryTotal (lines - allowances + charges, then tax)."""
    document, totals = _document(), _estimate().bill.totals
    sums = document.find("cac:QuotedMonetaryTotal", NAMES)
    lines = [_amount(item, "cbc:LineExtensionAmount") for item in document.iterfind(".//cac:LineItem", NAMES)]
    assert sum(lines) == _amount(sums, "cbc:LineExtensionAmount") == totals.parts.amount
    charges = {"true": Decimal(0), "false": Decimal(0)}
    for each in document.iterfind("cac:AllowanceCharge", NAMES):
        charges[each.findtext("cbc:ChargeIndicator", namespaces=NAMES)] += _amount(each, "cbc:Amount")
    assert charges["false"] == _amount(sums, "cbc:AllowanceTotalAmount") > 0
    assert charges["true"] == _amount(sums, "cbc:ChargeTotalAmount") > 0
    before_tax = sum(lines) - charges["false"] + charges["true"]
    assert before_tax == _amount(sums, "cbc:TaxExclusiveAmount")
    whole = before_tax + _amount(document, "cac:TaxTotal/cbc:TaxAmount")
    assert whole == _amount(sums, "cbc:TaxInclusiveAmount") == _amount(sums, "cbc:PayableAmount")
    assert whole == totals.total.amount


def test_each_line_is_its_quantity_at_its_net_price():
    items = _document().findall(".//cac:LineItem", NAMES)
    assert len(items) == len(_estimate().bill.lines)
    for item, priced in zip(items, _estimate().bill.lines, strict=True):
        quantity, price = _amount(item, "cbc:Quantity"), _amount(item, "cac:Price/cbc:PriceAmount")
        cents = (quantity * price).quantize(Decimal("0.01"), ROUND_HALF_UP)
        assert cents == _amount(item, "cbc:LineExtensionAmount") == priced.price.amount
        assert item.find("cbc:Quantity", NAMES).get("unitCode") == priced.line.unit


def test_neither_cost_nor_margin_nor_supplier_is_in_it():
    dear = a_book(parts={name: replace(part, supplier_part=f"HIDDEN-{name}") for name, part in a_book().parts.items()})
    text = _of(estimate(a_job(customer=CUSTOMER), dear, CHOICES, DAY)).decode()
    assert "HIDDEN" not in text
    totals, shown = _estimate().bill.totals, {each.text for each in _document().iter() if each.text}
    assert not {f"{totals.cost.amount:f}", f"{totals.margin.amount:f}", f"{totals.margin_rate:f}"} & shown
    assert "S-1" not in shown


@pytest.mark.parametrize("payload", PAYLOADS)
def test_texts_stay_texts(payload):
    customer = replace(CUSTOMER, name=payload, address=replace(CUSTOMER.address, lines=(payload,) * 4, city=payload))
    quoted = estimate(a_job(customer=customer, title=payload), a_book(), CHOICES, DAY)
    document = etree.fromstring(_of(quoted))
    SCHEMA.assertValid(document)
    found = document.findtext("cbc:Note", namespaces=NAMES)
    assert found == "".join(ch if ch.isprintable() or ch in "\n\t\u202e" else " " for ch in payload).strip()
    assert len(document.findall(".//{*}script")) == 0


def _no_line(document):
    for line in document.findall("cac:QuotationLine", NAMES):
        document.remove(line)


@pytest.mark.parametrize(
    "mutate",
    [
        without("QuotedMonetaryTotal"),
        without("IssueDate"),
        without("SellerSupplierParty"),
        _no_line,
        set_text("Quantity", "hundred"),
        set_text("EndDate", "25/12/2026"),
        set_text("ChargeIndicator", "perhaps"),
        no_currency("PayableAmount"),
        no_currency("PriceAmount"),
    ],
)
def test_the_schema_is_a_check_that_can_fail(mutate):
    document = _document()
    mutate(document)
    assert not SCHEMA.validate(document)


def _with(**changes):
    whole = _estimate()
    return replace(whole, bill=replace(whole.bill, **changes))


def test_what_the_schema_lets_pass_is_checked_before_writing():
    """Sums, unit codes, countries and currencies are outside what the schema knows."""
    bill = _estimate().bill
    wrong_unit = replace(bill.lines[0], line=replace(bill.lines[0].line, unit="EACH-ONE"))
    nowhere = replace(CUSTOMER, address=replace(CUSTOMER.address, country="XX"))
    for wrong in (
        _with(lines=bill.lines[1:]),
        _with(lines=(wrong_unit, *bill.lines[1:])),
        _with(totals=replace(bill.totals, total=Money(Decimal("1.00"), "EUR"))),
        _with(totals=replace(bill.totals, tax=Money(Decimal("0.01"), "EUR"))),
        _with(currency="EURO"),
        replace(_estimate(), job=a_job(customer=nowhere)),
    ):
        with pytest.raises(Refused):
            _of(wrong)


def test_taxes_stand_by_category_and_add_up():
    """Source: EN 16931-1, BR-CO-13 and -14, BR-S-08 and -09, by analogy: bases, taxes and rates agree."""
    document = _document()
    subtotals = document.findall("cac:TaxTotal/cac:TaxSubtotal", NAMES)
    bases = [_amount(each, "cbc:TaxableAmount") for each in subtotals]
    assert sum(bases) == _amount(document, "cac:QuotedMonetaryTotal/cbc:TaxExclusiveAmount")
    taxes = [_amount(each, "cbc:TaxAmount") for each in subtotals]
    assert sum(taxes) == _amount(document, "cac:TaxTotal/cbc:TaxAmount")
    for base, tax, each in zip(bases, taxes, subtotals, strict=True):
        rate = Decimal(each.findtext("cac:TaxCategory/cbc:Percent", namespaces=NAMES)) / 100
        assert tax == (base * rate).quantize(Decimal("0.01"), ROUND_HALF_UP)
        assert each.findtext("cac:TaxCategory/cac:TaxScheme/cbc:ID", namespaces=NAMES)


def test_the_parties_carry_their_tax_numbers_and_addresses_in_parts():
    customer = replace(CUSTOMER, tax_number="PT501964843")
    made = estimate(a_job(customer=customer), a_book(), CHOICES, DAY)
    document = etree.fromstring(_of(made))
    SCHEMA.assertValid(document)
    buyer = document.find("cac:BuyerCustomerParty/cac:Party", NAMES)
    assert buyer.findtext("cac:PartyTaxScheme/cbc:CompanyID", namespaces=NAMES) == "PT501964843"
    assert buyer.findtext("cac:PostalAddress/cbc:CityName", namespaces=NAMES) == "Lisboa"
    assert buyer.findtext("cac:PostalAddress/cbc:PostalZone", namespaces=NAMES) == "1000"


def test_each_option_is_a_quotation_of_its_own_that_names_the_others():
    """One total a document: alternatives of UBL are of single lines. Source: UBL 2.1, Quotation and QuotationLine."""
    made = offer(
        a_job(customer=CUSTOMER), a_book(), Choices(options=(OptionChoice("In steel", material="steel"),)), DAY
    )
    heads = {letter: replace(HEAD, option=letter) for letter in made.letters}
    written = {
        letter: etree.fromstring(write_ubl_quotation(replace(made, estimate=made.taken(letter)), head))
        for letter, head in heads.items()
    }
    for document in written.values():
        SCHEMA.assertValid(document)
    assert [each.findtext("cbc:ID", namespaces=NAMES) for each in written.values()] == ["Q-7-2-A", "Q-7-2-B"]
    named = [each.findtext("cac:AdditionalDocumentReference/cbc:ID", namespaces=NAMES) for each in written.values()]
    assert named == ["Q-7-2-B", "Q-7-2-A"]
    payable = [_amount(each, "cac:QuotedMonetaryTotal/cbc:PayableAmount") for each in written.values()]
    assert payable == [way.estimate.bill.totals.total.amount for way in made.ways]
    assert "In steel" in written["B"].findall("cbc:Note", NAMES)[1].text
