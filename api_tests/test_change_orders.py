"""After acceptance a customer changes her mind: the revision is issued, accepted, and its difference ordered.

Differences are the sums of what the answers themselves tell; common practice, no source."""

import csv
import io

import openpyxl

from api_tests.posted import a_job


def _accept(estimator, quote, etag):
    issued = estimator.issue(quote["id"], etag)
    assert issued.status_code == 200, issued.text
    accepted = estimator.accept(quote["id"], issued.headers["ETag"])
    assert accepted.status_code == 200, accepted.text
    return accepted.json()


def _lines(order):
    return {line["part"]: line for supplier in order["suppliers"] for line in supplier["lines"]}


def _parts(order, name):
    return {part: line[name] for part, line in _lines(order).items()}


def test_the_difference_of_a_revision_is_ordered_and_every_paper_says_so(estimator, purchasing):
    first = estimator.accepted_quote(a_job())
    drafted = estimator.revise(first["id"])
    roofs = estimator.job(first["job"]).json()["job"]["roofs"]
    roofs[0]["arrays"][0]["columns"] = 8
    more = estimator.revise(first["id"], job={"roofs": roofs})
    before = purchasing.order(first["id"]).json()
    accepted = _accept(estimator, more.json(), more.headers["ETag"])
    overtaken = estimator.issue(drafted.json()["id"], drafted.headers["ETag"])
    assert overtaken.status_code == 409
    made = purchasing.order(accepted["id"])
    assert made.status_code == 201, made.text
    change = made.json()
    alone = purchasing.order(estimator.accepted_quote(a_job(roofs=roofs))["id"]).json()
    was, wanted = _parts(before, "ordered"), _parts(alone, "ordered")
    difference = {part: wanted.get(part, 0) - was.get(part, 0) for part in {*was, *wanted}}
    assert _parts(change, "ordered") == {part: count for part, count in difference.items() if count}
    assert all(line["before"] == was[part] for part, line in _lines(change).items())
    assert {line["change"] for line in _lines(change).values()} == {"more"}
    supplier = change["suppliers"][0]
    assert supplier["changes"] == [before["number"]]
    assert "OrderChange" in purchasing.get(supplier["links"]["xml"]).text
    rows = list(csv.DictReader(io.StringIO(purchasing.get(supplier["links"]["csv"]).text, newline="")))
    assert {row["changes"] for row in rows} == {before["number"]}
    book = openpyxl.load_workbook(io.BytesIO(purchasing.get(supplier["links"]["xlsx"]).content))
    cells = [str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row]
    assert any("Change of an order" in text for text in cells)
    assert any(before["number"] in text for text in cells)
    assert purchasing.get(supplier["links"]["pdf"]).content.startswith(b"%PDF-")
    again = purchasing.order(accepted["id"])
    assert (again.status_code, again.json()["type"]) == (409, "/problems/already-used")
    assert purchasing.quote(first["id"]).json()["state"] == "accepted"


def test_less_is_cancelled_or_where_delivered_returned(estimator, purchasing):
    quotes = [estimator.accepted_quote(a_job()) for _ in range(2)]
    orders = [purchasing.order(quote["id"]).json() for quote in quotes]
    told = []
    for quote, order, delivered in zip(quotes, orders, (False, True), strict=True):
        roofs = estimator.job(quote["job"]).json()["job"]["roofs"]
        roofs[0]["arrays"][0].update(columns=1, rows=1)
        less = estimator.revise(quote["id"], job={"roofs": roofs})
        accepted = _accept(estimator, less.json(), less.headers["ETag"])
        suppliers = [each["supplier"] for each in order["suppliers"]] if delivered else []
        change = purchasing.order(accepted["id"], delivered=suppliers).json()
        assert all(line["ordered"] < 0 for line in _lines(change).values())
        assert all(float(each["total"]) < 0 for each in change["suppliers"])
        told.append({line["change"] for line in _lines(change).values()})
    assert told == [{"less"}, {"returned"}]


def test_an_older_accepted_revision_is_not_ordered_after_a_later_acceptance(estimator, purchasing):
    first = estimator.accepted_quote(a_job())
    later = estimator.revise(first["id"], notes="again")
    accepted = _accept(estimator, later.json(), later.headers["ETag"])
    assert purchasing.order(first["id"]).status_code == 409
    assert purchasing.order(accepted["id"]).status_code == 201
