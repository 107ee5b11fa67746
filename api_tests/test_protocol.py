"""HTTP itself: methods, headers, traces, health, description, problem pages; texts that try to be more than texts."""

import io
import re
import zipfile
from pathlib import Path

import pytest

from api_tests.client import XLSX
from api_tests.posted import a_job

PAYLOADS = [
    "=cmd|' /C calc'!A0",
    "+1+1",
    "-2+3",
    "@SUM(A1)",
    "<script>alert(1)</script>",
    "<b>bold",
    "<img src='file:///etc/passwd'/>",
    "]]> & \" '",
    "{{ 7*7 }}",
    "%s %(x)s {0}",
    "'; DROP TABLE job; --",
    "Łódź Ωμέγα Москва",
]


@pytest.mark.parametrize("payload", PAYLOADS)
def test_a_text_stays_a_text_in_every_form(estimator, payload):
    job = a_job(title=payload)
    job["customer"]["name"] = payload
    job["roofs"][0]["name"] = payload
    posted = estimator.post_job(job)
    assert posted.status_code == 201, posted.text
    assert estimator.job(posted.json()["id"]).json()["job"]["title"] == payload
    quote = estimator.quote_job(posted.json()["id"]).json()
    assert quote["estimate"]["title"] == payload
    for name in ("quote.pdf", "plan.svg", "plan.dxf", "setting-out.pdf", "workbook.xlsx", "quotation.xml"):
        document = estimator.document(quote["id"], name)
        assert document.status_code == 200, (name, document.text)
        if name in {"plan.svg", "quotation.xml"}:
            assert b"<script" not in document.content
            assert b"<img" not in document.content


def test_methods_that_do_not_serve_are_told_with_those_that_do(estimator):
    answer = estimator.call("DELETE", "/v1/jobs")
    assert answer.status_code == 405
    assert {"GET", "POST"} <= set(answer.headers["Allow"].split(", "))
    assert estimator.call("OPTIONS", "/v1/jobs").status_code == 200
    head = estimator.call("HEAD", "/v1/jobs")
    assert head.status_code == 200
    assert head.content == b""


def test_an_address_that_is_not_there_is_a_problem(estimator):
    answer = estimator.get("/v1/nothing")
    assert answer.status_code == 404
    assert answer.json()["type"] == "/problems/not-found"


def test_the_request_id_is_the_callers_or_the_traces_or_a_new_one(estimator):
    named = estimator.get("/v1/jobs", headers={"X-Request-ID": "crm-4711"})
    assert named.headers["X-Request-ID"] == "crm-4711"
    trace = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"
    traced = estimator.get("/v1/nothing", headers={"traceparent": trace})
    assert traced.headers["traceparent"] == trace
    assert traced.json()["request_id"] == "4bf92f3577b34da6a3ce929d0e0e4736"
    hostile = estimator.get("/v1/jobs", headers={"X-Request-ID": "x" * 500})
    assert re.fullmatch("[0-9a-f]{32}", hostile.headers["X-Request-ID"])


# Source: W3C Server Timing, section 3: name;dur=milliseconds;desc="text", separated by commas.
def test_an_answer_tells_where_its_time_went(estimator):
    entry = re.compile(r'([a-z]+);dur=([0-9]+\.[0-9]);desc="[^"]+"')
    listed = estimator.get("/v1/jobs").headers["Server-Timing"]
    assert [entry.fullmatch(each)[1] for each in listed.split(", ")] == ["total", "cpu"]
    made = estimator.estimate(a_job()).headers["Server-Timing"]
    spent = {found[1]: float(found[2]) for found in map(entry.fullmatch, made.split(", "))}
    assert 0 < spent["estimate"] <= spent["total"]
    assert "Server-Timing" in estimator.get("/v1/nothing").headers


def test_health_needs_no_key_and_tells_no_detail(nobody):
    assert nobody.get("/livez").json() == {"status": "alive"}
    assert nobody.get("/readyz").json() == {"status": "ready"}
    metrics = nobody.get("/metrics").text
    assert 'route="/v1/jobs"' in metrics
    assert "organisation" not in metrics
    assert not re.search(r"\best_[0-9a-z]{10}", metrics)


def test_the_description_is_openapi_and_its_page_needs_no_other_host(nobody):
    description = nobody.description()
    assert description["openapi"].startswith("3.1")
    for path in ("/v1/estimates", "/v1/jobs", "/v1/quotes/{quote_id}", "/v1/order-lists", "/v1/cut-plans"):
        assert path in description["paths"]
    for address in ("/docs", "/"):
        page = nobody.get(address)
        assert page.status_code == 200
        assert "script-src 'self';" in page.headers["Content-Security-Policy"]
        assert not re.search(r"(src|href)=[\"'](https?:)?//", page.text)
        assert "<script" not in page.text
        for link in re.findall(r'(?:src|href)="(/[^"#]*)"', page.text):
            assert nobody.get(link).status_code == 200, link


def test_every_type_of_problem_is_explained_where_it_points(nobody):
    listed = nobody.get("/problems", accept="application/json").json()
    assert len(listed) > 15
    for each in listed:
        page = nobody.get(each["type"])
        assert page.status_code == 200
        assert each["title"].split(" ")[0] in page.text


def test_answers_carry_the_headers_that_keep_browsers_in_check(nobody):
    for path in ("/livez", "/v1/jobs", "/docs", "/problems"):
        headers = nobody.get(path).headers
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert "default-src 'none'" in headers["Content-Security-Policy"]
        assert "Access-Control-Allow-Origin" not in headers


def test_pricebooks_are_listed_and_an_upload_is_checked_whole(clients, crm):
    listed = crm.pricebooks().json()["items"]
    assert {each["id"] for each in listed} >= {"hanse-eu", "prairie-us"}
    one = crm.get(listed[0]["links"]["self"])
    assert one.json()["sha256"] == listed[0]["sha256"]
    broken = clients["pricing"].upload(b"PK\x03\x04 no archive")
    assert broken.status_code == 422
    assert broken.json()["type"] == "/problems/invalid-pricebook"
    wrong = clients["pricing"].call("POST", "/v1/pricebooks", data=b"x", headers={"Content-Type": XLSX})
    assert wrong.status_code == 415


def test_an_uploaded_edition_serves_its_own_house_only(clients, service):
    pricing, stranger = clients["pricing"], clients["stranger"]
    archive = _renamed_edition(service.environment["ESTIMATOR_PRICEBOOKS"])
    made = pricing.upload(archive, once="upload-1")
    assert made.status_code == 201, made.text
    assert pricing.upload(archive, once="upload-1").content == made.content
    assert pricing.upload(archive).status_code == 201
    assert "ours" in {each["id"] for each in pricing.pricebooks().json()["items"]}
    assert "ours" not in {each["id"] for each in stranger.pricebooks().json()["items"]}
    estimate = clients["estimator"].estimate(a_job(), pricebook="ours").json()
    assert estimate["provenance"]["pricebook"] == "ours"
    changed = pricing.upload(_renamed_edition(service.environment["ESTIMATOR_PRICEBOOKS"], title="Changed"))
    assert changed.status_code == 409


def _renamed_edition(books, title="Ours"):
    folder = Path(books) / "hanse-eu" / "2026-12"
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for path in sorted(folder.iterdir()):
            content = path.read_text(encoding="utf-8")
            if path.name == "book.toml":
                content = re.sub(r"(?m)^id *=.*$", 'id = "ours"', content)
                content = re.sub(r"(?m)^title *=.*$", f'title = "{title}"', content)
            archive.writestr(zipfile.ZipInfo(path.name), content)
    return stream.getvalue()
