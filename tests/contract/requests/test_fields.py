"""A field takes exactly what it says. The refused values are those that lenient fields were seen to take."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from marshmallow import ValidationError

from estimator.contract.fault_codes import code_of
from estimator.contract.faults import faults_of
from estimator.contract.requests.fields import Bool, Day, Dec, Int, Many, Quantity, Real, Text

ARABIC_THREE = "\u0663"


@pytest.mark.parametrize("value", ["1_000", " 7 ", ARABIC_THREE, 1.9, True, None, "4", [], 10**9, float("inf")])
def test_a_whole_number_is_a_whole_number(value):
    with pytest.raises(ValidationError):
        Int(0, 100).deserialize(value)


def test_four_point_nought_is_a_whole_number_as_json_schema_has_it():
    assert Int(0, 10).deserialize(4.0) == 4
    assert type(Int(0, 10).deserialize(4.0)) is int


@pytest.mark.parametrize(
    "value",
    ["1_0", ARABIC_THREE, "1e1000000000", "NaN", "Infinity", "", "1.1234567", "1" * 13, " 1", "1\n", True, None],
)
def test_a_decimal_is_digits_and_a_point(value):
    with pytest.raises(ValidationError):
        Dec().deserialize(value)


def test_a_decimal_keeps_what_was_written():
    assert str(Dec().deserialize("1.005")) == "1.005"
    assert str(Dec().deserialize("0.10")) == "0.10"
    assert Dec().deserialize(0.1) == Decimal("0.1")
    assert Dec().deserialize(3) == 3


def test_a_share_below_one_is_below_one():
    assert Dec("0", "1", below=True).deserialize("0.999999") < 1
    with pytest.raises(ValidationError):
        Dec("0", "1", below=True).deserialize("1")


@pytest.mark.parametrize("value", ["yes", "on", 1, "true", None])
def test_only_true_and_false_are_true_and_false(value):
    with pytest.raises(ValidationError):
        Bool().deserialize(value)


@pytest.mark.parametrize("value", ["a\0b", "bell\a", "esc\x1b[0m", "\x7f", "\x85", "\ud800", "line\nbreak", 5])
def test_a_text_holds_nothing_that_cannot_be_printed(value):
    with pytest.raises(ValidationError):
        Text(100).deserialize(value)


@pytest.mark.parametrize("value", ["=1+1", "+1", "-1", "@A1", "<script>", "&amp;", "Łódź", "日本", "e\u0301", "'; --"])
def test_signs_of_formulas_and_markup_are_text(value):
    assert Text(100).deserialize(value) == value


def test_lines_break_where_a_text_has_lines():
    assert Text(100, lines=True).deserialize("one\n\ttwo") == "one\n\ttwo"
    with pytest.raises(ValidationError):
        Text(100, lines=True).deserialize("one\rtwo")


@pytest.mark.parametrize(
    "value", ["12 kg", "12 in in", "", "in", "nan mm", "1e999 m", True, None, [12], "١٢ mm", "1__2 mm"]
)
def test_a_length_is_a_number_or_a_number_and_a_unit_of_length(value):
    with pytest.raises(ValidationError):
        Quantity("length").deserialize(value)


def test_a_quantity_out_of_range_says_what_is_allowed():
    with pytest.raises(ValidationError) as zero:
        Quantity("mass", 0.0, 500, above=True).deserialize(0)
    with pytest.raises(ValidationError) as endless:
        Real().deserialize(float("nan"))
    assert [(code_of(fault), fault.allowed) for fault in faults_of(zero.value.messages)] == [
        ("out_of_range", "above 0, at most 500 kg")
    ]
    assert [code_of(fault) for fault in faults_of(endless.value.messages)] == ["wrong_kind"]


@pytest.mark.parametrize("value", ["2026-02-30", "26-01-01", "2026-1-1", "01.02.2026", 20260101, None])
def test_a_day_is_a_day_of_the_calendar(value):
    with pytest.raises(ValidationError):
        Day().deserialize(value)


def test_a_list_too_long_is_refused_before_anything_in_it_is_read():
    class Counting(Text):
        read = 0

        def _deserialize(self, value, attr, data, **kwargs):
            Counting.read += 1
            return super()._deserialize(value, attr, data, **kwargs)

    with pytest.raises(ValidationError):
        Many(Counting(5), 3).deserialize(["a"] * 1000)
    assert Counting.read == 0


@settings(max_examples=200, deadline=None)
@given(st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=50), st.lists(st.integers())))
def test_no_field_fails_in_another_way_than_by_saying_so(value):
    fields = (
        Int(0, 9),
        Dec(),
        Bool(),
        Text(20),
        Quantity("length"),
        Quantity("angle"),
        Real(),
        Day(),
        Many(Int(0, 9), 3),
    )
    for field in fields:
        try:
            field.deserialize(value)
        except ValidationError as told:
            assert told.messages
