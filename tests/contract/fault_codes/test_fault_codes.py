"""Every kind of fault has a stable name, and its sentence its words in every language."""

import ast
import json
from pathlib import Path

import pytest

import estimator
from estimator.contract.fault_codes import CODES, OTHER, code_of
from estimator.contract.faults import read_job
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.demo import sample_job
from estimator.documents.language.texts import reader_for
from estimator.errors import Fault, Refused
from estimator.sentences import LANGUAGES, has_words, joined, say
from tests.sources import nodes_of

PACKAGE = Path(estimator.__file__).parent
TEMPLATES = {template for templates in CODES.values() for template in templates}


def sentences_in(path):
    for node in nodes_of(PACKAGE / path):
        if (
            isinstance(node, ast.Call)
            and getattr(node.func, "id", "") == "say"
            and isinstance(node.args[0], ast.Constant)
        ):
            yield node.args[0].value


MESSAGE_AT = {"Fault": 1, "fault": 1, "add": 1, "disallowed": 0, "Disallowed": 0, "CellFault": 0, "UnfitCell": 0}
"""What makes a fault, and where its sentence stands among the arguments."""


def said_as_faults(path):
    """The sentences that stand where a fault is made."""
    for node in nodes_of(path):
        name = getattr(getattr(node, "func", None), "attr", getattr(getattr(node, "func", None), "id", ""))
        at = MESSAGE_AT.get(name)
        if at is not None and len(node.args) > at:
            for inner in ast.walk(node.args[at]):
                if getattr(getattr(inner, "func", None), "id", "") == "say":
                    yield inner.args[0].value
                    break


def test_every_sentence_of_a_fault_has_a_name():
    made = {text for path in PACKAGE.rglob("*.py") for text in said_as_faults(path)}
    assert {text for text in made - TEMPLATES - CARRIERS if has_words(text)} == set()


CARRIERS = {"option {letter}: {message}"}
"""Sentences that only hold another one, whose name they have."""


def test_a_fault_inside_another_sentence_keeps_its_name():
    inside = say("option {letter}: {message}", letter="B", message=say("missing"))
    assert code_of(Fault("/options/1", joined("; ", (inside, "A")))) == "missing"


def test_no_name_stands_for_a_sentence_that_nobody_says():
    said = {text for path in PACKAGE.rglob("*.py") for text in sentences_in(path)}
    assert said >= TEMPLATES
    assert OTHER not in CODES


def changed(path, value):
    job = json.loads(sample_job("metric"))
    *way, last = path
    inner = job
    for step in way:
        inner = inner[step]
    if value is ...:
        del inner[last]
    else:
        inner[last] = value
    return job


@pytest.mark.parametrize(
    ("path", "value", "code"),
    [
        (("nonsense",), 1, "unknown_field"),
        (("module", "length"), ..., "missing"),
        (("module", "length"), None, "null"),
        (("module", "length"), [], "wrong_kind"),
        (("module", "length"), "long", "unreadable_quantity"),
        (("module", "length"), "3 kg", "wrong_unit"),
        (("module", "length"), -1, "out_of_range"),
        (("roofs", 0, "slope"), 95, "out_of_range"),
        (("reference",), "", "wrong_length"),
        (("reference",), "a\x07b", "unprintable"),
        (("language",), "xx", "not_allowed"),
        (("roofs",), "none", "wrong_kind"),
        (("module",), [], "wrong_kind"),
    ],
)
def test_a_fault_of_a_posted_job_has_its_code_and_its_words_in_every_language(path, value, code):
    with pytest.raises(Refused) as refused:
        read_job(changed(path, value), JobSchema())
    (fault,) = refused.value.faults
    assert (fault.pointer, code_of(fault)) == ("/" + "/".join(map(str, path)), code)
    told = {
        reader_for(language, "", "metric").say(fault.message).replace("\N{NO-BREAK SPACE}", " ")
        for language in LANGUAGES
    }
    assert len(told) == len(LANGUAGES)
