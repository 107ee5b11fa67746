"""Every kind of fault has a stable name, and its sentence its words in every language."""

import ast
import json
from pathlib import Path

import pytest

import estimator
from estimator.contract.fault_codes import CODES, OTHER, code_of, refusals
from estimator.contract.faults import read, read_job
from estimator.contract.problems.documents import problem_entry, problem_of
from estimator.contract.problems.table import kinds
from estimator.contract.requests.choices import ChoicesSchema
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.demo import sample_job
from estimator.documents.language.texts import reader_for
from estimator.errors import Conflict, Fault, Refused
from estimator.sentences import LANGUAGES, Sentence, has_words, joined, say
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


SHARED = {
    "AlreadyUsed", "BadHeader", "Busy", "Conflict", "NotAllowed", "NotFound", "NotReady", "NotYet", "PoolFull",
    "StaleVersion",
}  # fmt: skip
"""Refusals of which several stand under one type of problem, and which list no faults."""


def said_as_refusals(path):
    """The sentences that such refusals are made with."""
    for node in nodes_of(path):
        if getattr(getattr(node, "func", None), "attr", getattr(getattr(node, "func", None), "id", "")) in SHARED:
            for inner in ast.walk(node.args[0]):
                if getattr(getattr(inner, "func", None), "id", "") == "say":
                    yield inner.args[0].value


def test_every_refusal_that_shares_its_type_with_others_has_a_name():
    named = {template for templates in refusals.CODES.values() for template in templates}
    made = {text for path in PACKAGE.rglob("*.py") for text in said_as_refusals(path)}
    assert made - named == set()


def test_names_of_refusals_are_of_sentences_that_are_said_once_and_of_no_type_of_problem():
    said = {text for path in PACKAGE.rglob("*.py") for text in sentences_in(path)}
    templates = [template for templates in refusals.CODES.values() for template in templates]
    assert said >= set(templates)
    assert len(templates) == len(set(templates))
    assert not refusals.CODES.keys() & {name.replace("-", "_") for name in kinds()}


def test_a_problem_tells_what_happened_by_a_name_and_else_names_its_type():
    revoked = problem_entry(problem_of(Conflict(say("the key is revoked; make a new one"))))
    nobodys = problem_entry(problem_of(Conflict(Sentence("in words of somebody else"))))
    assert (revoked["code"], nobodys["code"]) == ("key_revoked", "conflict")
    assert revoked["type"] == nobodys["type"] == "/problems/conflict"
    faults = problem_entry(problem_of(Refused(say("1 fault"), [Fault("/a", say("missing"))])))
    assert (faults["code"], faults["errors"][0]["code"]) == ("invalid_request", "missing")


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


def test_what_is_no_object_or_list_is_told_what_is_wanted_there():
    told = {"line_discounts": "none", "overrides": {}, "options": [1], "proof": 3}
    with pytest.raises(Refused) as refused:
        read(ChoicesSchema(), told)
    found = {fault.pointer: (fault.message, fault.allowed) for fault in refused.value.faults}
    assert found == {
        "/line_discounts": ("not an object", 'an object, such as {"XB-40": "0.10"}'),
        "/overrides": ("not a list", "a list, each of it an object with code, reason"),
        "/options/0": ("not an object", "an object"),
        "/proof": ("not an object", "an object with seconds"),
    }


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
