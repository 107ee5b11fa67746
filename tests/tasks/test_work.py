"""Operations worked on: what each kind makes, and what becomes of one that cannot be made."""

import threading
import time
from dataclasses import replace

import pytest
import structlog
from sqlalchemy.exc import OperationalError

from api_tests.posted import a_job as posted_job
from api_tests.posted import on_rails
from estimator.app import create_app, open_context
from estimator.comparison.compare import offer
from estimator.pricing.rail_offers import without_offcuts
from estimator.service import calculations
from estimator.service.access.keys import first_key
from estimator.settings import from_environment
from estimator.tasks import work
from estimator.tasks.hang_up import GONE, NobodyWaits
from estimator.tasks.work import work_once
from tests.databases import empty_database

CHOICES = {"pricebook": "hanse-eu", "priced_on": "2026-11-25"}
EN = {"standard": "en1991", "wind_speed": 22.0, "terrain": "III", "mean_roof_height": 8_000, "roof_form": "gable",
      "ground_snow": 850.0, "building": {"length": 260_000, "width": 90_000}}  # fmt: skip
ASYNC = {"Prefer": "respond-async"}


def hurried_offer(*aim_and_before):
    """The offer as a search leaves it that ends before its proof."""
    *aim, before = aim_and_before
    made = offer(*aim, before=before)
    plan = made.estimate.cut_plan
    return replace(made, estimate=replace(made.estimate, cut_plan=replace(plan, lower_bound=plan.cost - 100)))


class House:
    """A service in process whose operations a test works on itself."""

    def __init__(self, folder):
        settings = from_environment({"ESTIMATOR_DATA": str(folder), "ESTIMATOR_OPERATION_MODULES": "200"})
        empty_database(folder)
        self.context = open_context(settings)
        self.client = create_app(settings, self.context).test_client()
        self.hurried = create_app(settings, replace(self.context, make_offer=hurried_offer)).test_client()
        self.headers = {"Authorization": f"Bearer {first_key(self.context)}"}

    def call(self, method, path, document=None, **headers):
        return self.client.open(path, method=method, json=document, headers={**self.headers, **headers})

    def post(self, path, document=None, **headers):
        return self.call("POST", path, document, **headers)

    def get(self, path):
        return self.call("GET", path)

    def worked(self, answer):
        """The operation that an answer tells of, after somebody worked on it."""
        assert answer.status_code == 202, answer.text
        assert work_once(self.context)
        return self.get(answer.headers["Location"]).get_json()


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    made = House(tmp_path_factory.mktemp("house"))
    yield made
    made.context.engine.dispose()


def test_an_estimate_asked_for_later_is_the_one_made_at_once(house):
    request = {"job": posted_job("LATER"), **CHOICES}
    at_once = house.post("/v1/estimates", request)
    later = house.post("/v1/estimates", request, **ASYNC)
    assert later.headers["Preference-Applied"] == "respond-async"
    assert house.get(later.headers["Location"] + "/result").status_code == 409
    operation = house.worked(later)
    assert operation["state"] == "succeeded"
    assert house.get(operation["links"]["result"]).get_json() == at_once.get_json()


def test_a_large_job_is_an_operation_without_being_asked(house):
    job = posted_job("LARGE")
    job["roofs"][0] |= {"eave_length": 60_000, "slope_length": 30_000}
    job["roofs"][0]["arrays"] = [{**job["roofs"][0]["arrays"][0], "rows": 10, "columns": 21}]
    operation = house.worked(house.post("/v1/estimates", {"job": job, **CHOICES}))
    assert house.get(operation["links"]["result"]).get_json()["counts"]["modules"] == 210


def test_a_quote_asked_for_later_is_a_draft_and_the_key_gives_the_same_operation(house):
    job = house.post("/v1/jobs", posted_job("DRAFT")).get_json()["id"]
    once = {"Idempotency-Key": "later-1", **ASYNC}
    first, again = (house.post(f"/v1/jobs/{job}/quotes", CHOICES, **once) for _ in range(2))
    assert first.get_json() == again.get_json()
    operation = house.worked(first)
    assert operation["kind"] == "quote"
    assert not work_once(house.context)
    quote = house.get(operation["links"]["result"]).get_json()
    assert quote["state"] == "draft"
    revised = house.worked(house.post(f"/v1/quotes/{quote['id']}/revise", {"discount": "0.1"}, **ASYNC))
    assert house.get(revised["links"]["result"]).get_json()["revision"] == 2
    assert len(house.get(f"/v1/quotes?job={job}").get_json()["items"]) == 2


def test_a_job_that_is_refused_later_keeps_its_faults(house):
    job = posted_job("REFUSED")
    job["mounting"]["bracket"] = "no such bracket"
    at_once = house.post("/v1/estimates", {"job": job, **CHOICES})
    assert at_once.status_code == 422
    operation = house.worked(house.post("/v1/estimates", {"job": job, **CHOICES}, **ASYNC))
    assert operation["state"] == "failed"
    assert operation["problem"]["errors"][0]["detail"] == at_once.get_json()["errors"][0]["detail"]


def test_a_cut_plan_asked_for_later(house):
    cut_list = {"stocks": [{"length": 6_000, "price": "50"}], "pieces": [{"length": 1_722, "count": 40}]}
    at_once = house.post("/v1/cut-plans", cut_list).get_json()
    operation = house.worked(house.post("/v1/cut-plans", cut_list, **ASYNC))
    later = house.get(operation["links"]["result"]).get_json()
    assert {**later, "seconds": 0} == {**at_once, "seconds": 0}


def _proven(made):
    old = made.estimate
    return offer(old.job, without_offcuts(old.book), old.choices, old.provenance.priced_on)


def test_a_draft_takes_the_better_plan_and_an_issued_quote_never_does(house, monkeypatch):
    """The longer search itself is tried by ``estimator quote --seconds``; here the usual one finds the proof."""
    monkeypatch.setattr(calculations, "prove_offer", lambda made, _seconds, tell: _proven(made))
    job = house.post("/v1/jobs", on_rails()).get_json()["id"]
    choices = {**CHOICES, "proof": {"seconds": 120}, "validity_days": 3650}
    drafts = [house.hurried.post(f"/v1/jobs/{job}/quotes", json=choices, headers=house.headers) for _ in range(2)]
    links = [draft.headers["Link"] for draft in drafts]
    assert all(link.endswith('rel="monitor"') for link in links)
    where, version = f"/v1/quotes/{drafts[1].get_json()['id']}/issue", {"If-Match": drafts[1].headers["ETag"]}
    issued = house.post(where, **version)
    assert issued.status_code == 200, issued.text
    while work_once(house.context):
        pass
    after = [house.get(draft.headers["Location"]).get_json() for draft in drafts]
    operations = [house.get(link[1 : link.index(">")]).get_json() for link in links]
    assert [each["state"] for each in operations] == ["succeeded"] * 2
    assert [each["links"]["result"] for each in operations] == [draft.headers["Location"] for draft in drafts]
    before = drafts[0].get_json()
    assert float(after[0]["total"]) <= float(before["total"])
    assert after[1]["total"] == drafts[1].get_json()["total"]
    assert after[1]["version"] == issued.get_json()["version"]
    plans = [house.get(f"/v1/quotes/{each['id']}/cut-plan").get_json()["cut_plan"] for each in after]
    assert not plans[1]["proven_optimal"]
    assert after[0]["version"] == 2
    assert float(plans[0]["cost"]) <= float(plans[1]["cost"])
    assert float(plans[0]["lower_bound"]) >= float(plans[1]["lower_bound"])
    assert plans[0]["proven_optimal"]


def test_cancelling_stops_the_work_and_nothing_is_made(house, monkeypatch):
    monkeypatch.setattr(work, "SIGN_OF_LIFE_SECONDS", 0.1)
    job = house.post("/v1/jobs", posted_job("CANCELLED")).get_json()["id"]
    started = house.post(f"/v1/jobs/{job}/quotes", CHOICES, **ASYNC)
    begun = threading.Event()

    def endless(*_):
        begun.set()
        for _ in range(200):
            time.sleep(0.05)
            if GONE.get()():
                raise NobodyWaits
        raise AssertionError("nobody stopped it")

    worker = threading.Thread(target=work_once, args=(replace(house.context, make_offer=endless),))
    worker.start()
    begun.wait(20)
    cancelled = house.call("DELETE", started.headers["Location"])
    assert cancelled.get_json()["state"] == "cancelled"
    worker.join(20)
    assert not worker.is_alive()
    assert house.get(started.headers["Location"]).get_json()["state"] == "cancelled"
    assert house.get(f"/v1/quotes?job={job}").get_json()["items"] == []
    assert house.call("DELETE", started.headers["Location"]).status_code == 200


def test_a_database_that_is_busy_gives_the_operation_another_try(house):
    started = house.post("/v1/estimates", {"job": posted_job("BUSY"), **CHOICES}, **ASYNC)

    def busy(*_):
        raise OperationalError("SELECT", {}, Exception("database is locked"))

    assert work_once(replace(house.context, make_offer=busy))
    assert house.get(started.headers["Location"]).get_json()["state"] == "queued"
    house.call("DELETE", started.headers["Location"])


def test_a_fault_of_ours_ends_it_and_tells_nothing(house):
    started = house.post("/v1/estimates", {"job": posted_job("FAULT"), **CHOICES}, **ASYNC)

    def broken(*_):
        raise KeyError("secret of the house")

    with structlog.testing.capture_logs() as lines:
        assert work_once(replace(house.context, make_offer=broken))
    assert [line["event"] for line in lines if line["log_level"] == "error"] == ["fault"]
    answer = house.get(started.headers["Location"])
    assert answer.get_json()["problem"]["status"] == 500
    assert "secret" not in answer.text


def many_arrays(count, rows):
    job = posted_job("MANY")
    job["site"] = {**job["site"], "loads": EN}
    job["mounting"] = {}
    array = job["roofs"][0]["arrays"][0]
    job["roofs"][0] |= {"eave_length": 260_000, "slope_length": 260_000, "slope": 3}
    job["roofs"][0]["arrays"] = [
        {**array, "name": f"{at}", "x": 1_500 + at % 20 * 12_000, "y": 1_200 + at // 20 * 2_500 * rows, "rows": rows}
        for at in range(count)
    ]
    return job


def test_many_arrays_in_every_way_are_an_operation_and_beyond_measure_refused(house, monkeypatch):
    """41 kB with 300 arrays used to hold a core for two minutes; what is reckoned hangs on the job's shape alone."""
    answer = house.post("/v1/estimates", {"job": many_arrays(300, 1), **CHOICES})
    assert answer.status_code == 202
    house.call("DELETE", answer.headers["Location"])
    monkeypatch.setattr("estimator.layout.work.MOST", 1_000)
    operation = house.worked(house.post("/v1/estimates", {"job": many_arrays(300, 1), **CHOICES}))
    assert operation["state"] == "failed"
    assert operation["problem"]["errors"][0]["code"] == "too_much_work"


def test_a_quote_is_read_without_its_offer_from_its_first_reading_on(house, monkeypatch):
    """The bytes are kept when it is drafted and when it is issued, for readers of both kinds."""
    job = house.post("/v1/jobs", posted_job("KEPT")).get_json()["id"]
    draft = house.post(f"/v1/jobs/{job}/quotes", {**CHOICES, "validity_days": 3650})
    where = draft.headers["Location"]
    issued = house.post(f"{where}/issue", **{"If-Match": draft.headers["ETag"]})
    assert issued.status_code == 200, issued.text
    expected = house.get(where).get_json()
    monkeypatch.setattr("estimator.service.quoting.stored.answers.whole", None)
    assert house.get(where).get_json() == expected
    assert expected["version"] == issued.get_json()["version"]
    another = house.post(f"/v1/jobs/{job}/quotes", CHOICES)
    assert house.get(another.headers["Location"]).get_json() == another.get_json()


def test_a_process_that_ends_hands_its_work_back_and_takes_up_nothing(house, monkeypatch):
    ending = threading.Event()
    monkeypatch.setattr(work, "ENDING", ending)
    started = house.post("/v1/estimates", {"job": posted_job(), **CHOICES}, **ASYNC)

    def told_to_end(*_):
        ending.set()
        raise NobodyWaits

    assert work_once(replace(house.context, make_offer=told_to_end))
    assert house.get(started.headers["Location"]).get_json()["state"] == "queued"
    assert not work_once(house.context)
    monkeypatch.setattr(work, "ENDING", threading.Event())
    assert work_once(house.context)
    assert house.get(started.headers["Location"]).get_json()["state"] == "succeeded"
