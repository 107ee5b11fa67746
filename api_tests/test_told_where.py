"""Doubts are told before a pricebook is chosen; a paper gives the edition it offers; titles of problems fit."""

import copy

import pytest

from api_tests.posted import a_job


def a_job_of(country, units):
    job = copy.deepcopy(a_job())
    job["display_units"] = units
    for party in (job["site"], job["customer"]):
        party["address"] = {"country": country} if country else {}
    return job


@pytest.mark.parametrize(
    ("country", "units", "codes"),
    [
        ("", "metric", ["country_not_given"]),
        ("DE", "us", ["units_of_another_system"]),
        ("US", "metric", ["units_of_another_system"]),
        ("US", "both", []),
        ("CA", "us", []),  # both systems are in use there
        ("DE", "metric", []),
    ],
)
def test_a_doubtful_country_or_system_of_units_is_told_when_a_job_is_posted(crm, estimator, country, units, codes):
    job = a_job_of(country, units)
    posted = crm.post_job(job)
    assert posted.status_code == 201, posted.text
    assert [each["code"] for each in posted.json()["warnings"]] == codes
    told = estimator.estimate(job, pricebook="hanse-eu").json()["checks"]
    known = {"country_not_given", "units_of_another_system"}
    assert [each["code"] for each in told if each["code"] in known] == codes


@pytest.fixture(scope="module")
def quote(estimator):
    return estimator.quote_job(estimator.post_job(a_job()).json()["id"]).json()["id"]


@pytest.mark.parametrize("name", ["quote.pdf", "plan.svg", "saw-list.csv"])
def test_a_paper_with_one_edition_refuses_another(estimator, quote, name):
    assert estimator.document(quote, name, edition="customer").status_code == 200
    refused = estimator.document(quote, name, edition="estimator")
    assert refused.status_code == 422
    assert refused.json()["errors"][0]["pointer"] == "/edition"
    assert "customer" in refused.json()["errors"][0]["allowed"]


def test_by_accept_the_edition_is_refused_likewise(estimator, quote):
    assert estimator.quote(quote, "application/pdf", edition="estimator").status_code == 422
    assert estimator.quote(quote, "application/pdf", edition="customer").status_code == 200


def test_titles_of_problems_fit_their_cause(estimator):
    job = a_job()
    high = copy.deepcopy(job)
    high["roofs"][0]["ribs"]["height"] = 250
    causes = {
        "invalid-choice": {**job, "customer": {**job["customer"], "tier": "moon"}},
        "no-mounting": high,
        "no-loads": {**job, "site": {**job["site"], "loads": {"standard": "en1991", "roof_form": "gable"}}},
    }
    answers = {kind: estimator.estimate(each) for kind, each in causes.items()}
    assert {kind: answer.json().get("type") for kind, answer in answers.items()} == {
        kind: f"/problems/{kind}" for kind in causes
    }
