"""A quote's life: drafted, issued, accepted or declined, revised; what is issued never changes."""

from decimal import Decimal

from api_tests.posted import a_job, changed


def draft(estimator, job=None, **choices):
    posted = estimator.post_job(job or a_job())
    quoted = estimator.quote_job(posted.json()["id"], **choices)
    assert quoted.status_code == 201, quoted.text
    return quoted


def test_a_quote_is_priced_by_its_choices(estimator):
    plain = draft(estimator, margin="0.20").json()
    dearer = draft(estimator, margin="0.40").json()
    assert plain["state"] == "draft"
    assert plain["number"].startswith("Q-")
    assert plain["revision"] == 1
    parts = [Decimal(each["estimate"]["totals"]["parts"]) for each in (plain, dearer)]
    assert parts[1] > parts[0]
    assert dearer["estimate"]["totals"]["pricing_rate"] == "0.40"


def test_validity_is_as_long_as_asked(estimator):
    quote = draft(estimator, validity_days=10, priced_on="2026-11-25").json()
    assert quote["valid_until"] == "2026-12-05"


def test_a_draft_is_issued_and_accepted_and_each_step_needs_the_version(estimator):
    quote = draft(estimator)
    quote_id, etag = quote.json()["id"], quote.headers["ETag"]
    assert estimator.accept(quote_id, etag).status_code == 409
    assert estimator.issue(quote_id).status_code == 428
    assert estimator.issue(quote_id, '"v9"').status_code == 412
    issued = estimator.issue(quote_id, etag)
    assert issued.json()["state"] == "issued"
    assert estimator.issue(quote_id, issued.headers["ETag"]).status_code == 409
    assert estimator.accept(quote_id, etag).status_code == 412
    accepted = estimator.accept(quote_id, issued.headers["ETag"])
    assert accepted.json()["state"] == "accepted"
    assert estimator.decline(quote_id, accepted.headers["ETag"]).status_code == 409
    listed = estimator.quotes(state="accepted").json()["items"]
    assert quote_id in {each["id"] for each in listed}


def test_a_declined_quote_is_not_accepted_afterwards(estimator):
    quote = draft(estimator)
    issued = estimator.issue(quote.json()["id"], quote.headers["ETag"])
    declined = estimator.decline(quote.json()["id"], issued.headers["ETag"])
    assert declined.json()["state"] == "declined"
    assert estimator.accept(quote.json()["id"], declined.headers["ETag"]).status_code == 409


def test_failed_checks_keep_a_quote_from_being_issued_until_each_is_overridden_by_name(estimator):
    quote = draft(estimator, changed("/roofs/0/keep_clear", {"eave": 1300}))
    quote_id, etag = quote.json()["id"], quote.headers["ETag"]
    refused = estimator.issue(quote_id, etag)
    assert refused.status_code == 409
    assert refused.json()["type"] == "/problems/checks-stand"
    standing = refused.json()["checks"]
    assert standing
    wrong = estimator.issue(quote_id, etag, overrides=[{"code": "no_such", "place": {}, "reason": "because"}])
    assert wrong.status_code == 422
    nameless = estimator.issue(
        quote_id, etag, overrides=[{"code": standing[0]["code"], "place": standing[0]["place"], "reason": ""}]
    )
    assert nameless.status_code == 422
    overrides = [
        {"code": each["code"], "place": each["place"], "reason": "agreed with the roofer on site"} for each in standing
    ]
    issued = estimator.issue(quote_id, etag, overrides=overrides)
    assert issued.status_code == 200, issued.text
    whole = estimator.quote(quote_id).json()
    assert {each["reason"] for each in whole["overrides"]} == {"agreed with the roofer on site"}
    assert {each["by"] for each in whole["overrides"]} == {"estimator"}


def test_an_issued_quote_stays_as_it_is_when_its_job_changes(estimator):
    job = a_job()
    quote = draft(estimator, job)
    quote_id = quote.json()["id"]
    estimator.issue(quote_id, quote.headers["ETag"])
    before = estimator.quote(quote_id).json()["estimate"]
    pdf = estimator.document(quote_id, "quote.pdf").content
    job_id = quote.json()["job"]
    etag = estimator.job(job_id).headers["ETag"]
    assert estimator.change_job(job_id, {"title": "Another title"}, etag).status_code == 200
    assert estimator.quote(quote_id).json()["estimate"] == before
    assert estimator.document(quote_id, "quote.pdf").content == pdf


def test_a_revision_keeps_the_number_and_says_what_changed(estimator):
    first = draft(estimator, margin="0.25")
    job = a_job()
    array = {**job["roofs"][0]["arrays"][0], "columns": 6}
    roofs = [{**job["roofs"][0], "arrays": [array]}]
    second = estimator.revise(first.json()["id"], margin="0.30", job={"roofs": roofs})
    assert second.status_code == 201, second.text
    assert second.json()["number"] == first.json()["number"]
    assert second.json()["revision"] == 2
    assert second.json()["revises"] == first.json()["id"]
    changes = estimator.differences(second.json()["id"], first.json()["id"]).json()
    assert {"place": "/roofs/0/arrays/0/columns", "before": 5, "after": 6} in changes["inputs"]
    assert {"place": "/margin", "before": "0.25", "after": "0.30"} in changes["choices"]
    assert {"place": "/modules", "before": 10, "after": 12} in changes["counts"]
    assert any(each["place"] == "/total" for each in changes["totals"])
    assert changes["lines"]
    assert estimator.quote(first.json()["id"]).json()["revision"] == 1


def test_an_old_revision_is_not_accepted_once_a_newer_one_is_issued(estimator):
    first = draft(estimator)
    issued = estimator.issue(first.json()["id"], first.headers["ETag"])
    second = estimator.revise(first.json()["id"], margin="0.33")
    estimator.issue(second.json()["id"], second.headers["ETag"])
    assert estimator.accept(first.json()["id"], issued.headers["ETag"]).status_code == 412
    shown = estimator.quote(first.json()["id"])
    assert shown.json()["state"] == "superseded"
    late = estimator.accept(first.json()["id"], shown.headers["ETag"])
    assert late.status_code == 409


def test_the_comparison_shows_the_other_ways(estimator):
    quote = draft(estimator).json()
    comparison = estimator.comparison(quote["id"]).json()
    assert comparison["aluminium"]["total"] == quote["total"]
    subjects = {each["subject"] for each in comparison["others"]}
    assert "bracket" in subjects or comparison["why_not"]
    assert "arrangement" in subjects or comparison["why_not"]


def test_a_quote_of_no_job_is_not_made(estimator):
    assert estimator.quote_job("01a212e1-1998-758d-86f9-879fdfdc62f7").status_code == 404
