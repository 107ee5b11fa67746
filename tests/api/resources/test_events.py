"""Events and webhooks over HTTP: read on by cursor, told with secrets shown once, logged, and what lists call new."""

import pytest

from api_tests.posted import a_job
from tests.api.house import House

HOOK = {"url": "https://crm.example.org/hooks", "kinds": ["job.posted"]}


@pytest.fixture
def house(tmp_path):
    made = House(tmp_path)
    yield made
    made.close()


def test_a_client_reads_on_where_it_stopped(house):
    crm = house.key("crm")
    nothing = house.call(crm, "GET", "/v1/events").get_json()
    assert nothing["items"] == []
    posted = [house.call(crm, "POST", "/v1/jobs", json=a_job()).get_json()["id"] for _ in range(3)]
    first = house.call(crm, "GET", nothing["next"] + "&limit=2").status_code
    assert first == 422
    page = house.call(crm, "GET", "/v1/events?limit=2&kind=job.posted").get_json()
    rest = house.call(crm, "GET", page["next"]).get_json()
    assert [each["data"]["job"] for each in page["items"] + rest["items"]] == posted
    assert house.call(crm, "GET", rest["next"]).get_json()["items"] == []
    posted.append(house.call(crm, "POST", "/v1/jobs", json=a_job()).get_json()["id"])
    later = house.call(crm, "GET", rest["next"]).get_json()["items"]
    assert [each["data"]["job"] for each in later] == posted[3:]
    moment = later[0]["timestamp"]
    for told in (f"since={moment}", f"updated_since={moment}", f"since=2020-01-01T00:00:00Z&updated_since={moment}"):
        assert house.call(crm, "GET", f"/v1/events?{told}").get_json()["items"] == later
    assert house.call(crm, "GET", "/v1/events?kind=job.eaten").status_code == 422


def test_a_webhook_is_made_shown_and_ended_and_its_secret_told_once(house):
    crm = house.key("crm")
    once = {"json": HOOK, "headers": {"Idempotency-Key": "hook"}}
    made = house.call(crm, "POST", "/v1/webhooks", **once).get_json()
    assert made["secret"].startswith("whsec_")
    assert house.call(crm, "POST", "/v1/webhooks", **once).get_json() == {**made, "secret": None}
    here = f"/v1/webhooks/{made['id']}"
    assert "secret" not in house.call(crm, "GET", here).get_json()
    job = house.call(crm, "POST", "/v1/jobs", json=a_job()).get_json()
    log = house.call(crm, "GET", f"{here}/deliveries").get_json()["items"]
    assert [(each["type"], each["subject"], each["state"]) for each in log] == [("job.posted", job["id"], "pending")]
    since = {"updated_since": "2999-01-01T00:00:00Z"}
    assert house.call(crm, "GET", f"{here}/deliveries", query_string=since).get_json()["items"] == []
    again = house.call(crm, "POST", f"{here}/deliveries/{log[0]['id']}/redeliver")
    assert again.get_json()["state"] == "pending"
    assert house.call(crm, "POST", f"{here}/rotate-secret").get_json()["secret"] != made["secret"]
    assert house.call(crm, "DELETE", here).get_json()["state"] == "ended"
    assert house.call(crm, "GET", f"{here}/deliveries").get_json()["items"][0]["state"] == "given_up"
    assert house.call(crm, "POST", f"{here}/rotate-secret").status_code == 409
    inside = house.call(crm, "POST", "/v1/webhooks", json={"url": "https://169.254.169.254/latest"})
    assert inside.get_json()["errors"][0]["pointer"] == "/url"


LISTS = ("jobs", "quotes", "order-lists", "keys", "webhooks", "operations", "pricebooks", "events", "audit")


@pytest.mark.parametrize("path", [f"/v1/{each}" for each in LISTS])
def test_every_list_tells_what_is_new(house, path):
    admin = house.key("admin")
    for method, asked in (("/v1/jobs", a_job()), ("/v1/webhooks", HOOK)):
        house.call(admin, "POST", method, json=asked)
    everything = house.call(admin, "GET", path).get_json()["items"]
    since_ever = house.call(admin, "GET", f"{path}?updated_since=2020-01-01T00:00:00Z")
    assert since_ever.get_json()["items"] == everything
    later = house.call(admin, "GET", f"{path}?updated_since=2999-01-01T00:00:00%2B01:00")
    assert (later.status_code, later.get_json()["items"]) == (200, [])
    assert house.call(admin, "GET", f"{path}?updated_since=yesterday").status_code == 422


def test_every_list_of_the_description_takes_the_moment(house):
    described = house.client.get("/openapi.json").get_json()
    schemas = described["components"]["schemas"]
    lists = {}
    for path, item in described["paths"].items():
        told = item.get("get", {}).get("responses", {}).get("200", {}).get("content", {}).get("application/json", {})
        name = told.get("schema", {}).get("$ref", "").rpartition("/")[2]
        if "items" in schemas.get(name, {}).get("properties", {}):
            lists[path] = {each["name"] for each in item["get"]["parameters"] if each["in"] == "query"}
    assert set(lists) == {*(f"/v1/{each}" for each in LISTS), "/v1/webhooks/{webhook_id}/deliveries"}
    assert all("updated_since" in told for told in lists.values())


def test_the_description_names_every_event(house):
    described = house.client.get("/openapi.json").get_json()
    assert {"job.posted", "quote.issued", "quote.expired", "operation.finished"} <= set(described["webhooks"])
    assert "quote.issued" in next(each["description"] for each in described["tags"] if each["name"] == "Events")
