"""The catalogues: every sentence of the documents in every language, its places kept."""

import ast
import re
from functools import cache
from pathlib import Path

import pytest
from babel.messages.pofile import read_po

from estimator import sentences
from estimator.documents.language.texts import Texts, reader_for
from estimator.sentences import has_words
from tests.sources import nodes_of

PACKAGE = Path(__file__).parents[3] / "estimator"
FOLDER = PACKAGE / "documents"
LANGUAGES = tuple(code for code in sentences.LANGUAGES if code != "en")
SOURCES = [path for path in sorted(FOLDER.rglob("*.py")) if path.name != "texts.py"]


def messages(paths):
    """Every text the sources look up or mark: (text,) or (one, many)."""
    found = {}
    for path in paths:
        for node in nodes_of(path):
            if not isinstance(node, ast.Call):
                continue
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            texts = [a.value for a in node.args if isinstance(a, ast.Constant) and isinstance(a.value, str)]
            if name in {"t", "mark"} and texts:
                found[texts[0]] = path.name
            elif name == "tn" and len(texts) >= 2:
                found[texts[0]] = found[texts[1]] = path.name
    return found


def literals(node):
    """The texts an argument can be: a literal, or one of several by a condition; None for anything else."""
    if isinstance(node, ast.IfExp):
        sides = literals(node.body), literals(node.orelse)
        return None if None in sides else [*sides[0], *sides[1]]
    return [node.value] if isinstance(node, ast.Constant) and isinstance(node.value, str) else None


@cache
def said():
    """Every sentence the whole package says: (text or None where it is no literal, file, line)."""
    return tuple(
        (text, path.name, node.lineno)
        for path in sorted(PACKAGE.rglob("*.py"))
        for node in nodes_of(path)
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "say"
        for text in literals(node.args[0]) or [None]
    )


def test_every_sentence_is_said_as_a_literal_so_that_it_can_be_collected():
    assert [(file, line) for text, file, line in said() if text is None] == []


def catalogue(language):
    with (FOLDER / "language" / "locale" / f"{language}.po").open("rb") as source:
        return read_po(source, locale=language)


def words_of(entry):
    return entry.id if isinstance(entry.id, tuple) else (entry.id,)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_sentence_of_the_documents_is_in_the_catalogue(language):
    known = {text for entry in catalogue(language) if entry.string for text in words_of(entry)}
    asked = messages(SOURCES) | {text: file for text, file, _ in said() if has_words(text)}
    assert {text: where for text, where in asked.items() if text not in known} == {}


@pytest.mark.parametrize("language", (*LANGUAGES, "en_US"))
def test_a_translation_keeps_every_place_that_is_filled_in(language):
    for entry in catalogue(language):
        if not entry.id:
            continue
        strings = entry.string if isinstance(entry.string, tuple) else (entry.string,)
        for original, translated in zip(words_of(entry), strings, strict=False):
            assert set(re.findall(r"{(\w+)}", translated)) == set(re.findall(r"{(\w+)}", original)), entry.id


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_entry_is_left_empty_or_fuzzy(language):
    for entry in catalogue(language):
        strings = entry.string if isinstance(entry.string, tuple) else (entry.string,)
        assert all(strings), entry.id
        assert not entry.fuzzy, entry.id


@pytest.mark.parametrize(
    ("locale", "eave", "splice"),
    [("de_DE", "Traufe", "Verbinder"), ("es_MX", "alero", "empalmes"), ("fr_CA", "égout", "éclisses")],
)
def test_trade_terms_are_those_of_the_language(locale, eave, splice):
    assert Texts(locale).t("eave") == eave
    assert Texts(locale).t("splices") == splice


def test_the_united_states_spell_their_own_way_and_others_the_british():
    assert Texts("en_US").t("aluminium") == "aluminum"
    assert Texts("en_GB").t("aluminium") == "aluminium"


@pytest.mark.parametrize(("locale", "count", "text"), [("fr_FR", 1, "1 rail"), ("de_DE", 2, "2 Schienen")])
def test_one_and_many_follow_the_language(locale, count, text):
    words = Texts(locale).tn("{count} rail across the ribs", "{count} rails across the ribs", count)
    assert words.startswith(text)


def test_a_text_with_braces_from_a_user_is_never_taken_for_a_place():
    reader = reader_for("de", "DE", "metric")
    assert reader.texts.t("Array {name}", name="{evil} {0}") == "Modulfeld {evil} {0}"
    assert reader.texts.t("{evil} {0}") == "{evil} {0}"
