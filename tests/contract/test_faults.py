"""Faults with pointers, merge patches, cells drawn and listed."""

import pytest

from estimator.contract.faults import NotJson, RequestRefused, faults_of, merge_patch, moved, parse_json, read
from estimator.contract.requests.cut_list import CutListSchema
from estimator.contract.requests.posted_job.cells import read_cells
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.errors import Fault
from tests.facts import refusing

# RFC 7396, appendix A: target, patch, result.
RFC_7396 = [
    ({"a": "b"}, {"a": "c"}, {"a": "c"}),
    ({"a": "b"}, {"b": "c"}, {"a": "b", "b": "c"}),
    ({"a": "b"}, {"a": None}, {}),
    ({"a": "b", "b": "c"}, {"a": None}, {"b": "c"}),
    ({"a": ["b"]}, {"a": "c"}, {"a": "c"}),
    ({"a": "c"}, {"a": ["b"]}, {"a": ["b"]}),
    ({"a": {"b": "c"}}, {"a": {"b": "d", "c": None}}, {"a": {"b": "d"}}),
    ({"a": [{"b": "c"}]}, {"a": [1]}, {"a": [1]}),
    (["a", "b"], ["c", "d"], ["c", "d"]),
    ({"a": "b"}, ["c"], ["c"]),
    ({"a": "foo"}, None, None),
    ({"a": "foo"}, "bar", "bar"),
    ({"e": None}, {"a": 1}, {"e": None, "a": 1}),
    ([1, 2], {"a": "b", "c": None}, {"a": "b"}),
    ({}, {"a": {"bb": {"ccc": None}}}, {"a": {"bb": {}}}),
]


@pytest.mark.parametrize(("target", "patch", "result"), RFC_7396)
def test_a_merge_patch_does_what_rfc_7396_shows(target, patch, result):
    assert merge_patch(target, patch) == result


def test_names_in_a_pointer_are_escaped_as_rfc_6901_says():
    """RFC 6901, section 5: "a/b" is /a~1b, "m~n" is /m~0n."""
    found = [
        fault.pointer for fault in faults_of({"a/b": ["x"], "m~n": ["x"], "": ["x"], "deep": {3: {"_schema": ["x"]}}})
    ]
    assert found == ["/a~1b", "/m~0n", "/", "/deep/3"]


def test_faults_of_a_job_stand_where_the_request_holds_it():
    faults = (Fault("/roofs/0", "x"), Fault("/pricebook", "x"), Fault("/roofsome", "x"))
    assert [each.pointer for each in moved(faults, "/job", ["roofs"])] == ["/job/roofs/0", "/pricebook", "/roofsome"]


@pytest.mark.parametrize(
    "body", [b"", b"{", b'{"a": NaN}', b'{"a": Infinity}', b'{"a": "\\ud800"}', b"\xff", b"[" * 5000]
)
def test_what_is_no_json_is_refused(body):
    with pytest.raises(NotJson):
        parse_json(body)


def test_a_document_may_be_as_deep_as_a_job_needs_and_not_much_deeper():
    assert parse_json(b"[" * 20 + b"]" * 20)
    with refusing(NotJson, holds=(32,)):
        parse_json(b"[" * 40 + b"]" * 40)


def test_a_job_that_is_no_object_is_refused():
    for document in ([], "x", None, 3):
        with pytest.raises(RequestRefused):
            read(JobSchema(), document)


def test_drawn_rows_begin_at_the_top():
    rows, columns, omit = read_cells({"cells": ("#.", "##", ".#")})
    assert (rows, columns) == (3, 2)
    assert omit == {(2, 1), (0, 0)}


def test_lengths_of_a_cut_list_keep_their_unit():
    unit, asked = read(
        CutListSchema(),
        {
            "unit": "in",
            "kerf": "3 mm",
            "stocks": [{"length": 240, "price": "30"}, {"length": "20 ft", "price": 30}],
            "pieces": [{"length": 10.5, "count": 1}],
        },
    )
    assert unit == "in"
    assert asked.kerf_mm == 3
    assert [each.length_mm for each in asked.stocks] == [6096, 6096]
    assert float(asked.pieces[0].length_mm) == 266.7


def test_a_length_out_of_range_is_told_what_is_allowed_of_it():
    """A saw may have no kerf, as a shear; a piece always has a length."""
    cut_list = {"kerf": -3, "stocks": [{"length": 0, "price": "1"}], "pieces": [{"length": 1722, "count": 40}]}
    with pytest.raises(RequestRefused) as refused:
        read(CutListSchema(), cut_list)
    allowed = {fault.pointer: fault.allowed for fault in refused.value.faults}
    assert allowed["/kerf"].startswith("0 or more, at most")
    assert allowed["/stocks/0/length"].startswith("above 0, at most")
    assert read(CutListSchema(), {**cut_list, "kerf": 0, "stocks": [{"length": 6000, "price": "1"}]})


def test_pieces_longer_than_every_bar_are_told_beside_what_cannot_be_read():
    cut_list = {
        "unit": "m",
        "kerf": -3,
        "end_trim": "10 mm",
        "stocks": [{"length": 6, "price": "54.53"}, {"length": 9, "price": "60", "available": 0}],
        "pieces": [
            {"length": "5981 mm", "count": 4},
            {"length": "x", "count": 3},
            {"length": "30 ft", "count": 0},
            5,
            {"length": 5.98, "count": 1},
        ],
    }
    with pytest.raises(RequestRefused) as refused:
        read(CutListSchema(), cut_list)
    told = {(fault.pointer, fault.allowed) for fault in refused.value.faults}
    assert told == {
        ("/kerf", "0 or more, at most 1000000"),
        ("/pieces/0/length", "at most 5980 mm"),
        ("/pieces/1/length", "a number (mm) or a number and one of mm, cm, m, in, ft"),
        ("/pieces/2/length", "at most 5980 mm"),
        ("/pieces/2/count", "1 to 1000000"),
        ("/pieces/3", "an object with length, count"),
    }


@pytest.mark.parametrize("unreadable", [{"unit": "ell"}, {"stocks": "none"}, {"end_trim": "x"}, {"pieces": None}])
def test_nothing_is_said_of_lengths_where_unit_or_bars_cannot_be_read(unreadable):
    cut_list = {"stocks": [{"length": 6000, "price": "1"}], "pieces": [{"length": 7000, "count": 1}], **unreadable}
    with pytest.raises(RequestRefused) as refused:
        read(CutListSchema(), cut_list)
    assert [fault.pointer for fault in refused.value.faults] == [f"/{name}" for name in unreadable]
