"""Sentences of the kept database are found in today's catalogues, whatever words the core has come to use."""

import sqlite3
import string
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache

import pytest

from estimator.documents.language import reworded
from estimator.documents.language.reworded import NO_LONGER_SAID, PLACES, REWORDED
from estimator.documents.language.texts import reader_for
from estimator.sentences import Sentence, figure, has_words, say
from estimator.storage.records.codec import thaw
from tests.documents.language.test_texts import LANGUAGES, catalogue, said, words_of
from tests.storage.kept_house import files


@cache
def current():
    """Every sentence that is said today."""
    return {text for text, *_ in said()}


def sentences_in(value):
    """Every sentence within a record, those within sentences among them."""
    if isinstance(value, Sentence):
        yield value
        for _, inner in value.values:
            yield from sentences_in(inner)
    elif is_dataclass(value):
        for each in fields(value):
            yield from sentences_in(getattr(value, each.name))
    elif isinstance(value, (Mapping, tuple)):
        for each in [*value, *value.values()] if isinstance(value, Mapping) else value:
            yield from sentences_in(each)


@cache
def templates():
    """Template and the names of its places, of every sentence that version 0.1 stored."""
    database = sqlite3.connect(":memory:")
    database.deserialize(files()["estimator.db"])
    stored = [
        content for (content,) in database.execute("SELECT offer FROM quote UNION ALL SELECT lists FROM order_list")
    ]
    kept = (each for content in stored for each in sentences_in(thaw(content)))
    return {each.template: {name for name, _ in each.values} for each in kept if has_words(each.template)}


def places(template):
    return {name for _, name, *_ in string.Formatter().parse(template) if name}


def test_every_stored_template_is_said_today_or_has_its_words_of_today():
    assert len(templates()) > 100
    assert sorted(set(templates()) - current() - set(REWORDED) - NO_LONGER_SAID) == []
    assert sorted(NO_LONGER_SAID & current()) == []


def test_words_of_today_are_said_today_and_fill_no_place_that_the_old_words_had_not():
    assert [now for now in REWORDED.values() if now not in current()] == []
    assert [old for old in REWORDED if old in current()] == []
    for old, now in REWORDED.items():
        assert places(now) <= {PLACES.get(old, {}).get(name, name) for name in places(old)}, old
    assert set(PLACES) <= set(REWORDED)


@pytest.mark.parametrize("language", LANGUAGES)
def test_words_of_today_are_in_every_catalogue(language):
    known = {text for entry in catalogue(language) if entry.string for text in words_of(entry)}
    asked = {REWORDED.get(template, template) for template in templates()}
    assert sorted(asked - known) == []


def test_a_reworded_sentence_is_told_in_words_of_today(monkeypatch):
    """The stored text stays; readers see today's words, with places that have come to bear another name."""
    told = Sentence("seat {count} has {length}", [("count", 3), ("length", figure(2.0, ".0f", " mm", "length"))])
    monkeypatch.setattr(reworded, "REWORDED", {told.template: "attachment {number}"})
    monkeypatch.setattr(reworded, "PLACES", {told.template: {"count": "number"}})
    assert told == "seat 3 has 2 mm"
    for language, country in (("en", "US"), ("de", "DE"), ("fr", "FR")):
        reader = reader_for(language, country, "metric")
        assert reader.say(told) == reader.say(say("attachment {number}", number=3))
