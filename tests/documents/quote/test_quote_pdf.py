"""The customer's quote on paper: every line and total, no cost, whatever the texts hold."""

import re
import subprocess
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.documents.calculation.pdf import write_calculation
from estimator.documents.language.formats import Formats
from estimator.documents.plan.dxf import write_plan_dxf
from estimator.documents.plan.svg import write_plan_svg
from estimator.documents.quote.pdf import write_quote
from estimator.documents.setting_out.pdf import write_setting_out
from estimator.errors import Finding
from estimator.job import Address, CheckOverride, Choices, Mounting, Site
from estimator.money import Money
from estimator.places import Place
from estimator.sentences import joined, say
from tests.builders import a_job, a_roof, an_array
from tests.documents.offers import CUSTOMER, DATED, NAMES, a_header, an_offer, house_book, with_estimate, with_lines
from tests.documents.pdf_reading import pages, pages_fast, reader, text
from tests.references import require
from tests.searches import offer

POINTS = {"A4": (595, 842), "letter": (612, 792)}


@pytest.mark.parametrize("name", ["plain", "long", "along", "direct"])
def test_every_line_and_every_total_stands_on_the_quote(name):
    offer = an_offer(name)
    found, formats, bill = text(write_quote(offer, a_header())), Formats("en_150"), offer.estimate.bill
    for line in bill.lines:
        assert line.line.part in found
        assert line.line.description in found
        assert f"{line.line.ordered:,} pcs" in found
        assert f"{line.price.amount:,.2f}" in found
    totals = bill.totals
    for money in (totals.parts, totals.discount, totals.freight, totals.labour, totals.contingency, totals.before_tax,
                  totals.tax, totals.total):  # fmt: skip
        assert formats.amount(money).replace("\u00a0", " ") in found or f"{money.amount:,.2f}" in found


def internal_figures_marked(offer):
    """The offer with everything internal set to figures that stand nowhere else."""
    bill, labour = offer.estimate.bill, offer.estimate.labour
    marked = Money(Decimal("87654.32"), bill.currency)
    lines = tuple(replace(line, unit_cost=Decimal("76543.21"), cost=marked, price_rule="secret") for line in bill.lines)
    totals = replace(bill.totals, cost=marked, margin=marked, margin_rate=Decimal("0.6543"))
    hours = tuple(replace(line, cost=marked, rate=Decimal("65432.10")) for line in labour.lines)
    return with_estimate(
        offer,
        bill=replace(bill, lines=lines, totals=totals, pricing_rate=Decimal("0.5432")),
        labour=replace(labour, lines=hours, cost=marked),
    )


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("write", [write_quote, write_setting_out, write_plan_svg, write_plan_dxf])
def test_neither_cost_nor_margin_ever_reaches_the_customer(name, write):
    plain, marked = (write(offer, a_header()) for offer in (an_offer(name), internal_figures_marked(an_offer(name))))
    assert plain == marked


def test_a_small_job_fits_one_page_with_its_plan_on_the_next():
    spans = Mounting("rail_on_side", material="aluminium", max_span_mm=1200.0, max_cantilever_mm=400.0)
    answered = replace(spans, spans_given_by="Kim Berg, P.E.")
    somewhere = Site(freight_zone="near", address=Address(country="PT"))
    made = offer(a_job(customer=CUSTOMER, site=somewhere, mounting=answered), house_book(), Choices(), DATED)
    assert len(reader(write_quote(made, a_header(paper="A4"))).pages) == 2


def test_a_hundred_pages_carry_head_and_page_number_each(tmp_path):
    found = pages_fast(write_quote(with_lines(an_offer("plain"), 5000), a_header()), tmp_path)
    assert len(found) > 90
    for number, page in enumerate(found, start=1):
        assert f"Page {number} of {len(found)}" in page
    table = [page for page in found if "B-AL/" in page]
    assert len(table) > 20
    assert all("Unit price" in page for page in table)
    assert {f"/{number:05d}" for number in range(5000)} <= set(re.findall(r"/\d{5}\b", " ".join(found)))


def test_a_text_taller_than_a_page_is_split_not_refused():
    offer = an_offer("plain")
    bill = offer.estimate.bill
    tall = replace(bill.lines[0], line=replace(bill.lines[0].line, description="a very long description " * 800))
    pdf = write_quote(with_estimate(offer, bill=replace(bill, lines=(tall, *bill.lines[1:]))), a_header())
    assert text(pdf).count("very long") == 800


@pytest.mark.parametrize(("name", "paper"), [("plain", "A4"), ("us", "letter")])
def test_the_paper_is_that_of_the_customers_country(name, paper):
    box = reader(write_quote(an_offer(name), a_header())).pages[0].mediabox
    assert (round(box.width), round(box.height)) == POINTS[paper]


def test_the_paper_asked_for_wins():
    box = reader(write_quote(an_offer("us"), a_header(paper="A4"))).pages[0].mediabox
    assert (round(box.width), round(box.height)) == POINTS["A4"]


def test_the_same_offer_gives_the_same_bytes_and_the_date_of_its_head():
    first, second = (write_quote(an_offer("long"), a_header()) for _ in range(2))
    assert first == second
    assert reader(first).metadata.creation_date.date() == date(2026, 6, 1)
    assert write_quote(an_offer("long"), a_header(dated=date(2026, 6, 2))) != first


def test_title_author_and_language_are_set():
    found = reader(write_quote(an_offer("plain"), a_header(language="de")))
    assert found.metadata.title.startswith("Angebot Q-7, Fassung 2")
    assert found.metadata.author == "Fixture House"
    assert str(found.trailer["/Root"]["/Lang"]).startswith("de")


def test_a_draft_says_so_on_every_page_and_an_issued_quote_does_not():
    assert all("Draft: not an offer yet" in page for page in pages(write_quote(an_offer(), a_header(state="draft"))))
    assert "Draft" not in text(write_quote(an_offer(), a_header(state="issued")))


def test_invented_prices_are_called_invented_on_every_page():
    assert all("invented" in page for page in pages(write_quote(an_offer(), a_header())))
    honest = with_estimate(an_offer(), book=replace(an_offer().estimate.book, invented=False))
    assert "invented" not in text(write_quote(honest, a_header()))


def test_validity_terms_cautions_signatures_and_provenance_are_there():
    offer = an_offer()
    found, stands = text(write_quote(offer, a_header())), offer.estimate.provenance
    for wanted in ("This quote holds until", "Payment within 30 days.", "Offered by Fixture House",
                   "Accepted for Test customer", *offer.estimate.cautions,
                   f"{stands.pricebook} {stands.edition} ({stands.sha256[:8]})"):  # fmt: skip
        assert wanted in found, wanted


def test_aluminium_and_steel_stand_side_by_side_with_their_totals():
    offer = an_offer()
    found = text(write_quote(offer, a_header()))
    for side in (offer.comparison.aluminium, offer.comparison.steel):
        assert f"{side.total.amount:,.2f}" in found
    assert "(as quoted)" in found


def test_a_check_that_does_not_hold_is_printed_with_the_reason_it_may_stand():
    failed = Finding("keep_clear", "error", "Array A reaches 80 mm into the strip at the ridge", Place(roof="South"))
    word = CheckOverride("keep_clear", Place(roof="South"), "agreed with the fire officer", "M. Ruiz")
    offer = with_estimate(an_offer(), checks=(failed,), overridden=(word,))
    found = text(write_quote(offer, a_header()))
    assert "Failed; overridden" in found
    assert "80 mm into the strip" in found
    assert "agreed with the fire officer (M. Ruiz)" in found
    assert "Failed" in text(write_quote(with_estimate(offer, overridden=()), a_header()))


def test_checks_of_a_kind_stand_in_one_row_and_an_engineers_doubts_on_his_sheet():
    near = [
        Finding("expansion_splice_near_attachment", "warning", f"row {n}: too near", Place(told=f"row {n}"))
        for n in range(1, 10)
    ]
    doubts = [
        Finding("coefficient_unconfirmed", "warning", f"table {n} is found once", Place(roof="South")) for n in range(3)
    ]
    offer = with_estimate(an_offer(), checks=(*near, *doubts))
    found = text(write_quote(offer, a_header()))
    assert "row 1: too near; and at 8 more places, see the calculation sheet" in found
    assert "row 2: too near" not in found
    assert "is found once" not in found
    assert "3 figures are to be compared with the printed standard by the engineer" in found
    sheet = text(write_calculation(offer, a_header()))
    assert all(each.message in sheet for each in (*near, *doubts))


def test_a_check_that_lists_its_places_has_them_on_the_calculation_sheet_alone():
    text_of = "{where}: {count} splices stand too near: {places}"
    places = joined("; ", (Place(row=row, rail=1) for row in (3, 4)))
    here = Place(roof="South")
    told = say(text_of, where=here, count=2, places=places)
    near = Finding("expansion_splice_near_attachment", "warning", told, here)
    offer = with_estimate(an_offer("plain"), checks=(near,))
    assert "South roof: 2 splices stand too near: see the calculation sheet" in text(write_quote(offer, a_header()))
    assert "2 splices stand too near: row 3 / rail 1; row 4 / rail 1" in text(write_calculation(offer, a_header()))


def test_the_quote_of_a_hall_of_two_thousand_modules_has_at_most_six_pages():
    half = an_array(rows=20, columns=50, y_mm=500.0)
    south, north = (a_roof(name=name, eave_length_mm=54_000.0, slope_length_mm=36_000.0, arrays=(half,))
                    for name in ("South", "North"))  # fmt: skip
    hall = offer(a_job(south, north, customer=CUSTOMER), house_book(), Choices(), DATED)
    assert hall.estimate.counts.counts.modules == 2000
    checks = tuple(
        Finding(f"kind_{kind}", "warning", f"South / A / row {row}: something to look at", Place(told=f"row {row}"))
        for kind in range(8)
        for row in range(40)
    )
    hall = with_estimate(hall, checks=checks)
    assert len(pages(write_quote(hall, a_header()))) <= 6


def test_markup_of_a_user_is_text_and_loads_nothing():
    pdf = write_quote(an_offer("payloads"), a_header(prepared_by="<b>x</b><a href='file:///etc'>y</a>"))
    found = text(pdf)
    assert "<b>bold</b>" in found
    assert "<script>" in found
    assert '<img src="/etc/hostname"/>' in found
    assert "=1+1" in found
    assert "{number} %s %(x)s" in found
    names = {name for page in reader(pdf).pages for name in page.get("/Resources", {}).get("/XObject", {})}
    assert names == set()
    assert all("/Annots" not in page for page in reader(pdf).pages)
    assert b"/JavaScript" not in pdf
    assert b"/URI" not in pdf


def test_characters_that_no_font_has_are_named_in_a_note():
    found = text(write_quote(an_offer("payloads"), a_header()))
    assert "U+6771" in found
    assert "U+0000" in found
    assert "cannot be printed" not in text(write_quote(an_offer("plain"), a_header()))


@pytest.mark.parametrize(
    ("language", "words"),
    [("de", ("Angebot", "Gesamtbetrag", "Befestigungen")), ("es", ("Presupuesto", "Descuento", "fijaciones")),
     ("fr", ("Devis", "Remise", "fixations"))],
)  # fmt: skip
def test_the_quote_speaks_the_language_of_its_head(language, words):
    found = text(write_quote(an_offer(), a_header(language=language)))
    assert all(word in found for word in words)
    assert "Total before tax" not in found


def test_a_line_discount_gets_its_column():
    offer = an_offer()
    bill = offer.estimate.bill
    lines = (replace(bill.lines[0], discount=Decimal("0.125")), *bill.lines[1:])
    assert "12.5%" in text(write_quote(with_estimate(offer, bill=replace(bill, lines=lines)), a_header()))


@pytest.mark.parametrize("name", ["plain", "long", "payloads"])
def test_the_file_is_sound_by_qpdf(name, tmp_path):
    path = tmp_path / "quote.pdf"
    path.write_bytes(write_quote(an_offer(name), a_header()))
    done = subprocess.run([require("qpdf"), "--check", str(path)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
