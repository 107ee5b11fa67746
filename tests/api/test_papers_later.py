"""A paper that would take too long is offered as an operation, whose result is the paper."""

from dataclasses import replace

import pytest

from api_tests.posted import a_job
from estimator.app import create_app
from estimator.contract.problems.refusals import PoolFull
from estimator.documents.paper import PDF, XLSX
from estimator.tasks.work import work_once
from tests.api.house import House


def busy(*_arguments):
    raise PoolFull("no process was free")


@pytest.fixture
def house(tmp_path):
    made = House(tmp_path, ESTIMATOR_PRICEBOOKS="pricebooks")
    made.client = create_app(made.settings, replace(made.context, on_paper=busy)).test_client()
    yield made
    made.close()


@pytest.fixture
def keys(house):
    return {role: house.key(role) for role in ("estimator", "crm")}


@pytest.fixture
def quote(house, keys):
    job = house.call(keys["estimator"], "POST", "/v1/jobs", json=a_job()).json["id"]
    made = house.call(keys["estimator"], "POST", f"/v1/jobs/{job}/quotes", json={})
    assert made.status_code == 201, made.text
    return f"/v1/quotes/{made.json['id']}"


def test_a_paper_nobody_can_write_now_is_an_operation_and_then_its_result(house, keys, quote):
    asked = house.call(keys["estimator"], "GET", f"{quote}/quote.pdf?edition=customer")
    assert (asked.status_code, asked.json["kind"], asked.json["state"]) == (202, "paper", "queued")
    operation = asked.headers["Location"]
    again = house.call(keys["estimator"], "GET", f"{quote}/quote.pdf?edition=customer")
    assert again.headers["Location"] == operation  # not a second one
    other = house.call(keys["estimator"], "GET", f"{quote}/workbook.xlsx")
    assert other.headers["Location"] != operation
    assert house.call(keys["estimator"], "GET", f"{operation}/result").status_code == 409
    while work_once(house.context):
        pass
    done = house.call(keys["estimator"], "GET", operation).json
    assert done["state"] == "succeeded", done
    paper = house.call(keys["estimator"], "GET", done["links"]["result"])
    assert (paper.status_code, paper.mimetype) == (200, "application/pdf")
    assert paper.data.startswith(b"%PDF") and "quote.pdf" in paper.headers["Content-Disposition"]
    book = house.call(keys["estimator"], "GET", f"{other.headers['Location']}/result")
    assert book.data.startswith(b"PK")
    assert house.call(keys["crm"], "GET", f"{operation}/result").status_code in (403, 404)


def test_the_result_of_an_issued_quote_is_what_is_handed_out_from_then_on(house, keys, quote):
    client = house.call(keys["estimator"], "GET", quote)
    issued = house.call(keys["estimator"], "POST", f"{quote}/issue", headers={"If-Match": client.headers["ETag"]})
    assert issued.status_code == 200, issued.text
    operation = house.call(keys["estimator"], "GET", f"{quote}/plan.svg", headers={"Prefer": "respond-async"})
    assert operation.headers["Preference-Applied"] == "respond-async"
    while work_once(house.context):
        pass
    result = house.call(keys["estimator"], "GET", f"{operation.headers['Location']}/result")
    handed_out = house.call(keys["estimator"], "GET", f"{quote}/plan.svg")
    assert (handed_out.status_code, handed_out.data) == (200, result.data)


@pytest.mark.parametrize("accept", [PDF, XLSX])
def test_by_accept_too(house, keys, quote, accept):
    assert house.call(keys["estimator"], "GET", quote, headers={"Accept": accept}).status_code == 202
    assert house.call(keys["estimator"], "GET", quote).status_code == 200


def test_a_paper_of_no_quote_starts_nothing(house, keys):
    absent = house.call(keys["estimator"], "GET", "/v1/quotes/x/quote.pdf", headers={"Prefer": "respond-async"})
    assert absent.status_code == 404
    assert house.call(keys["estimator"], "GET", "/v1/operations").json["items"] == []


def test_an_order_that_takes_long_is_an_operation_and_so_are_its_papers(house, keys):
    admin = house.key("admin")
    job = house.call(admin, "POST", "/v1/jobs", json=a_job()).json["id"]
    quote = house.call(admin, "POST", f"/v1/jobs/{job}/quotes", json={})
    here, etag = f"/v1/quotes/{quote.json['id']}", quote.headers["ETag"]
    order, later = {"quotes": [quote.json["id"]], "cut_together": True}, {"Prefer": "respond-async"}
    assert house.call(admin, "POST", "/v1/order-lists", json=order, headers=later).status_code == 409  # not accepted
    for step in ("issue", "accept"):
        etag = house.call(admin, "POST", f"{here}/{step}", headers={"If-Match": etag}).headers["ETag"]
    asked = house.call(admin, "POST", "/v1/order-lists", json=order, headers={**later, "Idempotency-Key": "order"})
    assert (asked.status_code, asked.json["kind"]) == (202, "order_list")
    made = result_of(house, admin, asked)
    assert house.call(admin, "GET", made).json["quotes"] == [quote.json["id"]]
    again = house.call(admin, "POST", "/v1/order-lists", json=order, headers={**later, "Idempotency-Key": "order"})
    assert (again.status_code, again.headers["Location"]) == (202, asked.headers["Location"])
    for file, begins in (("order-list.csv", b"order_number,"), ("deliveries/1/pick-list.pdf", b"%PDF")):
        paper = house.call(admin, "GET", f"{made}/{file}")
        assert (paper.status_code, paper.json["kind"]) == (202, "paper"), paper.text
        got = house.call(admin, "GET", result_of(house, admin, paper))
        assert got.data.startswith(begins) and got.mimetype != "application/json"
    assert house.call(admin, "GET", made, headers={"Accept": XLSX}).status_code == 202
    assert house.call(admin, "GET", f"{made}/suppliers/nobody.pdf").status_code == 404


def result_of(house, key, asked):
    while work_once(house.context):
        pass
    done = house.call(key, "GET", asked.headers["Location"]).json
    assert done["state"] == "succeeded", done
    return done["links"]["result"]
