"""No English sentence of the core in a document of another language: whole demo jobs, every kind of document."""

import io
import json
import re
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from datetime import date
from decimal import Decimal
from functools import lru_cache

import openpyxl
import pytest
from babel.messages.pofile import read_po

from estimator.contract.requests.posted_job.job import JobSchema
from estimator.demo import books_folder, demo_jobs
from estimator.documents.header import OrderHeader, QuoteHeader
from estimator.documents.language.texts import reader_for
from estimator.documents.language.words import check_where
from estimator.documents.papers import ORDER_FORMS, QUOTE_FORMS
from estimator.errors import Finding
from estimator.job import Choices, LineChange
from estimator.loads.actions.clauses import Clause, load_case
from estimator.orders import OrderedQuote, make_order_lists
from estimator.places import Place
from estimator.sentences import Sentence, amount, day, figure, joined, say
from estimator.site_loads import AsceLoads, EnLoads
from estimator.storage.books import book_in_force, find_editions, read_book
from tests.documents.language.test_texts import FOLDER, LANGUAGES, said
from tests.documents.pdf_reading import text as text_of_pdf
from tests.searches import offer

TODAY = date(2026, 11, 25)
SPACES = str.maketrans({"\u00a0": " ", "\u202f": " ", "\n": " "})
WORDLESS = r"[^\w’'-]+"
JOBS = {job.file.stem: job for job in demo_jobs()}
SOME = {"dairy-direct-eu": ("de", "fr"), "winery-along-ribs-us": ("es",), "sugarhouse-us": LANGUAGES}
"""Both standards, with rail and without; the load on what was laid out is raised."""
FIELD = re.compile(r"[a-z_]+(\.[a-z_]+|\[\d+\])+")


def the_book(name):
    return read_book(book_in_force(find_editions([books_folder()]), name, TODAY).folder)


@lru_cache(maxsize=1)
def the_offer(name):
    """The demo job under more wind than it was laid out for, a line changed by hand, the freight not charged."""
    demo = JOBS[name]
    job, book = JobSchema().load(json.loads(demo.file.read_text(encoding="utf-8"))), the_book(demo.pricebook)
    loads = job.site.loads
    speed = {AsceLoads: "wind_speed_mph", EnLoads: "wind_speed_m_s"}.get(type(loads))
    harder = replace(loads, **{speed: getattr(loads, speed) * 1.3}) if speed else loads
    changes = tuple(LineChange(part, ordered=50, reason="Zusatz") for part in list(book.parts)[:2])
    job = replace(job, site=replace(job.site, loads=harder), notes="")
    return offer(job, book, Choices(line_changes=changes, freight=False), TODAY)


def texts_of(content, name):
    """Every text of a workbook or PDF; drawings and files for programs carry none of the core's sentences."""
    if name.endswith(".pdf"):
        return [text_of_pdf(content)]
    if not name.endswith(".xlsx"):
        return []
    book = openpyxl.load_workbook(io.BytesIO(content), data_only=True)
    cells = (str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None)
    return [text for text in cells if not FIELD.fullmatch(text)]  # fields of the posted job keep their names


def documents(made, language):
    """Name and words of every document of an offer, its order lists among them."""
    head = QuoteHeader("Q-7", 1, "draft", TODAY, date(2026, 12, 25), language=language)
    for kind in QUOTE_FORMS.values():
        yield kind.file, " ".join(texts_of(kind.write(made, head, "estimator"), kind.file)).translate(SPACES)
    orders = make_order_lists([OrderedQuote("Q-7", 1, made.estimate)], {}, TODAY)
    for form in (ORDER_FORMS[name] for name in ("xlsx", "pdf", "packing.pdf", "packing.xlsx")):
        content = form.write(orders.lists[:1], OrderHeader("O-1", TODAY, language), ())
        yield form.name, " ".join(texts_of(content, form.name)).translate(SPACES)


def translations(language):
    with (FOLDER / "language" / "locale" / f"{language}.po").open("rb") as source:
        for entry in read_po(source, locale=language):
            yield from entry.string if isinstance(entry.string, tuple) else (entry.string,)


def texts_of_book(value):
    """What the book itself says, in the languages it has."""
    if isinstance(value, str):
        yield value
    elif is_dataclass(value):
        for each in fields(value):
            yield from texts_of_book(getattr(value, each.name))
    elif isinstance(value, (Mapping, tuple)):
        for each in value.values() if isinstance(value, Mapping) else value:
            yield from texts_of_book(each)


def english(language):
    """Three words in a row of every English sentence (all of a shorter one), less those the language has too."""
    own = " ".join(translations(language)).translate(SPACES)
    found = {}
    for sentence, file, _ in said():
        for piece in re.split(r"{\w+}", sentence):
            words = re.findall(r"[^\W\d_]{2,}(?: [^\W\d_]+)*", piece)
            for run in (each.split(" ") for each in words):
                for at in range(max(1, len(run) - 2)):
                    phrase = " ".join(run[at : at + 3])
                    if " " in phrase and phrase not in own:
                        found[phrase] = file
    return found


@pytest.mark.parametrize("name", SOME)
def test_no_english_sentence_of_the_core_is_left_in_a_document_of_another_language(name):
    made = the_offer(name)
    book = " ".join([*texts_of_book(made.estimate.book), made.estimate.job.title])
    left = {}
    for language in SOME[name]:
        phrases = {each: file for each, file in english(language).items() if each not in book}
        for file, text in documents(made, language):
            words = f" {re.sub(WORDLESS, ' ', text)} "
            left |= {(language, file, each): where for each, where in phrases.items() if f" {each} " in words}
    assert left == {}


@pytest.mark.parametrize(("name", "language", "term", "part"), [
    ("dairy-direct-eu", "de", "Lieferzeiten laufen ab der schriftlichen Bestellung.", "Sickenhalter"),
    ("dairy-direct-eu", "fr", "Les délais de livraison courent à partir de la commande écrite.", "Support de nervure"),
    ("dairy-direct-eu", "es", "Los plazos de entrega cuentan desde el pedido por escrito.", "Soporte de nervio"),
])  # fmt: skip
def test_a_book_that_gives_its_texts_in_the_language_is_read_in_it(name, language, term, part):
    quote = next(text for file, text in documents(the_offer(name), language) if file == "quote.pdf")
    assert term in quote
    assert part in quote


def test_a_book_that_does_not_is_read_in_its_own():
    made = the_offer("dairy-direct-eu")
    book = replace(made.estimate.book, texts={})
    head = QuoteHeader("Q-7", 1, "draft", TODAY, date(2026, 12, 25), language="es")
    made = replace(made, estimate=replace(made.estimate, book=book))
    quote = text_of_pdf(QUOTE_FORMS["quote_pdf"].write(made, head, "customer"))
    assert "Delivery times run from the written order." in quote
    assert "Rib bracket" in quote


def test_what_an_offer_kept_long_ago_says_in_plain_english_is_shown_as_it_stands():
    reader = reader_for("de", "DE", "metric")
    words = "South / A / row 1 / rail 2: overhang 420 mm, 350 mm allowed"
    finding = Finding("a", "warning", words, Place(told="South roof"))
    assert check_where(finding, reader) == f"South roof: {words}"


def test_a_place_is_said_in_the_readers_language_wherever_it_stands():
    reader, place = reader_for("de", "DE", "metric"), Place(roof="South", array="A", row=1, section=2, rail=2)
    assert reader.say(place) == "South / A / Reihe 1, Teil 2 / Schiene 2"
    finding = Finding("a", "warning", joined("; ", (place, say("not given"))), place)
    assert check_where(finding, reader) == "South / A / Reihe 1, Teil 2 / Schiene 2; nicht angegeben"


@pytest.mark.parametrize(("locale", "units", "text"), [
    (("de", "DE"), "metric", "Auskragung 1.420,5 mm, Blech 0,46 mm, 12,5 kg, 1.234,50 €, 25. November 2026"),
    (("en", "US"), "us", "overhang 55.93 in, sheet 0.0181 in, 27.56 lb, €1,234.50, November 25, 2026"),
    (("es", "MX"), "metric_us", "voladizo 1,420.5 mm (55.93 in), chapa 0.46 mm (0.0181 in), 12.5 kg (27.56 lb), "
     "EUR1,234.50, 25 de noviembre de 2026"),
])  # fmt: skip
def test_figures_in_sentences_are_those_of_the_reader_in_language_and_units(locale, units, text):
    reader = reader_for(*locale, units)
    parts = (
        ("overhang", figure(1420.5, ".1f", " mm", "length")),
        ("sheet", figure(0.46, ".2f", " mm", "length")),
        ("", figure(12.5, ".1f", " kg", "mass")),
        ("", amount(Decimal("1234.50"), "EUR")),
        ("", day(TODAY)),
    )
    said_so = joined(", ", (joined(" ", (Sentence(word), value)) if word else value for word, value in parts))
    assert reader.say(said_so).translate(SPACES) == text


def test_clauses_formulas_zones_and_the_signs_between_texts_are_those_of_the_language():
    german, french = (reader_for(language, language.upper(), "metric") for language in ("de", "fr"))
    assert (
        german.say(Clause("EN 1991-1-4", "7.3a", "table", direction="0", pitch_deg=7.5))
        == "EN 1991-1-4 Tabelle 7.3a, theta = 0, 7,5°"
    )
    assert german.formula(load_case("", ("0.6", "D"), ("0.6", "W", "up"))) == "0,6D + 0,6W abhebend"
    assert german.zone("2e ridge snow") == "2e Firstschnee"
    assert french.say(joined(": ", ("South", joined("; ", ("a", "b"))))) == "South : a ; b"
