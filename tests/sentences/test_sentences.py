"""A sentence is its English text to everybody, and keeps what other languages need."""

import copy
import json
import pickle
from decimal import Decimal

import orjson
import pytest

from estimator.sentences import Figure, amount, figure, has_words, joined, placed, say

SAID = say("{count} screws of {force}, {name}", count=4, force=figure(12.5, ".1f", " N", "force"), name="{evil}")


def test_a_sentence_is_its_english_text():
    assert SAID == "4 screws of 12.5 N, {evil}"
    assert hash(SAID) == hash(str(SAID))
    assert f"{SAID}" == "4 screws of 12.5 N, {evil}"
    assert json.loads(json.dumps(SAID)) == orjson.loads(orjson.dumps(SAID)) == SAID


@pytest.mark.parametrize("again", [copy.copy, copy.deepcopy, lambda said: pickle.loads(pickle.dumps(said))])
def test_a_copy_keeps_template_and_values(again):
    made = again(SAID)
    assert (made, made.template, made.values) == (SAID, SAID.template, SAID.values)
    assert (made.values[1][1].value, made.values[1][1].measures) == (12.5, "force")


def test_a_text_without_values_may_hold_braces():
    assert say("a {b} c") == "a {b} c"


def test_figures_read_as_the_english_writes_them():
    assert figure(Decimal("0.4555"), ".2f", " mm", "length") == "0.46 mm"
    assert amount(Decimal("12.50"), "EUR") == "12.50 EUR"
    assert isinstance(amount(Decimal(1), "EUR"), Figure)


def test_texts_are_joined_by_signs_that_no_catalogue_has_to_know():
    both = joined("; ", [SAID, "{x}"])
    assert both == "4 screws of 12.5 N, {evil}; {x}"
    assert not has_words(both.template)
    assert placed("South", SAID) == "South: 4 screws of 12.5 N, {evil}"
    assert placed("", SAID) == SAID
