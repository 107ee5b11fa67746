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
from estimator.errors import Refused
from estimator.sentences import LANGUAGES
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
