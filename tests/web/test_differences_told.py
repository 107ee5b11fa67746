"""Differences in the words and numbers of whoever reads them: editions of a pricebook, inputs of a quote."""

import pytest

from estimator.documents.language.texts import Reader, reader_for
from estimator.web.asked_view import Asked
from estimator.web.edition_view import value_told
from estimator.web.words import PageWords
from tests.web.desks import a_posted_job

SPACE = "\u00a0"


def a_reader(language="de", units="metric"):
    reader = reader_for(language, "", units)
    return Reader(PageWords(reader.texts.locale), reader.formats)


@pytest.mark.parametrize(
    ("column", "text", "told"),
    [
        ("cost", "1234.5", "1.234,50"),
        ("cost from 250", "5.0825", "5,0825"),
        ("list_price", "0.126", "0,126"),
        ("tax.rate", "0.19", f"19{SPACE}%"),
        ("tiers.trade", "0.07125", f"7,125{SPACE}%"),
        ("pack_size", "1000", "1.000"),
        ("unit_mass_kg", "0.01234", "0,01234"),
        ("unit", "PR", "Paar"),
        ("material", "aluminium", "Aluminium"),
        ("pricing_method", "margin", "Marge auf den Preis"),
        ("supplier", "Zwirnfels 1.5", "Zwirnfels 1.5"),
        ("list_price", "", "–"),
    ],
)
def test_what_an_edition_changes_is_told_with_every_decimal_in_the_readers_way(column, text, told):
    assert value_told(column, text, "EUR", a_reader()) == told


@pytest.mark.parametrize(
    ("place", "value", "label", "told"),
    [
        ("/margin", "0.205", "Marge", f"20,5{SPACE}%"),
        ("/freight", False, "Fracht", "entfällt"),
        ("/validity_days", 45, "Gültig für so viele Tage", "45"),
        ("/priced_on", "2026-12-01", "Preise vom Tag (leer: heute)", "1. Dezember 2026"),
        ("/material", "steel", "Werkstoff", "Stahl"),
        ("/notes", None, "Hinweise, die das Angebot nennt", "–"),
        ("/options/0/material", "steel", "Werkstoff", "Stahl"),
        ("/line_discounts/HB-A48", "0.05", "Rabatt der Position HB-A48", f"5{SPACE}%"),
        ("/line_changes/0", {"part": "HB-A48", "ordered": 1200, "reason": "stock"}, "Positionen",
         "HB-A48: Menge 1.200, Grund: stock"),
        ("/line_changes/0", {"part": "HB-A48", "struck": True, "reason": "x"}, "Positionen",
         "HB-A48: Position gestrichen, Grund: x"),
    ],
)  # fmt: skip
def test_what_was_asked_for_is_told_by_its_field(place, value, label, told):
    asked = Asked([a_posted_job()], [{"options": [{"material": "steel"}]}], a_reader())
    assert (asked.label(place), asked.told(place, value)) == (label, told)


def test_a_place_of_the_job_names_its_roof_and_array():
    job = a_posted_job()
    roof, array = job["roofs"][0]["name"], job["roofs"][0]["arrays"][0]["name"]
    asked = Asked([job], [{}], a_reader("en", "us"))
    assert asked.label("/roofs/0/arrays/0/rows") == f"Roof {roof}, Array {array}, Rows"
    assert asked.told("/roofs/0/arrays/0/x", "4 ft") == "4 ft"
    assert asked.told("/roofs/0/arrays/0/x", 1219.2) == f"48{SPACE}in"
    assert asked.label("/nobody/knows") == "/nobody/knows"
