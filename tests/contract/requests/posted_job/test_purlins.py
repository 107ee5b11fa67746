"""Purlins under a roof, as a job posts them."""

import json

import pytest

from estimator.contract.faults import read_job
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.demo import demo_jobs
from estimator.errors import JobRefused
from estimator.job import Purlins

JOB = json.loads(next(each for each in demo_jobs() if each.file.stem == "cold-store-us").file.read_text("utf-8"))


def posted(purlins):
    (roof,) = JOB["roofs"]
    return read_job({**JOB, "roofs": [{**roof, "purlins": purlins}]}, JobSchema()).roofs[0].purlins


def test_purlins_may_be_given_or_not():
    assert posted({"spacing": "5 ft", "first_at": "6 in"}) == Purlins(1524.0, 152.4)
    assert posted({"spacing": 1500}) == Purlins(1500.0)
    assert posted(None) is None


@pytest.mark.parametrize(("purlins", "pointer"), [
    ({"spacing": 5}, "/roofs/0/purlins/spacing"),
    ({}, "/roofs/0/purlins/spacing"),
    ({"spacing": "5 ft", "first_at": "90 ft"}, "/roofs/0/purlins"),
])  # fmt: skip
def test_purlins_that_cannot_be_are_refused_with_what_is_allowed(purlins, pointer):
    with pytest.raises(JobRefused) as refusal:
        posted(purlins)
    assert [fault.pointer for fault in refusal.value.faults] == [pointer]
    assert refusal.value.faults[0].allowed
