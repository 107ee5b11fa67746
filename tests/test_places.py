"""A place is a fact: only what is named tells places apart, and its words are made of it."""

from dataclasses import replace

import pytest

from estimator.contract.requests.places import PlaceSchema
from estimator.places import NOWHERE, Place
from estimator.sentences import joined, names, placed, say

ROW = Place(roof="South", array="A", row=1, section=2, rail=1)


@pytest.mark.parametrize(("place", "words"), [
    (ROW, "South / A / row 1, part 2 / rail 1"),
    (replace(ROW, row=None, column=4, section=None, attachment=3), "South / A / column 4 / rail 1 / attachment 3"),
    (replace(ROW, end="left"), "South / A / row 1, part 2 / rail 1 / left end"),
    (Place(roof="South", array="A", row=1, column=2, side="eave"), "South / A / row 1, column 2 / eave"),
    (Place(roof="South", array="A", seam=1, column=2), "South / A / seam 1 / column 2"),
    (Place(roof="South"), "South roof"),
    (Place(roof="South", zone="2e ridge snow"), "South / zone 2e ridge snow"),
    (Place(roof="South", role="bracket", part="B-1", aspect="crown_width"), "South / bracket B-1 / crown"),
    (Place(subject="loads"), "site loads"),
    (Place(quote="Q-1", roof="South", array="A", row=1, rail=2), "Q-1 / South / A / row 1 / rail 2"),
    (Place(told="as it was kept"), "as it was kept"),
    (NOWHERE, ""),
])  # fmt: skip
def test_words_go_from_the_large_to_the_small(place, words):
    assert str(place) == words


def test_names_with_signs_and_braces_stay_as_they_are():
    assert str(Place(roof="{roof} / 0", array="row 1")) == "{roof} / 0 / row 1"


def test_what_is_written_is_what_is_named_and_reads_back():
    assert ROW.facts() == {"roof": "South", "array": "A", "row": 1, "section": 2, "rail": 1}
    assert PlaceSchema().load(ROW.facts()) == ROW
    assert PlaceSchema().load({}) == NOWHERE


def test_a_sentence_knows_whether_it_names_a_place():
    assert names(placed(ROW, say("not given")), ROW)
    assert names(joined("; ", (placed(ROW, say("not given")), "x")), ROW)
    assert not names(say("not given"), ROW)
    assert not names(joined(" / ", ("South", "A")), ROW)
