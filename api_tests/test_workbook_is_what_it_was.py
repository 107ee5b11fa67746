"""A returned workbook is read against its own quote: same edition, same mounting and cut plan, every difference told.

Expected sums are the issue's own rule: causes add up to the revision's total less the workbook's."""

import io
from decimal import Decimal

import openpyxl
import pytest

from api_tests.posted import on_rails


def _edited(content, change):
    book = openpyxl.load_workbook(io.BytesIO(content))
    change(book)
    kept = io.BytesIO()
    book.save(kept)
    return kept.getvalue()


def _place(book, part, head):
    """The cell of a part's line in a column of the pricing sheet."""
    sheet = book["Pricing"]
    for row in sheet.iter_rows(min_row=1, max_row=12):
        names = {cell.value: cell.column for cell in row}
        if {"Part", "Ordered", "Line discount"} <= set(names):
            for at in range(row[0].row + 1, sheet.max_row + 1):
                if sheet.cell(at, names["Part"]).value == part:
                    return sheet.cell(at, names[head])
    raise AssertionError(part)


@pytest.fixture
def quote(estimator):
    return estimator.quote_job(estimator.post_job(on_rails()).json()["id"]).json()


def _workbook(estimator, quote):
    return estimator.document(quote["id"], "workbook.xlsx").content


def _adds_up(told):
    whole = sum((Decimal(each["amount"]) for each in told["causes"]), Decimal(0))
    return whole == Decimal(told["revision_total"]) - Decimal(told["sheet_total"])


def _bracket(quote):
    return next(line for line in quote["estimate"]["lines"] if line["role"] == "bracket")


def test_everything_edited_is_taken_or_told_with_the_reason_and_each_cause_in_money(estimator, quote):
    bracket = _bracket(quote)

    def edit(book):
        _place(book, bracket["part"], "Ordered").value = f"={bracket['ordered']}+5*5"
        _place(book, bracket["part"], "Unit cost").value = 99
        screw = next(line["part"] for line in quote["estimate"]["lines"] if line["role"] == "screw")
        _place(book, screw, "Line price").value = 1
        _place(book, screw, "Reason for a change").value = "cheaper"

    answer = estimator.send_workbook(quote["id"], _edited(_workbook(estimator, quote), edit))
    assert answer.status_code == 201, answer.text
    revision = answer.json()
    told = revision["workbook"]
    assert [(each["part"], each["field"], each["new"]) for each in told["changes"]] == [
        (bracket["part"], "ordered", bracket["ordered"] + 25)
    ]
    assert {each["kind"] for each in told["not_taken"]} == {"unit_cost", "line_price", "reason"}
    assert all(each["reason"] for each in told["not_taken"])
    assert told["sheet_total_reckoned"] is True
    assert told["revision_total"] == revision["total"]
    assert {each["cause"] for each in told["causes"]} == {"change_not_taken"}
    assert len(told["causes"]) == 2
    assert _adds_up(told)


def test_a_returned_workbook_keeps_edition_mounting_and_cut_plan(estimator, quote):
    """Its own edition is taken although a newer one is in force; quantities of brackets do not touch the rails."""
    older = estimator.quote_job(
        estimator.post_job(on_rails()).json()["id"], pricebook="hanse-eu", edition="2026-11", priced_on="2026-11-10"
    )
    assert older.status_code == 201, older.text
    for first in (quote, older.json()):
        bracket = _bracket(first)

        def edit(book, bracket=bracket):
            _place(book, bracket["part"], "Ordered").value = bracket["ordered"] + 25

        revision = estimator.send_workbook(first["id"], _edited(_workbook(estimator, first), edit)).json()
        assert (revision["pricebook"], revision["edition"]) == (first["pricebook"], first["edition"])
        plans = [estimator.quote(each["id"], include="cut_plan").json()["estimate"]["cut_plan"]
                 for each in (first, revision)]  # fmt: skip
        assert plans[1] == {**plans[0], "kept": "whole"}
        assert revision["workbook"]["causes"] == []
        assert revision["workbook"]["sheet_total"] == revision["total"]


def test_a_workbook_with_nothing_but_untaken_changes_is_refused_and_each_is_named(estimator, quote):
    def edit(book):
        _place(book, _bracket(quote)["part"], "Unit price").value = 1

    answer = estimator.send_workbook(quote["id"], _edited(_workbook(estimator, quote), edit))
    assert answer.status_code == 422
    assert len(answer.json()["errors"]) == 1


def test_a_second_workbook_of_a_revised_quote_is_stale_and_merges_where_other_cells_are_touched(estimator, quote):
    bracket = _bracket(quote)
    content = _workbook(estimator, quote)

    def ordered(more):
        def edit(book):
            _place(book, bracket["part"], "Ordered").value = bracket["ordered"] + more

        return _edited(content, edit)

    def discounted(book):
        _place(book, bracket["part"], "Line discount").value = 0.05

    assert estimator.send_workbook(quote["id"], ordered(25)).status_code == 201
    stale = estimator.send_workbook(quote["id"], ordered(50))
    assert (stale.status_code, stale.json()["type"]) == (409, "/problems/stale-workbook")
    texts = " ".join(each["detail"] for each in stale.json()["errors"])
    assert f"to {bracket['ordered'] + 50}" in texts
    assert f"to {bracket['ordered'] + 25}" in texts
    clash = estimator.send_workbook(quote["id"], ordered(50), merge="true")
    assert (clash.status_code, clash.json()["type"]) == (409, "/problems/stale-workbook")
    assert {each["code"] for each in clash.json()["errors"]} == {"changed_here", "changed_meanwhile"}
    merged = estimator.send_workbook(quote["id"], _edited(content, discounted), merge="true")
    assert merged.status_code == 201, merged.text
    line = _bracket(merged.json())
    assert (line["ordered"], float(line["discount"])) == (bracket["ordered"] + 25, 0.05)
    assert merged.json()["revision"] == 3
    assert {each["cause"] for each in merged.json()["workbook"]["causes"]} == {"changed_meanwhile"}
    assert _adds_up(merged.json()["workbook"])


def test_a_failed_check_is_overridden_in_its_cell_and_signed_by_the_sender(estimator, quote):
    bracket = _bracket(quote)
    short = estimator.quote_job(
        quote["job"], line_changes=[{"part": bracket["part"], "ordered": bracket["net"] - 1}]
    ).json()

    def edit(book):
        sheet = book["Checks and cautions"]
        head = next(cell for row in sheet.iter_rows() for cell in row if cell.value == "Reason for the override")
        failed = next(row for row in sheet.iter_rows(min_row=head.row + 1) if row[0].value == "Failed")
        assert not failed[head.column - 1].protection.locked
        failed[head.column - 1].value = "The rest is on site"

    answer = estimator.send_workbook(short["id"], _edited(_workbook(estimator, short), edit))
    assert answer.status_code == 201, answer.text
    revision = answer.json()
    assert [(each["code"], each["reason"], each["by"]) for each in revision["overrides"]] == [
        ("ordered_below_required", "The rest is on site", "estimator")
    ]
    assert revision["standing_errors"] == 0
