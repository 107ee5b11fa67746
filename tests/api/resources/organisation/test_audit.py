"""The audit log over HTTP: for admins, with the caller's address, as JSON and as CSV that no spreadsheet runs."""

import csv
import io

import pytest

from api_tests.posted import a_job
from tests.api.house import House

CHOICES = {"pricebook": "hanse-eu", "priced_on": "2026-11-25", "validity_days": 3650}


@pytest.fixture
def house(tmp_path):
    made = House(tmp_path)
    yield made
    made.close()


def test_a_house_puts_limits_in_approves_and_exports_who_did_what(house):
    admin, ann = house.key("admin"), house.key("estimator", name="=1+1")
    shown = house.call(admin, "GET", "/v1/policy")
    assert shown.get_json()["limits"] == {}
    limits = {"limits": {"estimator": {"most_discount": "0.05"}}}
    assert house.call(admin, "PATCH", "/v1/policy", json=limits).status_code == 428
    changed = house.call(admin, "PATCH", "/v1/policy", json=limits, headers={"If-Match": shown.headers["ETag"]})
    assert changed.get_json() == {**limits, "editions_need_approval": False, "version": 2}
    assert house.call(ann, "PATCH", "/v1/policy", json=limits).status_code == 403
    wrong = house.call(admin, "PATCH", "/v1/policy", json={"limits": {"owner": {}}}, headers={"If-Match": '"v2"'})
    assert [each["pointer"] for each in wrong.get_json()["errors"]] == ["/limits/owner"]

    job = house.call(ann, "POST", "/v1/jobs", json=a_job()).get_json()
    quote = house.call(ann, "POST", f"/v1/jobs/{job['id']}/quotes", json={**CHOICES, "discount": "0.2"})
    here, etag = f"/v1/quotes/{quote.get_json()['id']}", quote.headers["ETag"]
    assert quote.get_json()["needs_approval"] is True
    refused = house.call(ann, "POST", f"{here}/issue", json={}, headers={"If-Match": etag})
    assert (refused.status_code, refused.get_json()["type"]) == (409, "/problems/needs-approval")
    reason = {"reason": "the customer of many years"}
    own = house.call(ann, "POST", f"{here}/approve", json=reason, headers={"If-Match": etag})
    assert own.status_code == 403
    approved = house.call(admin, "POST", f"{here}/approve", json=reason, headers={"If-Match": etag})
    assert approved.get_json()["approvals"][0]["by"] == "admin"
    issued = house.call(ann, "POST", f"{here}/issue", json={}, headers={"If-Match": approved.headers["ETag"]})
    assert issued.get_json()["state"] == "issued"
    assert house.call(ann, "GET", here).get_json()["approvals"] == approved.get_json()["approvals"]
    assert house.call(ann, "GET", f"{here}/quote.pdf").status_code == 200

    assert house.call(ann, "GET", "/v1/audit").status_code == 403
    page = house.call(admin, "GET", "/v1/audit?limit=200&since=2026-01-01T00:00:00Z").get_json()["items"]
    exported = next(each for each in page if each["action"] == "document.exported")
    assert exported["detail"]["path"].endswith("quote.pdf")
    assert exported["address"] == "127.0.0.1"
    assert {"key.used", "policy.changed", "quote.approved", "quote.issued"} <= {each["action"] for each in page}
    some = house.call(admin, "GET", f"/v1/audit?limit=1&thing={quote.get_json()['id']}").get_json()
    assert house.call(admin, "GET", some["next"]).status_code == 200

    answer = house.call(admin, "GET", "/v1/audit.csv")
    rows = list(csv.DictReader(io.StringIO(answer.data.decode("utf-8-sig"))))
    assert [each["action"] for each in rows][-1] == "audit.exported"
    assert {each["who"] for each in rows} == {"command line", "admin", "'=1+1"}
    assert len(rows) == len(page) + 1
