"""Documents by Accept and by plain address: named, hashed, the same bytes for the same content."""

import base64
import hashlib

import pytest

from api_tests.client import JSON, XLSX
from api_tests.posted import on_rails

KINDS = [
    ("quote.pdf", "application/pdf", b"%PDF-"),
    ("plan.svg", "image/svg+xml", b"<"),
    ("plan.dxf", "image/vnd.dxf", b"  0"),
    ("workbook.xlsx", XLSX, b"PK"),
    ("setting-out.pdf", "application/pdf", b"%PDF-"),
    ("saw-list.pdf", "application/pdf", b"%PDF-"),
]


@pytest.fixture(scope="module")
def quote(estimator):
    posted = estimator.post_job(on_rails(title="Größe = 1"))
    return estimator.quote_job(posted.json()["id"]).json()


@pytest.mark.parametrize(("name", "media", "begins"), KINDS)
def test_a_document_has_a_name_a_digest_and_the_same_bytes_each_time(estimator, quote, name, media, begins):
    answer = estimator.document(quote["id"], name)
    assert answer.status_code == 200
    assert answer.headers["Content-Type"].startswith(media)
    assert answer.content.startswith(begins)
    assert "filename*=UTF-8''" in answer.headers["Content-Disposition"]
    digest = base64.b64encode(hashlib.sha256(answer.content).digest()).decode()
    assert answer.headers["Repr-Digest"] == f"sha-256=:{digest}:"
    again = estimator.document(quote["id"], name)
    assert again.content == answer.content
    address = f"/v1/quotes/{quote['id']}/{name}"
    known = estimator.get(address, headers={"If-None-Match": answer.headers["ETag"]})
    assert known.status_code == 304
    assert estimator.call("HEAD", address).headers["ETag"] == answer.headers["ETag"]


@pytest.mark.parametrize("media", [JSON, XLSX, "application/pdf", "image/svg+xml", "image/vnd.dxf"])
def test_accept_chooses_the_form(estimator, quote, media):
    answer = estimator.quote(quote["id"], accept=media)
    assert answer.status_code == 200
    assert answer.headers["Content-Type"].startswith(media)
    assert "Accept" in answer.headers["Vary"]


def test_without_accept_a_quote_is_json_and_an_unknown_form_is_refused(estimator, quote):
    assert estimator.quote(quote["id"]).headers["Content-Type"] == JSON
    assert estimator.quote(quote["id"], accept="*/*").headers["Content-Type"] == JSON
    preferred = f"{JSON};q=0.1, application/pdf"
    assert estimator.quote(quote["id"], accept=preferred).headers["Content-Type"] == "application/pdf"
    refused = estimator.quote(quote["id"], accept="image/png")
    assert refused.status_code == 406
    assert refused.headers["Content-Type"] == "application/problem+json"


def test_the_estimators_workbook_is_not_for_the_crm(crm, quote):
    assert crm.document(quote["id"], "workbook.xlsx", edition="estimator").status_code == 403
    assert crm.document(quote["id"], "workbook.xlsx").status_code == 200
