"""What a quote says besides prices of parts: by hand from a small job, on paper in four languages."""

from dataclasses import replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

import pytest

from estimator.documents.header import QuoteHeader
from estimator.documents.quote.pdf import write_quote
from estimator.documents.quoting.content import quote_content
from estimator.documents.setting_out.pdf import write_setting_out
from estimator.job import Alternate, Choices, OptionChoice
from estimator.pricebook import QuoteTerms
from tests.builders import a_book, a_job
from tests.documents.pdf_reading import text as text_of_pdf
from tests.searches import offer

DAY = date(2026, 11, 25)
HEADER = QuoteHeader("Q-7", 1, "issued", DAY, date(2026, 12, 25), "A. Miller")
TERMS = QuoteTerms("half with the order", ("brackets", "rails"), ("modules",), per_watt=True, per_module=True)


def made(**choices):
    job = replace(a_job(), notes="Keys at the gatehouse")
    return offer(job, replace(a_book(), quote_terms=TERMS), Choices(**choices), DAY)


def test_prices_for_comparison_are_the_total_before_tax_divided():
    """By hand: the total before tax over watts and over modules, rounded half up."""
    it = made()
    before, counts = it.estimate.bill.totals.before_tax.amount, it.estimate.counts.counts
    rows = [row.text for row in quote_content(it, HEADER).totals if row.text]
    watt = (before / Decimal(repr(counts.power))).quantize(Decimal("0.0001"), ROUND_HALF_UP)
    module = (before / counts.modules).quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert rows == [f"{watt} EUR/W", f"{module} EUR"]


def test_without_the_books_wish_no_price_for_comparison_stands_there():
    it = offer(a_job(), a_book(), Choices(), DAY)
    assert [row.text for row in quote_content(it, HEADER).totals if row.text] == []


def test_supply_payment_and_person_stand_on_the_quote_and_the_notes_where_they_are_read():
    it = made(notes="Delivery to the rear gate", prepared_by="A. Miller")
    quote, crew = text_of_pdf(write_quote(it, HEADER)), text_of_pdf(write_setting_out(it, HEADER))
    for told in ("half with the order", "Supplied: brackets, rails. Not supplied: modules.", "A. Miller", "rear gate"):
        assert told in quote, told
    assert "gatehouse" not in quote
    assert "gatehouse" in crew
    assert "rear gate" not in crew


def test_the_lead_time_is_the_longest_of_what_is_ordered():
    """By hand: one part of the bill takes 14 days, the others none; a part that is not ordered takes 90."""
    ordered = made().estimate.bill.lines[0].line.part
    book = a_book()
    days = {name: 14 if name == ordered else 0 for name in book.parts} | {"X": 90}
    parts = {name: replace(part, lead_time_days=days[name]) for name, part in book.parts.items()}
    parts["X"] = replace(parts[ordered], part="X", role="unused", lead_time_days=90)
    it = offer(a_job(), replace(book, parts=parts), Choices(), DAY)
    assert {fact.label: fact.value for fact in quote_content(it, HEADER).facts}["Lead time"] == "14 days from the order"


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("en", ("Option B", "Accepted option")),
        ("de", ("Variante B", "Angenommene Variante")),
        ("es", ("Opción B", "Opción aceptada")),
        ("fr", ("Variante B", "Variante acceptée")),
    ],
)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_options_stand_side_by_side_and_the_acceptance_has_a_box_for_each(language, units, words):
    choices = Choices(options=(OptionChoice("", material="steel"),))
    it = offer(
        a_job(display_units=units, mounting=replace(a_job().mounting, material="aluminium")), a_book(), choices, DAY
    )
    told = text_of_pdf(write_quote(it, replace(HEADER, language=language)))
    for word in (*words, "\N{BALLOT BOX} A", "\N{BALLOT BOX} B"):
        assert word in told, word
    totals = [option.estimate.bill.totals.total.amount for option in it.options]
    assert len({*totals, it.estimate.bill.totals.total.amount}) == 2


def test_an_alternate_beside_the_total_is_told_with_what_it_is_for():
    spare = next(part for part in a_book().parts.values() if part.material == "steel" and part.role == "mid_clamp")
    job = a_job(mounting=replace(a_job().mounting, material="aluminium"))
    it = offer(job, a_book(), Choices(alternates=(Alternate(spare.part, 10, note="for later rows"),)), DAY)
    (line,) = quote_content(it, HEADER).alternates
    assert (line.part, line.quantity) == (spare.part, 10)
    assert line.description.endswith("for later rows")
    assert "for later rows" in text_of_pdf(write_quote(it, HEADER))


def test_what_exempts_from_tax_stands_with_the_customer():
    """The rule's note speaks of the certificate named: so it is named."""
    customer = replace(a_job().customer, tax_exemption="certificate 12-3456")
    it = offer(a_job(customer=customer), a_book(), Choices(), DAY)
    assert "certificate 12-3456" in quote_content(it, HEADER).customer.lines
