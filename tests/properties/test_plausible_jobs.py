"""None of a thousand plausible requests makes the service fail: each is answered, or refused with its faults.

Source of the expectation: RFC 9110, section 15.6.1 (500 is a fault of the server's, never the client's).
``python -m tests.benchmarks.bench_plausible`` tries a hundred thousand.
"""

from collections import Counter
from dataclasses import replace

import pytest

from estimator.app import create_app, open_context
from estimator.comparison.compare import offer
from estimator.comparison.records import Comparison, Offer
from estimator.cutting.records import Effort
from estimator.estimate import estimate
from estimator.job import fingerprint
from estimator.service.access.keys import first_key
from estimator.settings import from_environment
from tests.properties.plausible_jobs import CHOICES, CUT_LIST, JOBS, plausible

COUNT = 1_000
LEAST = Effort(work_limit=1)
"""The search for cut plans has properties of its own; here it would take nine tenths of the time."""


def quick_offer(job, book, choices, on, memory, before):
    """The estimate alone; every twentieth job (by its hash) is offered whole, with the comparison."""
    if int(fingerprint(job, choices), 16) % 20 == 0:
        return offer(job, book, choices, on, memory, before)
    return Offer(estimate(job, book, choices, on, LEAST), Comparison(None, None, (), None, None, None, None))


@pytest.fixture(scope="module")
def service(tmp_path_factory):
    settings = from_environment(
        {
            "ESTIMATOR_DATA": str(tmp_path_factory.mktemp("plausible")),
            "ESTIMATOR_RATE_BURST": "1000000",
            "ESTIMATOR_RATE_PER_SECOND": "1000000",
        }
    )
    context = replace(open_context(settings), make_offer=quick_offer)
    yield create_app(settings, context).test_client(), {"Authorization": f"Bearer {first_key(context)}"}
    context.engine.dispose()


def test_no_plausible_request_makes_the_service_fail(service):
    client, headers = service
    answered, failed = Counter(), []
    for number in range(COUNT):
        path, document = plausible(number)
        status = client.post(path, json=document, headers=headers).status_code
        answered[status] += 1
        if status >= 500:
            failed.append(number)
    assert not failed, failed
    assert answered[200] > COUNT / 4, answered  # most of them are plausible indeed
    assert answered[422] > COUNT / 10, answered


@pytest.mark.parametrize("shift", [-30_000, 30_000])
def test_an_array_beside_its_roof_is_answered_with_its_checks(service, shift):
    """Off the plane no pressure zone holds a module: that used to break."""
    client, headers = service
    job = {**JOBS[1], "roofs": [{**JOBS[1]["roofs"][0]}]}
    job["roofs"][0]["arrays"] = [{**job["roofs"][0]["arrays"][0], "x": shift}]
    answer = client.post("/v1/estimates", json={"job": job, **CHOICES}, headers=headers)
    assert answer.status_code in {200, 422}, answer.text


def test_a_cut_list_without_a_bar_to_cut_from_is_refused(service):
    client, headers = service
    without = {name: value for name, value in CUT_LIST.items() if name != "stocks"}
    none_left = [{**CUT_LIST["stocks"][0], "available": 0}]
    for cut_list in (without, {**CUT_LIST, "stocks": []}, {**CUT_LIST, "stocks": none_left}, {**without, "stocks": 7}):
        answer = client.post("/v1/cut-plans", json=cut_list, headers=headers)
        assert answer.status_code == 422, answer.text
