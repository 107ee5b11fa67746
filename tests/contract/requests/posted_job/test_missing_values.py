"""A value that is missing says what may stand there."""

import pytest

from estimator.contract.faults import read_job
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.errors import JobRefused


def test_every_missing_value_says_what_is_allowed():
    with pytest.raises(JobRefused) as refusal:
        read_job({"module": {}, "roofs": [{"ribs": {}, "sheet": {}}], "site": {"loads": {}}}, JobSchema())
    missing = {fault.pointer: fault.allowed for fault in refusal.value.faults if fault.is_missing}
    assert len(missing) > 12 and all(missing.values())
    assert missing["/module/mass"] == "above 0, at most 500 kg, such as 28.6"
    assert missing["/site/loads/standard"] == "asce7-16, asce7-22, en1991, given"


def test_a_part_of_the_job_that_is_missing_is_told_by_what_it_cannot_do_without():
    with pytest.raises(JobRefused) as refusal:
        read_job({"roofs": [{}]}, JobSchema())
    wanted = {fault.pointer: fault.allowed for fault in refusal.value.faults if fault.is_missing}
    assert wanted["/module"] == "an object with name, length, width, thickness, mass, power"
    assert wanted["/roofs/0/ribs"] == "an object with spacing, first_at, height, crown_width, web_angle"
    assert wanted["/roofs/0/arrays"].startswith("a list, each of it an object with name")


def test_nothing_that_stands_is_called_missing():
    with pytest.raises(JobRefused) as refusal:
        read_job({"module": None, "roofs": 1}, JobSchema())
    assert not [fault.pointer for fault in refusal.value.faults if fault.is_missing and fault.pointer != "/reference"]
