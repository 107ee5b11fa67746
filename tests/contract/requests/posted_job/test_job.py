"""A posted job read in process: every fault at its pointer, cells drawn or listed, caps. Common practice, no source."""

import copy
import math

import pytest

from estimator.contract.faults import read_job
from estimator.contract.requests.posted_job.array import MOST_CELLS
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.errors import JobRefused

ARRAY = {
    "name": "A",
    "x": 1500,
    "y": 1200,
    "rows": 2,
    "columns": 5,
    "orientation": "portrait",
    "gap_x": 20,
    "gap_y": 20,
}
JOB = {
    "reference": "R-1",
    "customer": {"name": "Hill farm", "address": {"lines": ["Lane 1"], "country": "US"}},
    "site": {"needed_on": "2027-03-15", "loads": {"standard": "given"}},
    "module": {"name": "plain", "length": 1762, "width": 1134, "thickness": 30, "mass": 21.5, "power": 430},
    "roofs": [
        {
            "name": "South",
            "eave_length": 20_000,
            "slope_length": 9_000,
            "slope": 10,
            "ribs": {"spacing": 250, "first_at": 125, "height": 35, "crown_width": 40, "web_angle": 65},
            "sheet": {"material": "steel", "thickness": 0.63},
            "arrays": [ARRAY],
        }
    ],
    "mounting": {"arrangement": "direct", "max_span": 1000, "max_cantilever": 300},
}


@pytest.mark.parametrize(
    ("site", "customer", "units"),
    [("US", "DE", "us_metric"), ("DE", "US", "metric_us"), ("", "US", "us_metric"), ("", "", "metric_us")],
)
def test_both_systems_stand_in_the_order_of_the_sites_country(site, customer, units):
    job = copy.deepcopy(JOB) | {"display_units": "both"}
    job["site"] = {**job["site"], "address": {"country": site}}
    job["customer"] = {"name": "Hill farm", "address": {"country": customer}}
    assert read_job(job, JobSchema()).display_units == units


FAULTS = [
    ("/colour", "red"),
    ("/roofs/0/ribs/colour", "red"),
    ("/roofs", []),
    ("/roofs/0/arrays", []),
    ("/roofs/0/eave_length", "20 kg"),
    ("/roofs/0/eave_length", "20 furlong"),
    ("/roofs/0/eave_length", -1),
    ("/roofs/0/eave_length", math.nan),
    ("/roofs/0/eave_length", math.inf),
    ("/roofs/0/eave_length", "nan m"),
    ("/roofs/0/eave_length", True),
    ("/roofs/0/eave_length", None),
    ("/roofs/0/slope", 95),
    ("/roofs/0/ribs/spacing", 0),
    ("/roofs/0/sheet/thickness", "99 ga"),
    ("/roofs/0/sheet/thickness", "26 kg"),
    ("/roofs/0/arrays/0/columns", 10**9),
    ("/roofs/0/arrays/0/rows", 0),
    ("/roofs/0/arrays/0/rows", 1.5),
    ("/roofs/0/arrays/0/omit", [[1, 6]]),
    ("/roofs/0/arrays/0/omit", [[row, column] for row in (1, 2) for column in (1, 2, 3, 4, 5)]),
    ("/module/mass", -2),
    ("/module/width", 1763),
    ("/customer/name", "a\x00b"),
    ("/customer/name", "a\x1bb"),
    ("/customer/name", "a\nb"),
    ("/customer/address/country", "XX"),
    ("/site/needed_on", "2027-02-30"),
    ("/mounting/arrangement", "glue"),
    ("/reference", ""),
]


def job_with(*changes):
    """The good job with values set at JSON Pointers."""
    job = copy.deepcopy(JOB)
    for pointer, value in changes:
        place = job
        *steps, last = [int(step) if step.isdigit() else step for step in pointer.strip("/").split("/")]
        for step in steps:
            place = place[step]
        place[last] = value
    return job


def pointers(document):
    with pytest.raises(JobRefused) as refused:
        read_job(document, JobSchema())
    return [fault.pointer for fault in refused.value.faults]


def with_array(**changes):
    kept = {name: value for name, value in {**ARRAY, **changes}.items() if value is not None}
    return job_with(("/roofs/0/arrays/0", kept))


def test_the_good_job_is_read():
    job = read_job(job_with(), JobSchema())
    assert (job.roofs[0].arrays[0].rows, job.roofs[0].eave_length_mm) == (2, 20_000)


@pytest.mark.parametrize(("pointer", "value"), FAULTS, ids=[f"{pointer}={value!r:.20}" for pointer, value in FAULTS])
def test_one_fault_is_told_at_its_place_and_no_other(pointer, value):
    found = pointers(job_with((pointer, value)))
    assert found == [pointer]


def test_faults_in_different_places_are_told_at_once():
    several = [("/colour", "red"), ("/module/mass", -2), ("/roofs/0/slope", 95), ("/roofs/0/arrays/0/columns", 10**9)]
    assert sorted(pointers(job_with(*several))) == sorted(pointer for pointer, _ in several)


@pytest.mark.parametrize(
    ("changes", "place"),
    [
        ({"rows": None, "columns": None}, {"/rows", "/columns"}),
        ({"cells": ["##", "##"]}, {"/columns"}),
        ({"rows": 3, "columns": 2, "cells": ["##", "##"]}, {"/rows"}),
        ({"rows": None, "columns": None, "cells": ["##"], "omit": [[1, 1]]}, {"/omit"}),
        ({"rows": None, "columns": None, "cells": ["##", "#"]}, {"/cells/1"}),
        ({"rows": None, "columns": None, "cells": ["#x"]}, {"/cells/0"}),
        ({"rows": None, "columns": None, "cells": ["..", ".."]}, {"/cells"}),
    ],
)
def test_cells_that_contradict_each_other_are_told(changes, place):
    assert set(pointers(with_array(**changes))) == {"/roofs/0/arrays/0" + each for each in place}


def test_drawn_cells_and_listed_cells_are_the_same_array():
    drawn = read_job(with_array(rows=None, columns=None, cells=["####.", "#####"]), JobSchema())
    assert drawn.roofs[0].arrays == read_job(with_array(omit=[[2, 5]]), JobSchema()).roofs[0].arrays


def told(document):
    with pytest.raises(JobRefused) as refused:
        read_job(document, JobSchema())
    return [(fault.pointer, fault.message, fault.allowed) for fault in refused.value.faults]


def test_rows_and_columns_left_out_count_from_one():
    assert read_job(with_array(omit=[[1, 1], [2, 5]]), JobSchema()).roofs[0].arrays[0].omit == {(0, 0), (1, 4)}


def test_a_row_or_column_zero_is_refused_and_the_way_to_count_is_named():
    found = told(with_array(omit=[[1, 1], [0, 3], [2, 0]]))
    assert [pointer for pointer, _, _ in found] == ["/roofs/0/arrays/0/omit/1", "/roofs/0/arrays/0/omit/2"]
    assert all("count from 1" in allowed and "[1, 1]" in allowed for _, _, allowed in found)


@pytest.mark.parametrize(("old", "new"), [("side_rail", "rail_on_side"), ("bottom_rail", "rail_on_top")])
def test_an_arrangement_by_its_older_word_is_refused_and_the_new_one_is_named(old, new):
    ((pointer, message, allowed),) = told(job_with(("/mounting/arrangement", old)))
    assert pointer == "/mounting/arrangement"
    assert old in message
    assert new in message
    assert allowed == "rail_on_side, rail_on_top, direct"
    assert read_job(job_with(("/mounting/arrangement", new)), JobSchema()).mounting.arrangement == new


def test_a_job_of_as_many_cells_as_allowed_is_read_and_one_row_more_is_not():
    rows = MOST_CELLS // 1_000
    assert read_job(with_array(rows=rows, columns=1_000), JobSchema())
    assert pointers(with_array(rows=rows + 1, columns=1_000)) == ["/roofs"]


def test_a_clamping_zone_is_read_as_shares_and_as_lengths():
    """A data sheet of a module 2000 mm long: clamps 350 to 500 mm from its corner are 0.175 to 0.25 of the side."""
    module = (
        JobSchema()
        .load(job_with(("/module/length", 2000), ("/module/clamping_zone", {"long_side": ["350 mm", "50 cm"]})))
        .module
    )
    assert module.clamping_zone.long_side == (0.175, 0.25)
    assert module.clamping_zone.short_side is None
    shares = job_with(("/module/clamping_zone", {"long_side": [0.1, 0.3], "short_side": [0, 0.5]}))
    assert JobSchema().load(shares).module.clamping_zone.long_side == (0.1, 0.3)


@pytest.mark.parametrize(
    "zone", [[350, 500], ["0.1", "0.3"], ["350 mm", "3 m"], ["500 mm", "350 mm"], [0.1], [0.3, 0.1]]
)
def test_a_clamping_zone_that_is_neither_is_refused_at_its_side(zone):
    assert pointers(job_with(("/module/clamping_zone", {"long_side": zone}))) == ["/module/clamping_zone/long_side"]


def test_wider_gaps_follow_columns_or_rows():
    posted = [{"after_column": 2, "width": "90 mm"}, {"after_row": 1, "width": 80}]
    array = read_job(with_array(wider_gaps=posted), JobSchema()).roofs[0].arrays[0]
    assert (array.wider_gaps, array.wider_row_gaps) == (((2, 90.0),), ((1, 80.0),))


@pytest.mark.parametrize("gap", [{"width": 90}, {"after_column": 1, "after_row": 1, "width": 90}])
def test_a_wider_gap_follows_one_line(gap):
    assert pointers(with_array(wider_gaps=[gap])) == ["/roofs/0/arrays/0/wider_gaps/0"]
