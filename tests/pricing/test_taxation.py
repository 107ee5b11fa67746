"""Which tax rules hold for a sale, by cases a tax office would put (sources beside them), and sums by category.

Sources: 2006/112/EC, Art. 138 (goods sent to a firm with a number of another member state are exempt), 146 (export),
196 (reverse charge on services), all from memory; EN 16931-1, BR-CO-13 and -14 (bases sum up to the total before tax,
taxes to the tax), by analogy. VAT numbers: examples of python-stdnum's own documentation, of right check digits.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.buying import BuyLine, lead_time_findings
from estimator.estimate import estimate
from estimator.job import Address, Choices, Customer, Site
from estimator.money import Money, total
from estimator.pricebook import Seller, TaxRule
from estimator.pricing.taxation import tax_groups, vat_country, with_reliefs
from tests.builders import a_book, a_job

DAY = date(2026, 11, 25)
GOODS = frozenset({"parts", "freight", "contingency"})
RULES = (
    TaxRule("exempt_customer", GOODS | {"labour"}, "E", "Exempt by certificate."),
    TaxRule("intra_community_supply", GOODS, "K", "Exempt intra-Community supply, Art. 138 of 2006/112/EC."),
    TaxRule("export", GOODS, "G", "Export, Art. 146 of 2006/112/EC."),
    TaxRule("reverse_charge", frozenset({"labour"}), "AE", "Reverse charge, Art. 196 of 2006/112/EC."),
)
FRENCH, GERMAN, AUSTRIAN = "FR 83 404 833 048", "DE 136,695 976".replace(",", ""), "ATU13585627"


def the_book():
    book = a_book()
    seller = replace(book.seller, country="DE") if book.seller else Seller("House", country="DE")
    on = GOODS | {"labour"}
    return replace(book, seller=seller, tax=replace(book.tax, rate=Decimal("0.19"), on=on, rules=RULES))


def sold(number="", customer="FR", site="FR", exemption="", **choices):
    job = a_job(
        customer=Customer("Buyer", address=Address(country=customer), tax_number=number, tax_exemption=exemption),
        site=replace(a_job().site, address=Address(country=site)),
    )
    return job, with_reliefs(the_book(), job, Choices(**choices))


@pytest.mark.parametrize(
    ("case", "asked"),
    [
        (["K", "AE"], {"number": FRENCH}),
        ([], {}),  # no number: the seller's tax
        ([], {"number": "FR 83 404 833 049"}),  # wrong check digits
        (["AE"], {"number": FRENCH, "freight": False}),  # not sent: the goods are taxed at home
        (["AE"], {"number": FRENCH, "site": "DE"}),  # sent within the seller's country
        ([], {"number": GERMAN, "customer": "DE", "site": "DE"}),
        ([], {"number": GERMAN, "customer": "DE", "site": "FR"}),  # a number of the seller's own country
        (["K", "AE"], {"number": AUSTRIAN, "customer": "AT", "site": "FR"}),
        (["G"], {"customer": "CH", "site": "CH"}),
        (["E"], {"exemption": "certificate 7", "customer": "DE", "site": "DE"}),
    ],
)
def test_the_rules_that_hold(case, asked):
    assert [rule.category for rule in sold(**asked)[1].tax.relieved] == case


def test_a_relief_leaves_the_seller_no_tax_on_it_and_the_sums_hold():
    job, _ = sold(FRENCH)
    made = estimate(job, the_book(), Choices(contingency=Decimal("0.02")), DAY)
    groups = {group.category: group for group in tax_groups(made.bill, made.book)}
    totals = made.bill.totals
    assert set(groups) <= {"K", "AE"}
    assert totals.tax == Money(Decimal("0.00"), totals.total.currency)
    assert total((group.base for group in groups.values()), totals.total.currency) == totals.before_tax
    assert "tax_relief" in {check.code for check in made.checks}


def test_labour_stays_taxed_where_the_book_calls_it_no_service():
    """By hand: 19 % of labour alone."""
    book = replace(the_book(), tax=replace(the_book().tax, rules=RULES[:3]))
    made = estimate(sold(FRENCH)[0], book, Choices(), DAY)
    groups = {group.category: group for group in tax_groups(made.bill, made.book)}
    assert groups["S"].base == made.bill.totals.labour
    assert made.bill.totals.tax == (made.bill.totals.labour * Decimal("0.19")).rounded(book.rounding)
    assert total((group.tax for group in groups.values()), made.bill.currency) == made.bill.totals.tax


@pytest.mark.parametrize(
    ("code", "asked"),
    [
        ("tax_number_form", {"number": "FR123"}),
        ("tax_as_at_home", {}),
        ("tax_exemption_not_in_book", {"exemption": "x"}),
    ],
)
def test_what_is_charged_against_expectation_is_said(code, asked):
    rules = RULES[1:] if code == "tax_exemption_not_in_book" else RULES
    book = replace(the_book(), tax=replace(the_book().tax, rules=rules))
    made = estimate(sold(**asked)[0], book, Choices(), DAY)
    assert code in {check.code for check in made.checks}


@pytest.mark.parametrize(("number", "country"), [(FRENCH, "FR"), ("EL 094259216", "GR"), ("FR123", ""), ("", "")])
def test_a_vat_number_tells_its_member_state(number, country):
    assert vat_country(number) == country


LINE = next(iter(estimate(a_job(), a_book(), Choices(), DAY).bill.lines)).line


@pytest.mark.parametrize(
    ("needed_on", "found"),
    [
        ("", []),
        ("2026-12-07", ["lead_time_too_long"]),  # 12 days are left, 20 are needed
        ("2026-12-15", []),  # 20 days are left
        ("2026-11-24", ["needed_in_the_past"]),
        ("2026-11-25", ["lead_time_too_long"]),
    ],
)
def test_lead_times_are_compared_in_calendar_days(needed_on, found):
    """By hand, from the day of pricing, 2026-11-25."""
    book = a_book()
    parts = {**book.parts, LINE.part: replace(book.parts[LINE.part], lead_time_days=20)}
    findings = list(lead_time_findings([LINE], needed_on, replace(book, parts=parts), DAY))
    assert [each.code for each in findings] == found
    assert [each.severity for each in findings if each.code == "needed_in_the_past"] in ([], ["error"])
    assert isinstance(LINE, BuyLine)
    assert Site().needed_on == ""
