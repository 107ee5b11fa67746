"""The order as PDF: every line and the total, page x of y, the note on invented prices, in every language."""

import io
import shutil
import subprocess
from dataclasses import replace

import pypdf
import pytest

from estimator.documents.order.pdf import write_order_pdf
from estimator.errors import Refused
from estimator.money import zero
from tests.documents.order_examples import HEADER, PAYLOADS, an_order, priced, with_lines
from tests.facts import refusing


def _text(pdf):
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]
    return [page.replace("\xa0", " ").replace("\u202f", " ") for page in pages]


def test_every_line_and_the_total_are_printed():
    order = priced(an_order(), ["1234.5", "0.015", "12.3333"])
    text = "\n".join(_text(write_order_pdf(order, HEADER)))
    for line in order.lines:
        assert f"our {line.part}" in text
        assert line.supplier_part in text
    # English for a reader in Germany: CLDR en_DE writes the comma as the decimal sign.
    for amount in ("8.641,50", "0,11", "86,33", "8.727,94", "12,3333"):
        assert amount in text


def test_a_long_order_has_its_heads_and_page_numbers_on_every_page():
    order = priced(an_order(), ["1.00"] * 180)
    pages = _text(write_order_pdf(order, HEADER))
    assert len(pages) > 3
    for number, page in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in page
    assert all("Line total" in page for page in pages)
    assert all(f"our P-{n}\n" in "\n".join(pages) for n in range(180))


@pytest.mark.parametrize(("language", "words"), [
    ("en", ("Order", "Total", "Page 1 of 1", "invented")),
    ("de", ("Bestellung", "Gesamt", "Seite 1 von 1", "erfunden")),
    ("es", ("Pedido", "Total", "1 de 1", "inventad")),
    ("fr", ("Commande", "Total", "1 sur 1", "fictif")),
])  # fmt: skip
def test_the_order_speaks_the_suppliers_language(language, words):
    text = "\n".join(_text(write_order_pdf(an_order(invented=True), replace(HEADER, language=language))))
    for word in words:
        assert word in text


@pytest.mark.parametrize("payload", PAYLOADS)
def test_markup_in_a_text_is_printed_not_carried_out(payload):
    order = with_lines(description=payload, supplier_part=payload)
    order = replace(order, supplier=replace(order.supplier, name=payload), ship_to=(payload,))
    text = "\n".join(_text(write_order_pdf(order, HEADER)))
    assert payload.strip().replace("\x0b", "¿").replace("＝", "¿") in text


def test_a_description_longer_than_a_page_is_split():
    pages = _text(write_order_pdf(with_lines(description="word " * 4000), HEADER))
    assert sum(page.count("word") for page in pages) == 4000


def test_a_character_no_font_has_is_named():
    assert "U+6771" in "\n".join(_text(write_order_pdf(with_lines(description="東"), HEADER)))


def test_the_same_order_gives_the_same_bytes_and_a_sound_file(tmp_path):
    pdf = write_order_pdf(an_order(), HEADER)
    assert pdf == write_order_pdf(an_order(), HEADER)
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    assert reader.metadata.title == "Order O-7-S-1"
    program = shutil.which("qpdf")
    if program:
        (tmp_path / "order.pdf").write_bytes(pdf)
        subprocess.run([program, "--check", tmp_path / "order.pdf"], check=True, capture_output=True)


def test_an_order_that_does_not_add_up_is_not_printed():
    with refusing(Refused):
        write_order_pdf(an_order(total=zero("EUR")), HEADER)


def test_addresses_stand_as_their_country_writes_them():
    """Town first in the United States, postcode first in Germany, countries in words: common practice, no source."""
    order = an_order(ship_to=("12 Mill Road", "Ames, IA 50010"), country="US")
    there = replace(order.supplier, address_lines=("1 Old Loop",), postcode="65203", city="Columbia, MO", country="US")
    here = replace(order.buyer, address_lines=("Am Bach 3",), postcode="24211", city="Preetz", country="DE")
    text = "\n".join(_text(write_order_pdf(replace(order, supplier=there, buyer=here), HEADER)))
    assert "Columbia, MO 65203\nUnited States" in text
    assert "Ames, IA 50010\nUnited States" in text
    assert "24211 Preetz · Germany" in text
