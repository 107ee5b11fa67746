"""A value that is missing says what may stand there."""

import pytest

from estimator.contract.faults import read_job
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.errors import JobRefused


def test_every_missing_value_says_what_is_allowed():
    with pytest.raises(JobRefused) as refusal:
        read_job({"module": {}, "roofs": [{"ribs": {}, "sheet": {}}], "site": {"loads": {}}}, JobSchema())
    missing = {fault.pointer: fault.allowed for fault in refusal.value.faults if fault.message == "missing"}
    assert len(missing) > 12 and all(missing.values())
    assert missing["/module/mass"] == "above 0, at most 500 kg, such as 28.6"
    assert missing["/site/loads/standard"] == "asce7-16, asce7-22, en1991, given"
