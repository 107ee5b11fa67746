"""Less than needed, far too much, and below cost: nothing of it is issued before somebody lets it stand by name.

The rules are common practice, no source; what is required is what the answer itself counts."""

import csv
import io

import openpyxl
import pytest

from api_tests.posted import a_job, on_rails

REASON = "Rest lies in the yard"


@pytest.fixture(scope="module")
def job(estimator):
    return estimator.post_job(a_job()).json()["id"]


def _line(quote, role):
    return next(line for line in quote["estimate"]["lines"] if line["role"] == role)


def _errors(quote):
    return [each for each in quote["estimate"]["checks"] if each["severity"] == "error"]


def test_a_shortage_is_not_issued_before_it_is_overridden_and_then_quote_order_and_workbook_say_so(
    estimator, purchasing, job
):
    bracket = _line(estimator.quote_job(job).json(), "bracket")
    short = {"part": bracket["part"], "ordered": bracket["net"] - 1, "reason": "customer has some"}
    drafted = estimator.quote_job(job, line_changes=[short])
    quote = drafted.json()
    [error] = _errors(quote)
    assert error["code"] == "ordered_below_required"
    assert error["place"] == {"part": bracket["part"]}
    assert (error["found"], error["allowed"]) == (bracket["net"] - 1, bracket["net"])
    refused = estimator.issue(quote["id"], drafted.headers["ETag"])
    assert (refused.status_code, refused.json()["type"]) == (409, "/problems/checks-stand")
    word = {"code": error["code"], "place": error["place"], "reason": REASON}
    issued = estimator.issue(quote["id"], drafted.headers["ETag"], overrides=[word])
    assert issued.status_code == 200, issued.text
    stands = estimator.quote(quote["id"]).json()["overrides"]
    assert [(each["reason"], each["by"]) for each in stands] == [(REASON, "estimator")]
    book = openpyxl.load_workbook(io.BytesIO(estimator.document(quote["id"], "workbook.xlsx").content))
    rows = [[str(cell.value) for cell in row] for row in book["Checks and cautions"].iter_rows()]
    assert any(REASON in row and "estimator" in row for row in rows)
    assert estimator.accept(quote["id"], issued.headers["ETag"]).status_code == 200
    order = purchasing.order(quote["id"]).json()
    [check] = [each for each in order["checks"] if each["code"] == "ordered_below_required"]
    assert REASON in check["message"]
    lines = {line["part"]: line for supplier in order["suppliers"] for line in supplier["lines"]}
    assert "overridden by estimator: Rest lies in the yard" in lines[bracket["part"]]["stands"][0]
    rows = csv.DictReader(io.StringIO(purchasing.order_list(order["id"], accept="text/csv").text, newline=""))
    assert any(REASON in row["why"] for row in rows)


def test_a_date_typed_into_a_quantity_is_an_error(estimator, job):
    bracket = _line(estimator.quote_job(job).json(), "bracket")
    quote = estimator.quote_job(job, line_changes=[{"part": bracket["part"], "ordered": 46_357}]).json()
    [error] = _errors(quote)
    assert error["code"] == "ordered_out_of_proportion"
    assert error["allowed"] == 3 * bracket["required"] + bracket["pack_size"]


def test_a_price_below_cost_is_an_error_that_a_crm_is_not_told_in_figures(estimator, crm, job):
    bracket = _line(estimator.quote_job(job).json(), "bracket")
    change = {"part": bracket["part"], "unit_price": "0.01"}
    quote = estimator.quote_job(job, line_changes=[change]).json()
    assert "line_below_cost" in {each["code"] for each in _errors(quote)}
    seen = crm.quote(quote["id"], include="all_checks").json()
    assert not [each for each in seen["estimate"]["all_checks"] if each["code"].endswith("below_cost")]
    assert bracket["unit_cost"] not in str(seen["estimate"]["all_checks"])
    assert seen["standing_errors"] > 0


def test_unknown_discounts_doubled_changes_and_overlong_prices_are_refused_together(estimator, job):
    bracket = _line(estimator.quote_job(job).json(), "bracket")["part"]
    answer = estimator.quote_job(
        job,
        line_discounts={"no-such-part": "0.1"},
        line_changes=[{"part": bracket, "unit_price": "9.12345"}, {"part": bracket, "ordered": 100}],
    )
    assert answer.status_code == 422
    assert {each["pointer"] for each in answer.json()["errors"]} == {
        "/line_discounts/no-such-part",
        "/line_changes/0/unit_price",
        "/line_changes/1/part",
    }


def test_the_comparison_leaves_changes_of_lines_out_on_both_sides_and_says_so(estimator):
    posted = on_rails()
    posted["mounting"]["material"] = None
    plain = estimator.estimate(posted).json()["comparison"]
    bracket = plain["aluminium"]["bracket"]
    changed = estimator.estimate(posted, line_discounts={bracket: "0.2"}).json()["comparison"]
    assert changed["aluminium"]["total"] == plain["aluminium"]["total"]
    assert changed["steel"]["total"] == plain["steel"]["total"]
    assert "without the changes" in changed["basis"]
    assert plain["basis"] == ""
