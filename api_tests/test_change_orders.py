"""After acceptance a customer changes her mind: the revision is issued, accepted, and its difference ordered.

Differences are the sums of what the answers themselves tell; common practice, no source."""

import csv
import io
from xml.etree import ElementTree

import openpyxl

from api_tests.posted import a_job, on_rails


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


STEEL = {"title": "On steel rails", "material": "steel", "arrangement": "rail_on_side"}
CBC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2}"


def _accepted_option(estimator, drafted, option):
    issued = estimator.issue(drafted.json()["id"], drafted.headers["ETag"])
    assert issued.status_code == 200, issued.text
    accepted = estimator.accept(drafted.json()["id"], issued.headers["ETag"], option=option)
    assert accepted.status_code == 200, accepted.text
    return accepted.json()


def _wider(estimator, quote, columns):
    roofs = estimator.job(quote["job"]).json()["job"]["roofs"]
    roofs[0]["arrays"][0]["columns"] = columns
    return roofs


def _difference(was, wanted):
    found = {part: wanted.get(part, 0) - was.get(part, 0) for part in {*was, *wanted}}
    return {part: count for part, count in found.items() if count}


def test_a_change_follows_the_option_that_was_accepted(estimator, purchasing):
    """Option B is ordered and then made wider: only parts of option B change; taking A instead gives B's back."""
    job = on_rails()
    drafted = estimator.quote_job(estimator.post_job(job).json()["id"], options=[STEEL])
    brackets = [each["bracket"] for each in drafted.json()["estimate"]["options"]]
    first = _accepted_option(estimator, drafted, "B")
    before = purchasing.order(first["id"]).json()
    roofs = _wider(estimator, first, 8)
    wider = _accepted_option(estimator, estimator.revise(first["id"], job={"roofs": roofs}), "B")
    change = purchasing.order(wider["id"]).json()
    again = estimator.quote_job(estimator.post_job(on_rails(roofs=roofs)).json()["id"], options=[STEEL])
    alone = purchasing.order(_accepted_option(estimator, again, "B")["id"]).json()
    was, wanted = _parts(before, "ordered"), _parts(alone, "ordered")
    assert _parts(change, "ordered") == _difference(was, wanted)
    assert brackets[1] in was
    assert brackets[0] not in {*was, *_parts(change, "ordered")}
    other = _accepted_option(estimator, estimator.revise(wider["id"]), "A")
    suppliers = [each["supplier"] for each in before["suppliers"]]
    back = _lines(purchasing.order(other["id"], delivered=suppliers).json())
    assert (back[brackets[1]]["ordered"], back[brackets[1]]["change"]) == (-wanted[brackets[1]], "returned")
    assert (back[brackets[0]]["change"], back[brackets[0]]["before"]) == ("more", 0)


def test_rails_cut_anew_change_whole_bars_and_bars_that_are_not_needed_go_back(estimator, purchasing):
    """The new plan takes other bars: what was ordered stays, each length is told by its difference in whole bars."""
    first = estimator.accepted_quote(on_rails())
    before = purchasing.order(first["id"]).json()
    suppliers = [each["supplier"] for each in before["suppliers"]]
    chain = [before]
    for columns in (8, 3):
        roofs = _wider(estimator, first, columns)
        drafted = estimator.revise(first["id"], job={"roofs": roofs})
        first = _accept(estimator, drafted.json(), drafted.headers["ETag"])
        change = purchasing.order(first["id"], delivered=suppliers).json()
        alone = purchasing.order(estimator.accepted_quote(on_rails(roofs=roofs))["id"]).json()
        was = {}
        for order in chain:
            for part, count in _parts(order, "ordered").items():
                was[part] = was.get(part, 0) + count
        assert _parts(change, "ordered") == _difference(was, _parts(alone, "ordered"))
        bars = {part: line for part, line in _lines(change).items() if line["role"] == "rail"}
        assert bars
        for part, line in bars.items():
            assert line["before"] == was.get(part, 0)
            assert line["before"] + line["ordered"] >= 0
            assert line["change"] == ("more" if line["ordered"] > 0 else "returned")
        chain.append(change)
    lines = _lines(chain[-1])
    assert any(line["role"] == "rail" and line["change"] == "returned" for line in lines.values())
    for delivery in chain[-1]["deliveries"]:
        sent = {pick["part"]: pick["sent"] for pick in delivery["picks"]}
        assert sent == _parts(chain[-1], "ordered")
        assert purchasing.get(delivery["links"]["pick_list_pdf"]).status_code == 200


def test_rails_cut_together_are_cut_anew_with_the_revised_quote(estimator, purchasing):
    quotes = [estimator.accepted_quote(on_rails()) for _ in range(2)]
    before = purchasing.order(*(quote["id"] for quote in quotes), cut_together=True).json()
    roofs = _wider(estimator, quotes[0], 9)
    drafted = estimator.revise(quotes[0]["id"], job={"roofs": roofs})
    revised = _accept(estimator, drafted.json(), drafted.headers["ETag"])
    change = purchasing.order(revised["id"]).json()
    fresh = [estimator.accepted_quote(job) for job in (on_rails(roofs=roofs), on_rails())]
    alone = purchasing.order(*(quote["id"] for quote in fresh), cut_together=True).json()
    assert _parts(change, "ordered") == _difference(_parts(before, "ordered"), _parts(alone, "ordered"))


def test_a_part_that_is_struck_afterwards_is_cancelled_or_where_delivered_returned_whole(estimator, purchasing):
    for delivered in (False, True):
        first = estimator.accepted_quote(a_job())
        before = purchasing.order(first["id"]).json()
        clamp = next(line for line in _lines(before).values() if line["role"] == "end_clamp")
        struck = [{"part": clamp["part"], "struck": True, "reason": "the customer has them"}]
        drafted = estimator.revise(first["id"], line_changes=struck)
        standing = estimator.issue(drafted.json()["id"], drafted.headers["ETag"]).json()["checks"]
        words = [{"code": each["code"], "place": each["place"], "reason": "on site already"} for each in standing]
        issued = estimator.issue(drafted.json()["id"], drafted.headers["ETag"], overrides=words)
        accepted = estimator.accept(drafted.json()["id"], issued.headers["ETag"]).json()
        suppliers = [each["supplier"] for each in before["suppliers"]]
        change = purchasing.order(accepted["id"], delivered=suppliers if delivered else []).json()
        (line,) = _lines(change).values()
        assert (line["part"], line["ordered"]) == (clamp["part"], -clamp["ordered"])
        assert line["change"] == ("returned" if delivered else "less")
        assert float(line["cost"]) == -float(clamp["cost"])
        document = ElementTree.fromstring(purchasing.get(change["suppliers"][0]["links"]["xml"]).content)
        assert document.findtext(f".//{CBC}LineStatusCode") == "Cancelled"
        assert document.findtext(f".//{CBC}Quantity") == "0"
        nothing = purchasing.get(change["suppliers"][0]["links"]["packing_list"])
        assert (nothing.status_code, nothing.json()["type"]) == (422, "/problems/nothing-to-write")


def _bracket(estimator, card):
    """The line of brackets of a quote."""
    lines = estimator.quote(card["id"]).json()["estimate"]["lines"]
    return next(line for line in lines if line["role"] == "bracket")


def test_a_change_takes_from_stock_what_is_told_now_and_its_pick_list_has_it(estimator, purchasing):
    """What the first order left in stock may be gone: only what is told with the change is taken for it."""
    told = {}
    for more_in_stock in (True, False):
        first = estimator.accepted_quote(a_job())
        part = _bracket(estimator, first)
        stock = {part["part"]: part["required"] + 1_000}
        before = purchasing.order(first["id"], stock=stock).json()
        assert part["part"] not in _lines(before)
        roofs = estimator.job(first["job"]).json()["job"]["roofs"]
        roofs[0]["arrays"][0]["columns"] = 8
        more = estimator.revise(first["id"], job={"roofs": roofs})
        accepted = _accept(estimator, more.json(), more.headers["ETag"])
        wanted = _bracket(estimator, accepted)["required"] - part["required"]
        change = purchasing.order(accepted["id"], stock={part["part"]: wanted} if more_in_stock else {}).json()
        [delivery] = change["deliveries"]
        [pick] = [each for each in delivery["picks"] if each["part"] == part["part"]]
        told[more_in_stock] = (pick["required"], pick["from_stock"], part["part"] in _lines(change))
        assert pick["sent"] >= wanted - pick["from_stock"]
        assert purchasing.get(delivery["links"]["pick_list_pdf"]).content.startswith(b"%PDF-")
    assert told == {True: (wanted, wanted, False), False: (wanted, 0, True)}
