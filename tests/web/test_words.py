"""The pages' catalogues: every sentence of templates and views in every language, its places kept."""

import ast
import re
from pathlib import Path

import pytest
from babel.messages.pofile import read_po
from jinja2 import Environment, FileSystemLoader, nodes

from estimator import sentences
from estimator.documents.papers import ORDER_FORMS, QUOTE_FORMS
from estimator.storage.roles import ROLES
from estimator.storage.tables import QUOTE_STATES
from estimator.web.labels import ORDER_PAPER_WORDS, PAPER_WORDS, ROLE_WORDS, STATE_WORDS
from estimator.web.words import PageWords
from tests.sources import nodes_of

WEB = Path(__file__).parents[2] / "estimator" / "web"
DOCUMENTS = WEB.parent / "documents" / "language" / "locale"
LANGUAGES = tuple(code for code in sentences.LANGUAGES if code != "en")
FOR_PROGRAMS = {"docs.html", "first_hour.html", "page.html"}


def texts_in(arguments):
    return [each.value for each in arguments if isinstance(getattr(each, "value", None), str)]


def asked_in_templates():
    environment = Environment(loader=FileSystemLoader(WEB / "templates"), autoescape=True)
    for path in sorted((WEB / "templates").glob("*.html")):
        for call in environment.parse(path.read_text(encoding="utf-8")).find_all(nodes.Call):
            name = getattr(call.node, "name", "")
            if name in {"t", "tn"}:
                yield from ((text, path.name) for text in texts_in(call.args[: 1 if name == "t" else 2]))


def asked_in_views():
    for path in sorted(WEB.rglob("*.py")):
        for node in nodes_of(path):
            if isinstance(node, ast.Call):
                name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
                if name in {"t", "mark", "tn"}:
                    yield from ((text, path.name) for text in texts_in(node.args[: 2 if name == "tn" else 1]))


def entries(folder, language):
    with (folder / f"{language}.po").open("rb") as source:
        return [entry for entry in read_po(source, locale=language) if entry.id]


def ids(entry):
    return entry.id if isinstance(entry.id, tuple) else (entry.id,)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_sentence_of_the_pages_is_in_a_catalogue(language):
    own, shared = entries(WEB / "locale", language), entries(DOCUMENTS, language)
    known = {text for entry in (*own, *shared) if entry.string for text in ids(entry)}
    asked = dict([*asked_in_templates(), *asked_in_views()])
    assert {text: where for text, where in asked.items() if text not in known} == {}


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_translation_keeps_every_place_that_is_filled_in_and_is_asked_for(language):
    asked = dict([*asked_in_templates(), *asked_in_views()])
    for entry in entries(WEB / "locale", language):
        strings = entry.string if isinstance(entry.string, tuple) else (entry.string,)
        assert all(strings), entry.id
        assert ids(entry)[0] in asked, entry.id
        for original, translated in zip(ids(entry), strings, strict=False):
            assert set(re.findall(r"{(\w+)}", translated)) == set(re.findall(r"{(\w+)}", original)), entry.id


def test_no_words_for_people_stand_in_a_template_outside_the_catalogues():
    """A letter after a tag and before the next one is text that was not looked up."""
    for path in sorted((WEB / "templates").glob("*.html")):
        if path.name in FOR_PROGRAMS:
            continue
        text = re.sub(r"{[{%#].*?[}%#]}", " ", path.read_text(encoding="utf-8"), flags=re.DOTALL)
        text = re.sub(r'<a [^>]*lang="en"[^>]*>[^<]*</a>', " ", text)  # the names of what is there in English alone
        for piece in re.findall(r">([^<]*)<", text):
            assert not re.search(r"[A-Za-z]{3,}", piece), (path.name, piece.strip())


def test_the_pages_fall_back_to_the_words_of_the_documents_and_then_to_english():
    assert PageWords("de_DE").t("eave") == "Traufe"
    assert PageWords("de_DE").t("Sign in") == "Anmelden"
    assert PageWords("de_DE").t("said by nobody {name}", name="x") == "said by nobody x"


def test_every_paper_and_every_state_has_words_of_its_own():
    assert {form.file for form in QUOTE_FORMS.values()} <= set(PAPER_WORDS)
    assert {form.file for form in ORDER_FORMS.values()} <= set(ORDER_PAPER_WORDS)
    assert set(STATE_WORDS) == set(QUOTE_STATES)
    assert set(ROLE_WORDS) == set(ROLES)


OTHER_WORDS = {
    "de": {"saw list": "Zuschnittlist"},
    "es": {"quote": "oferta"},
    "fr": {"quote": "offre", "saw list": "liste de débit"},
}
"""What papers call otherwise: Sägeliste, presupuesto, devis, liste de sciage."""


@pytest.mark.parametrize("language", LANGUAGES)
def test_pages_call_a_thing_what_its_papers_call_it(language):
    every = [*entries(WEB / "locale", language), *entries(DOCUMENTS, language)]
    for thing, other in OTHER_WORDS[language].items():
        about = [entry for entry in every if any(re.search(rf"\b{thing}", text, re.IGNORECASE) for text in ids(entry))]
        assert len(about) > 5
        told = [text for entry in about for text in ([entry.string] if isinstance(entry.string, str) else entry.string)]
        assert [text for text in told if re.search(rf"\b{other}", text, re.IGNORECASE)] == []
