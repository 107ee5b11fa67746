"""What is kept comes back as it was: every kind of value, and whole offers."""

import re
import zlib
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.comparison.records import Offer
from estimator.errors import Conflict, Fault, Finding
from estimator.estimate import Estimate
from estimator.job import Choices, Mounting
from estimator.places import Place
from estimator.pricebook import Book
from estimator.sentences import Figure, Sentence, figure, say
from estimator.storage.records.codec import FORMAT, LightThaw, freeze, thaw
from tests.builders import a_book, a_job
from tests.facts import refusing
from tests.searches import offer

DAY = date(2026, 6, 1)
plain = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(2**53), 2**53),
    st.floats(allow_nan=False),
    st.text(st.characters(exclude_categories=["Cs"])),
    st.decimals(allow_nan=False, allow_infinity=False),
    st.fractions(),
    st.dates(),
)
values = st.recursive(
    plain,
    lambda inner: st.one_of(
        st.lists(inner).map(tuple),
        st.dictionaries(st.text(st.characters(exclude_categories=["Cs"]), max_size=5), inner, max_size=4),
        st.frozensets(st.tuples(st.integers(0, 99), st.integers(0, 99))),
        st.builds(Finding, st.text("abc"), st.just("note"), st.text("xyz"), found=st.floats(allow_nan=False)),
    ),
    max_leaves=20,
)


def same(one, other):
    return type(one) is type(other) and one == other


@settings(max_examples=150, deadline=None)
@given(values)
def test_a_value_comes_back_as_it_was(value):
    assert same(thaw(freeze(value)), value)


@settings(max_examples=50, deadline=None)
@given(values)
def test_equal_values_give_equal_bytes(value):
    assert freeze(value) == freeze(thaw(freeze(value)))


def test_what_is_no_number_and_what_has_no_end_is_kept():
    assert thaw(freeze((float("inf"), float("-inf")))) == (float("inf"), float("-inf"))
    assert thaw(freeze(float("nan"))) != thaw(freeze(float("nan")))


def test_an_array_comes_back_with_its_shape_and_kind():
    array = np.array([[1.5, float("inf")], [0.0, -2.0]])
    back = thaw(freeze(array))
    assert back.dtype == array.dtype
    assert np.array_equal(back, array)


def test_whole_numbers_stay_whole_and_decimals_keep_their_zeros():
    assert type(thaw(freeze(3))) is int
    assert type(thaw(freeze(3.0))) is float
    assert str(thaw(freeze(Decimal("1.10")))) == "1.10"
    assert thaw(freeze(Fraction(1, 3))) == Fraction(1, 3)


@pytest.mark.parametrize("arrangement", ["rail_on_side", "rail_on_top", "direct"])
def test_a_whole_offer_comes_back_as_it_was(arrangement):
    mounting = Mounting(arrangement=arrangement, material="aluminium", max_span_mm=1200.0, max_cantilever_mm=400.0)
    made = offer(a_job(mounting=mounting), a_book(), Choices(margin=Decimal("0.3")), DAY)
    back = thaw(freeze(made))
    assert back == made
    assert freeze(back) == freeze(made)
    assert back.estimate.errors == made.estimate.errors


def test_a_sentence_keeps_its_template_and_values_and_an_old_plain_text_stays_one():
    place = say("zone {zone}", zone="1")
    said = say(
        "{where}: {found} found, {count} such places", where=place, found=figure(420.5, ".1f", " mm", "length"), count=3
    )
    back = thaw(freeze(Finding("a", "note", said, Place(zone="1")))).message
    assert (back, back.template, back.values) == (said, said.template, said.values)
    assert [type(value) for _, value in back.values] == [Sentence, Figure, int]
    assert (back.values[1][1].value, back.values[1][1].measures) == (420.5, "length")
    assert type(thaw(freeze(Finding("a", "note", "as it was kept long ago"))).message) is str


def test_what_a_later_version_wrote_is_refused_in_words():
    kept = freeze(Finding("a", "note", "b"))
    kept = zlib.compress(zlib.decompress(kept).replace(b'"format":%d' % FORMAT, b'"format":%d' % (FORMAT + 1)))
    with refusing(Conflict, holds=(FORMAT, FORMAT + 1)):
        thaw(kept)


@pytest.mark.parametrize("tag", [b"finding/999", b"errors:Finding2", b"errors:Refused", b"os:_Environ"])
def test_what_has_no_tag_is_refused_in_words(tag):
    kept = zlib.decompress(freeze(Finding("a", "note", "b")))
    with refusing(Conflict, holds=(repr(tag.decode()),)):
        thaw(zlib.compress(re.sub(rb'"@":"finding/\d+"', b'"@":"' + tag + b'"', kept)))


def test_bytes_of_format_1_are_read_by_the_places_of_their_records():
    kept = b'{"format":1,"record":{"@":"errors:Finding","code":"a","severity":"note","message":"b","where":"c",'
    kept += b'"found":null,"allowed":1.5,"unit":"mm"}}'
    assert thaw(zlib.compress(kept)) == Finding("a", "note", "b", Place(told="c"), None, 1.5, "mm")


def test_something_that_cannot_be_kept_is_refused():
    for value in (object(), Fault("/a", "b")):
        with pytest.raises(TypeError):
            freeze(value)


def test_replacing_one_field_changes_the_bytes():
    finding = Finding("a", "note", "b")
    assert freeze(finding) != freeze(replace(finding, place=Place(roof="here")))


def test_a_light_thaw_leaves_out_what_nobody_asks_for_and_gives_equal_books_once():
    mounting = Mounting(arrangement="direct", material="aluminium", max_span_mm=1200.0, max_cantilever_mm=400.0)
    jobs = [a_job(reference=each, mounting=mounting) for each in ("A", "B")]
    kept = [freeze(offer(each, a_book(), Choices(), DAY)) for each in jobs]
    light = LightThaw({Offer: frozenset(), Estimate: frozenset({"layout"})}, frozenset({Book}))
    one, other, whole = light.thaw(kept[0]), light.thaw(kept[1]), thaw(kept[0])
    assert one.estimate.layout is None
    assert replace(one, estimate=replace(one.estimate, layout=whole.estimate.layout)) == whole
    assert one.estimate.book is other.estimate.book
    assert light.thaw(freeze(replace(whole, estimate=replace(whole.estimate, book=a_book(edition="other"))))) != one
