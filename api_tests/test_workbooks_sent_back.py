"""A workbook an estimator edited and sends back: its changes become a revision, anything else is refused."""

import io

import openpyxl
import pytest

from api_tests.posted import on_rails


@pytest.fixture(scope="module")
def quote(estimator):
    posted = estimator.post_job(on_rails(title="Sent back"))
    return estimator.quote_job(posted.json()["id"]).json()


def _edited(content, change):
    book = openpyxl.load_workbook(io.BytesIO(content))
    change(book["Pricing"])
    kept = io.BytesIO()
    book.save(kept)
    return kept.getvalue()


def _columns(sheet):
    for row in sheet.iter_rows(min_row=1, max_row=12):
        names = {cell.value: cell.column for cell in row}
        if {"Part", "Ordered", "Line discount"} <= set(names):
            return row[0].row, names
    raise AssertionError("the pricing sheet has no table")


def _two_more_and_a_discount(sheet):
    head, names = _columns(sheet)
    sheet.cell(head + 1, names["Ordered"]).value += 2
    sheet.cell(head + 2, names["Line discount"]).value = 0.1
    sheet.cell(head + 1, names["Line price"]).value = 1


def test_the_changes_become_a_revision_with_each_change_named(estimator, quote):
    content = estimator.document(quote["id"], "workbook.xlsx").content
    sent = _edited(content, _two_more_and_a_discount)
    answer = estimator.send_workbook(quote["id"], sent, once="back-1")
    assert answer.status_code == 201, answer.text
    revision = answer.json()
    first, second = quote["estimate"]["lines"][0], quote["estimate"]["lines"][1]
    named = {(each["part"], each["field"]) for each in revision["workbook"]["changes"]}
    assert named == {(first["part"], "ordered"), (second["part"], "line_discount")}
    assert (revision["number"], revision["revision"]) == (quote["number"], quote["revision"] + 1)
    lines = {line["part"]: line for line in revision["estimate"]["lines"]}
    assert lines[first["part"]]["ordered"] == first["ordered"] + 2
    assert float(lines[second["part"]]["discount"]) == 0.1
    again = estimator.send_workbook(quote["id"], sent, once="back-1")
    assert again.json()["id"] == revision["id"]


def test_a_workbook_without_a_change_is_refused(estimator, quote):
    content = estimator.document(quote["id"], "workbook.xlsx").content
    answer = estimator.send_workbook(quote["id"], content)
    assert answer.status_code == 422
    assert answer.json()["errors"] == []


def test_faults_are_told_all_at_once_and_nothing_is_kept(estimator, quote):
    def spoil(sheet):
        head, names = _columns(sheet)
        sheet.cell(head + 1, names["Ordered"]).value = -3
        sheet.cell(head + 2, names["Line discount"]).value = "plenty"

    before = len(estimator.quotes(limit=200).json()["items"])
    answer = estimator.send_workbook(
        quote["id"], _edited(estimator.document(quote["id"], "workbook.xlsx").content, spoil)
    )
    assert answer.status_code == 422
    assert len(answer.json()["errors"]) == 2
    assert len(estimator.quotes(limit=200).json()["items"]) == before


def test_a_workbook_of_another_quote_and_a_broken_file_are_refused(estimator, quote):
    other = estimator.quote_job(estimator.post_job(on_rails(title="Another")).json()["id"]).json()
    content = estimator.document(other["id"], "workbook.xlsx").content
    for wrong in (_edited(content, _two_more_and_a_discount), b"PK nonsense", b""):
        answer = estimator.send_workbook(quote["id"], wrong)
        assert answer.status_code in (400, 409, 422), answer.text
        assert answer.headers["Content-Type"].startswith("application/problem+json")


def test_a_crm_key_cannot_send_a_workbook(crm, quote):
    assert crm.send_workbook(quote["id"], b"PK").status_code == 403


def test_a_workbook_may_be_larger_than_other_bodies_but_not_without_end(estimator, quote):
    large = estimator.send_workbook(quote["id"], b"PK" * 3_000_000)
    assert (large.status_code, large.json()["type"]) == (422, "/problems/invalid-request")
    larger = estimator.send_workbook(quote["id"], b"PK" * 7_500_001)
    assert (larger.status_code, larger.json()["type"]) == (413, "/problems/too-large")
