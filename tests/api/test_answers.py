"""Every answer with something in it is what the description says of it: nothing more, nothing less, nothing else.

Outside reference: jsonschema, which judges the answers by JSON Schema draft 2020-12, the dialect of OpenAPI 3.1.
"""

import re
from itertools import count

import pytest
from jsonschema import Draft202012Validator

from api_tests.posted import a_job, on_rails
from estimator.app import create_app, open_context
from estimator.contract.requests.queries import PARTS
from estimator.service.access import keys
from estimator.service.access.keys import FIRST_ORGANISATION
from estimator.settings import from_environment

NUMBERS = count(1)

EN = {"standard": "en1991", "wind_speed": 22.0, "terrain": "III", "mean_roof_height": 8000, "roof_form": "gable",
      "ground_snow": 850.0, "building": {"length": 30_000, "width": 12_000}}  # fmt: skip
JOBS = {"direct, spans given": a_job(), "rails, EN 1991": on_rails()}
JOBS["rails, EN 1991"]["site"] = {**JOBS["rails, EN 1991"]["site"], "loads": EN}
CHOICES = {"pricebook": "hanse-eu", "priced_on": "2026-11-25", "validity_days": 3650}


class Judge:
    """Calls the service in process and holds each answer to the description of its operation."""

    def __init__(self, app, token):
        self.client, self.headers = app.test_client(), {"Authorization": f"Bearer {token}"}
        self.described = app.test_client().get("/openapi.json").get_json()
        self.judged = set()

    def call(self, method, path, status, **more):
        headers = {**self.headers, **more.pop("headers", {})}
        answer = self.client.open(path, method=method, headers=headers, **more)
        assert answer.status_code == status, (path, answer.status_code, answer.text[:500])
        template, operation = self.operation(method, path.partition("?")[0])
        responses = operation["responses"][str(status)]
        if status != 304:
            shape = responses["content"][answer.mimetype]["schema"]
            whole = {**shape, "components": self.described["components"]}
            faults = list(Draft202012Validator(whole).iter_errors(answer.get_json()))
            assert not faults, (path, [(list(each.absolute_path), each.message[:200]) for each in faults[:5]])
        assert set(responses.get("headers", {})) <= set(answer.headers.keys()), (path, dict(answer.headers))
        self.judged.add((method, template))
        return answer

    def operation(self, method, path):
        for template, item in self.described["paths"].items():
            if re.fullmatch(re.sub(r"\\{\w+\\}|\{\w+\}", "[^/]+", template), path) and method.lower() in item:
                return template, item[method.lower()]
        raise AssertionError(f"{method} {path} is not described")


@pytest.fixture(scope="module")
def judges(tmp_path_factory):
    settings = from_environment(
        {
            "ESTIMATOR_DATA": str(tmp_path_factory.mktemp("judged")),
            "ESTIMATOR_RATE_BURST": "1000000",
            "ESTIMATOR_RATE_PER_SECOND": "1000000",
        }
    )
    context = open_context(settings)
    app = create_app(settings, context)
    yield {
        role: Judge(app, keys.create_key(context, FIRST_ORGANISATION, role, role)[0])
        for role in ("admin", "crm", "estimator", "purchasing")
    }
    context.engine.dispose()


def a_quote(judges, job, **choices):
    document = {**job, "reference": f"J-{next(NUMBERS)}"}
    posted = judges["crm"].call("POST", "/v1/jobs", 201, json=document).get_json()
    choices = {**CHOICES, **choices}
    return judges["estimator"].call("POST", f"/v1/jobs/{posted['id']}/quotes", 201, json=choices).get_json()


@pytest.mark.parametrize("name", JOBS)
def test_an_estimate_is_what_the_description_says(judges, name):
    asked = {"job": JOBS[name], "pricebook": "hanse-eu", "priced_on": "2026-11-25"}
    for role in ("crm", "estimator"):
        judges[role].call("POST", "/v1/estimates", 200, json=asked)


def test_a_quote_and_its_parts_are_what_the_description_says(judges):
    quote = a_quote(judges, JOBS["rails, EN 1991"])
    here = f"/v1/quotes/{quote['id']}"
    for role in (judges["estimator"], judges["crm"]):
        role.call("GET", f"{here}?include={','.join(PARTS)}", 200)
        for path in ("", "/comparison", *(f"/{each.replace('_', '-')}" for each in PARTS)):
            role.call("GET", here + path, 200)
        for path in ("/v1/quotes", "/v1/jobs", "/v1/pricebooks", f"/v1/jobs/{quote['job']}"):
            role.call("GET", path, 200)
    judges["estimator"].call("GET", f"{here}?include=nothing", 400)


def accepted(judges):
    """A quote with a failed check that is overridden, at the end of its life."""
    estimator = judges["estimator"]
    roof = {**JOBS["direct, spans given"]["roofs"][0], "keep_clear": {"eave": 1300}}
    quote = a_quote(judges, {**JOBS["direct, spans given"], "roofs": [roof]})
    here = f"/v1/quotes/{quote['id']}"
    etag = estimator.call("GET", here, 200).headers["ETag"]
    estimator.call("GET", here, 304, headers={"If-None-Match": etag})
    estimator.call("POST", f"{here}/issue", 409, json={}, headers={"If-Match": etag})
    standing = [each for each in quote["estimate"]["checks"] if each["severity"] == "error"]
    overrides = [{"code": each["code"], "place": each["place"], "reason": "agreed"} for each in standing]
    issued = estimator.call("POST", f"{here}/issue", 200, json={"overrides": overrides}, headers={"If-Match": etag})
    estimator.call("POST", f"{here}/accept", 412, headers={"If-Match": etag})
    estimator.call("POST", f"{here}/accept", 428)
    estimator.call("POST", f"{here}/accept", 200, headers={"If-Match": issued.headers["ETag"]})
    assert estimator.call("GET", here, 200).get_json()["overrides"]
    return quote["id"]


def test_the_life_of_a_quote_its_revision_and_its_order_are_what_the_description_says(judges):
    estimator, purchasing = judges["estimator"], judges["purchasing"]
    first = accepted(judges)
    other = estimator.call("POST", f"/v1/quotes/{first}/revise", 201, json={"margin": "0.33"}).get_json()
    for role in (estimator, judges["crm"]):
        role.call("GET", f"/v1/quotes/{other['id']}/differences?with={first}", 200)
    made = purchasing.call("POST", "/v1/order-lists", 201, json={"quotes": [first]}).get_json()
    purchasing.call("GET", f"/v1/order-lists/{made['id']}", 200)
    purchasing.call("GET", "/v1/order-lists", 200)
    purchasing.call("POST", "/v1/order-lists", 409, json={"quotes": [first]})


def test_a_workbook_sent_back_is_answered_as_the_description_says(judges):
    estimator = judges["estimator"]
    quote = a_quote(judges, JOBS["direct, spans given"], margin="0.31")
    workbook = estimator.client.get(f"/v1/quotes/{quote['id']}/workbook.xlsx", headers=estimator.headers)
    media = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    estimator.call(
        "POST", f"/v1/quotes/{quote['id']}/workbook", 422, data=workbook.data, headers={"Content-Type": media}
    )


def test_an_edition_and_a_cut_plan_are_what_the_description_says(judges):
    estimator = judges["estimator"]
    for each in estimator.call("GET", "/v1/pricebooks", 200).get_json()["items"]:
        estimator.call("GET", each["links"]["self"], 200)
    stocks, pieces = (
        [{"length": 6000, "price": "54.53"}],
        [{"length": 1722, "count": 40}, {"length": 900.05, "count": 3}],
    )
    estimator.call("POST", "/v1/cut-plans", 200, json={"kerf": 3, "stocks": stocks, "pieces": pieces})
    estimator.call("POST", "/v1/cut-plans", 422, json={"stocks": [], "pieces": pieces})


def test_refusals_are_what_the_description_says(judges):
    crm = judges["crm"]
    crm.call("POST", "/v1/jobs", 422, json={"reference": "R", "roofs": []})
    crm.call("POST", "/v1/jobs", 400, data=b"{", headers={"Content-Type": "application/json"})
    crm.call("POST", "/v1/jobs", 415, data=b"{}", headers={"Content-Type": "text/plain"})
    crm.call("GET", "/v1/quotes/0193a5c2-7b1e-7c3d-9f00-1a2b3c4d5e6f", 404)
    crm.call("GET", "/v1/jobs", 401, headers={"Authorization": "Bearer none"})
    crm.call("POST", "/v1/cut-plans", 403, json={})
