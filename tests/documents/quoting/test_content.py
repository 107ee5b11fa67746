"""The content of a quote adds up before anybody writes it, and has no place for what is internal."""

import re
from dataclasses import fields, is_dataclass

import pytest

from estimator.documents.pdf.missing import missing_in, texts_in
from estimator.documents.quoting.content import quote_content
from estimator.money import total
from tests.documents.offers import NAMES, a_header, an_offer


@pytest.mark.parametrize("name", NAMES)
def test_sections_add_up_to_the_parts_and_steps_to_the_total(name):
    content = quote_content(an_offer(name), a_header())
    assert total((section.subtotal for section in content.sections), content.currency) == content.totals[0].amount
    *steps, before_tax, tax, last = content.totals
    assert total((step.amount for step in steps), content.currency) == before_tax.amount
    assert before_tax.amount + tax.amount == last.amount
    assert last.final


@pytest.mark.parametrize("name", NAMES)
def test_every_priced_line_is_there_once(name):
    content = quote_content(an_offer(name), a_header())
    shown = [line.part for section in content.sections for line in section.lines]
    assert sorted(shown) == sorted(line.line.part for line in an_offer(name).estimate.bill.lines)


def field_names(record):
    for field in fields(record):
        yield field.name
        value = getattr(record, field.name)
        for member in value if isinstance(value, tuple) else (value,):
            if is_dataclass(member):
                yield from field_names(member)


def test_no_record_of_the_content_has_a_place_for_cost_or_margin():
    names = set(field_names(quote_content(an_offer("long"), a_header())))
    assert not any(word in name for name in names for word in ("cost", "margin", "markup", "rate"))


def test_the_quoted_way_stands_first_among_the_others():
    options = quote_content(an_offer("plain"), a_header()).options
    assert [option.quoted for option in options] == [True, False]
    assert options[0].total == an_offer("plain").estimate.bill.totals.total


@pytest.mark.parametrize("name", NAMES)
def test_the_saving_in_mass_is_the_difference_of_the_shipped_masses_shown(name):
    """Packaging counts on both sides, so the difference is not that of the parts alone; rounded to three figures."""
    content = quote_content(an_offer(name), a_header())
    first, second = content.options[:2]
    said = re.match(r"Alumini?um ships ([\d.,]+)\s(kg|lb) ", content.options_notes[0])
    assert said is not None
    decimals = said[1].replace(",", ".")  # no saving here has four figures
    kilograms = float(decimals) * {"kg": 1.0, "lb": 0.45359237}[said[2]]
    assert kilograms == pytest.approx(abs(first.shipped_mass_kg - second.shipped_mass_kg), rel=0.005)


def test_scope_says_what_is_mounted_on_what():
    scope = {
        fact.label: fact.value.replace("\u00a0", " ") for fact in quote_content(an_offer("plain"), a_header()).scope
    }
    assert scope["Modules"].startswith("6 modules plain (1,700 mm × 1,000 mm × 35 mm), 2.40 kW")
    assert "16 attachments" in scope["Bracket"]
    assert scope["Roof"].startswith("South: 12.00 m × 6.00 m, slope 10°; roofing: steel, 0.46 mm; ribs 32 mm high")


def test_texts_and_missing_characters_are_found_however_deep_they_lie():
    record = {"a": ("x", ["東", {"b": "京"}]), "numbers": (1.0, 2.0)}
    assert list(texts_in(record)) == ["x", "東", "京"]
    assert missing_in(record) == ("東", "京")
