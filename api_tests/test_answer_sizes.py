"""Answers of a size a CRM can use: a summary, parts where they are asked for, compressed where the client takes it."""

import gzip
import json

import pytest

from api_tests.posted import ARRAY, a_job, on_rails

PARTS = {
    "runs": "roofs",
    "loads": "loads",
    "reactions": "reactions",
    "cut_plan": "cut_plan",
    "derivations": "derivations",
    "choices": "choices",
    "all_checks": "all_checks",
}
MOST = 20_000
"""Bytes of a summary at 417 modules."""


def a_hall(job):
    """A job of 420 modules on one roof."""
    roof = {**job["roofs"][0], "eave_length": 70_000, "slope_length": 30_000}
    roof["arrays"] = [{**ARRAY, "rows": 10, "columns": 42, "omit": []}]
    return {**job, "roofs": [roof]}


def a_quote(estimator, job=None):
    posted = estimator.post_job(job or on_rails())
    quoted = estimator.quote_job(posted.json()["id"])
    assert quoted.status_code == 201, quoted.text
    return quoted.json()


EN = {"standard": "en1991", "wind_speed": 25.0, "terrain": "II", "mean_roof_height": 9000, "roof_form": "gable",
      "ground_snow": 1500.0, "building": {"length": 95_000, "width": 130_000}}  # fmt: skip


def on_weak_rails():
    """Rails whose every line fails a check."""
    job = on_rails()
    job["site"] = {**job["site"], "loads": EN}
    return job


def a_hall_of_rows(job):
    """The same, every row an array of its own length, in units of both systems: many checks, long texts."""
    roof = {**job["roofs"][0], "eave_length": 90_000, "slope_length": 60_000}
    widths = [7 + 5 * at for at in range(1, 8)] + [40 - at for at in range(5)] + [3]
    rows = [{**ARRAY, "name": f"R{at}", "y": 1000 + 2400 * at, "rows": 1, "columns": columns, "omit": []}
            for at, columns in enumerate(widths)]  # fmt: skip
    rows.append({**rows[-1], "name": "last", "y": 1000 + 2400 * len(rows), "columns": 420 - sum(widths)})
    return {**job, "display_units": "both", "roofs": [{**roof, "arrays": rows}]}


@pytest.mark.parametrize("hall", [a_hall, a_hall_of_rows])
@pytest.mark.parametrize("job", [a_job, on_weak_rails])
def test_a_quote_of_417_modules_answers_within_20_kilobytes(estimator, crm, job, hall):
    quote = a_quote(estimator, hall(job()))
    for client in (estimator, crm):
        answer = client.quote(quote["id"])
        assert len(answer.content) <= MOST
        estimate = answer.json()["estimate"]
        assert estimate["counts"]["modules"] == 420
        assert {"totals", "lines", "checks", "counts"} <= set(estimate)
        assert sum(estimate["check_counts"].values()) >= len(estimate["checks"])
        assert not set(PARTS.values()) & set(estimate)


@pytest.mark.parametrize("name", PARTS)
def test_a_part_is_told_where_it_is_asked_for_and_on_its_own(estimator, name):
    quote = a_quote(estimator)
    estimate = estimator.quote(quote["id"], include=name).json()["estimate"]
    assert set(PARTS.values()) & set(estimate) == {PARTS[name]}
    alone = estimator.get(f"/v1/quotes/{quote['id']}/{name.replace('_', '-')}")
    assert alone.json() == {PARTS[name]: estimate[PARTS[name]]}
    known = estimator.get(
        f"/v1/quotes/{quote['id']}/{name.replace('_', '-')}", headers={"If-None-Match": alone.headers["ETag"]}
    )
    assert (known.status_code, known.content) == (304, b"")


def test_several_parts_are_told_together_and_are_those_of_an_estimate(estimator):
    job = on_rails()
    quote = a_quote(estimator, job)
    quoted = estimator.quote(quote["id"], include="loads,runs,cut_plan,choices").json()["estimate"]
    whole = estimator.estimate(job).json()
    for name in ("loads", "roofs", "choices"):
        assert quoted[name] == whole[name]
    assert quoted["cut_plan"]["pieces"] == whole["cut_plan"]["pieces"]


@pytest.mark.parametrize("include", ["nothing", "runs,nothing", "", "runs,,loads", "Runs"])
def test_a_part_that_there_is_not_is_told(estimator, include):
    quote = a_quote(estimator)
    refused = estimator.quote(quote["id"], include=include)
    assert refused.status_code == 400
    assert refused.json()["type"] == "/problems/unknown-part"
    assert "cut_plan" in refused.json()["errors"][0]["allowed"]


def test_a_side_tells_some_failed_checks_and_how_many_there_are(estimator):
    quote = a_quote(estimator, a_hall_of_rows(on_weak_rails()))
    whole = estimator.get(f"/v1/quotes/{quote['id']}/comparison").json()
    for material in ("aluminium", "steel"):
        brief, full = quote["estimate"]["comparison"][material], whole[material]
        assert brief["error_count"] == len(full["errors"]) > len(brief["errors"])
        assert brief["errors"] == full["errors"][: len(brief["errors"])]


def test_an_estimate_stays_whole(estimator):
    whole = estimator.estimate(on_rails()).json()
    assert {"roofs", "loads", "cut_plan", "choices", "comparison"} <= set(whole)
    assert all(line["why"] for line in whole["lines"])


def test_a_long_answer_is_compressed_where_the_client_takes_it(estimator):
    quote = a_quote(estimator)
    address = f"/v1/quotes/{quote['id']}"
    plain = estimator.get(address, headers={"Accept-Encoding": "identity"})
    assert "Content-Encoding" not in plain.headers
    packed = estimator.get(address, headers={"Accept-Encoding": "gzip"}, stream=True)
    raw = packed.raw.read(decode_content=False)
    assert packed.headers["Content-Encoding"] == "gzip"
    assert json.loads(gzip.decompress(raw)) == plain.json()
    assert len(raw) < len(plain.content) / 2
    assert "Accept-Encoding" in packed.headers["Vary"]
    assert packed.headers["ETag"] != plain.headers["ETag"]
    for known in (packed.headers["ETag"], plain.headers["ETag"]):
        assert estimator.get(address, headers={"If-None-Match": known}).status_code == 304


def test_the_etag_of_a_compressed_answer_serves_for_a_change(estimator):
    quote = a_quote(estimator)
    packed = estimator.get(f"/v1/quotes/{quote['id']}", headers={"Accept-Encoding": "gzip"})
    assert estimator.issue(quote["id"], packed.headers["ETag"]).status_code == 200
    assert estimator.issue(quote["id"], packed.headers["ETag"]).status_code == 412
