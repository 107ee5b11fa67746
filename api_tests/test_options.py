"""Up to three ways on one quote: the acceptance names one, orders and the crew's papers follow it."""

import pytest

from api_tests.posted import a_job

OTHER = {"title": "On steel rails", "material": "steel", "arrangement": "rail_on_side"}
ALIKE = {"material": "steel"}


@pytest.fixture(scope="module")
def issued(estimator):
    """An issued quote with options A and B, its answer as it was drafted, and its ETag."""
    job = {**a_job(), "mounting": {**a_job()["mounting"], "material": "aluminium"}}
    asked = {"options": [OTHER], "prepared_by": "A. Miller", "notes": "Rear gate"}
    drafted = estimator.quote_job(estimator.post_job(job).json()["id"], **asked)
    assert drafted.status_code == 201, drafted.text
    answer = estimator.issue(drafted.json()["id"], drafted.headers["ETag"])
    assert answer.status_code == 200, answer.text
    return drafted.json(), answer.headers["ETag"]


def test_the_options_stand_side_by_side(issued):
    options = issued[0]["estimate"]["options"]
    assert [(each["option"], each["material"]) for each in options] == [("A", "aluminium"), ("B", "steel")]
    assert options[0]["total"] == issued[0]["total"]
    assert options[1]["title"] == "On steel rails"


def test_an_acceptance_names_the_option_and_orders_and_papers_follow_it(estimator, purchasing, issued):
    quote, etag = issued
    here = f"/v1/quotes/{quote['id']}"
    first = estimator.get(f"{here}/plan.dxf").content
    unnamed = estimator.post(f"{here}/accept", etag=etag)
    assert (unnamed.status_code, unnamed.json()["type"]) == (422, "/problems/option-unknown")
    assert unnamed.json()["errors"][0]["allowed"] == "A, B"
    assert estimator.post(f"{here}/accept", {"option": "C"}, etag=etag).status_code == 422
    accepted = estimator.post(f"{here}/accept", {"option": "B"}, etag=etag)
    assert accepted.status_code == 200, accepted.text
    wanted = quote["estimate"]["options"][1]
    assert (accepted.json()["accepted_option"], accepted.json()["total"]) == ("B", wanted["total"])
    assert estimator.get(f"{here}/plan.dxf").content != first
    ordered = purchasing.order(quote["id"])
    assert ordered.status_code == 201, ordered.text
    lines = [line for each in ordered.json()["suppliers"] for line in each["lines"]]
    assert wanted["bracket"] in {line["part"] for line in lines}
    assert quote["estimate"]["options"][0]["bracket"] not in {line["part"] for line in lines}


def test_an_option_that_would_be_built_alike_is_refused(estimator):
    refused = estimator.estimate({**a_job(), "mounting": {**a_job()["mounting"], "material": "steel"}}, options=[ALIKE])
    assert refused.status_code == 422
    assert refused.json()["errors"][0]["pointer"] == "/options/0"


def test_an_alternate_stands_beside_the_total_or_in_it(estimator):
    """By hand: the total of the parts rises by the price of the alternate, and by nothing else."""
    job = {**a_job(), "mounting": {**a_job()["mounting"], "material": "aluminium"}}
    part = {"part": "HB-ECS", "quantity": 50}
    beside = estimator.estimate(job, alternates=[part]).json()
    within = estimator.estimate(job, alternates=[{**part, "included": True}]).json()
    (alternate,) = beside["alternates"]
    assert (alternate["part"], alternate["quantity"], within["alternates"]) == ("HB-ECS", 50, [])
    cents = {name: round(float(each["totals"]["parts"]) * 100) for name, each in (("b", beside), ("w", within))}
    assert cents["w"] - cents["b"] == round(float(alternate["price"]) * 100)
