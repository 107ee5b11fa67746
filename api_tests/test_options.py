"""Up to three ways on one quote: the acceptance names one, orders and the crew's papers follow it."""

import io
from decimal import Decimal, InvalidOperation
from xml.etree import ElementTree

import openpyxl
import pytest

from api_tests.posted import a_job

OTHER = {"title": "On steel rails", "material": "steel", "arrangement": "rail_on_side"}
ALIKE = {"material": "steel"}
CBC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2}"


@pytest.fixture(scope="module")
def issued(estimator):
    """An issued quote with options A and B, its answer as it was drafted, and its ETag."""
    job = {**a_job(), "mounting": {**a_job()["mounting"], "material": "aluminium"}}
    asked = {"options": [OTHER], "prepared_by": "A. Miller", "notes": "Rear gate"}
    drafted = estimator.quote_job(estimator.post_job(job).json()["id"], **asked)
    assert drafted.status_code == 201, drafted.text
    answer = estimator.issue(drafted.json()["id"], drafted.headers["ETag"])
    assert answer.status_code == 200, answer.text
    return drafted.json(), answer.headers["ETag"]


def test_the_options_stand_side_by_side(issued):
    options = issued[0]["estimate"]["options"]
    assert [(each["option"], each["material"]) for each in options] == [("A", "aluminium"), ("B", "steel")]
    assert options[0]["total"] == issued[0]["total"]
    assert options[1]["title"] == "On steel rails"


def test_an_acceptance_names_the_option_and_orders_and_papers_follow_it(estimator, purchasing, issued):
    quote, etag = issued
    here = f"/v1/quotes/{quote['id']}"
    first = estimator.get(f"{here}/plan.dxf").content
    unnamed = estimator.post(f"{here}/accept", etag=etag)
    assert (unnamed.status_code, unnamed.json()["type"]) == (422, "/problems/option-unknown")
    assert unnamed.json()["errors"][0]["allowed"] == "A, B"
    assert estimator.post(f"{here}/accept", {"option": "C"}, etag=etag).status_code == 422
    accepted = estimator.post(f"{here}/accept", {"option": "B"}, etag=etag)
    assert accepted.status_code == 200, accepted.text
    wanted = quote["estimate"]["options"][1]
    assert (accepted.json()["accepted_option"], accepted.json()["total"]) == ("B", wanted["total"])
    assert estimator.get(f"{here}/plan.dxf").content != first
    ordered = purchasing.order(quote["id"])
    assert ordered.status_code == 201, ordered.text
    lines = [line for each in ordered.json()["suppliers"] for line in each["lines"]]
    assert wanted["bracket"] in {line["part"] for line in lines}
    assert quote["estimate"]["options"][0]["bracket"] not in {line["part"] for line in lines}


def test_an_option_that_would_be_built_alike_is_refused(estimator):
    refused = estimator.estimate({**a_job(), "mounting": {**a_job()["mounting"], "material": "steel"}}, options=[ALIKE])
    assert refused.status_code == 422
    assert refused.json()["errors"][0]["pointer"] == "/options/0"


def test_an_alternate_stands_beside_the_total_or_in_it(estimator):
    """By hand: the total of the parts rises by the price of the alternate, and by nothing else."""
    job = {**a_job(), "mounting": {**a_job()["mounting"], "material": "aluminium"}}
    part = {"part": "HB-ECS", "quantity": 50}
    beside = estimator.estimate(job, alternates=[part]).json()
    within = estimator.estimate(job, alternates=[{**part, "included": True}]).json()
    (alternate,) = beside["alternates"]
    assert (alternate["part"], alternate["quantity"], within["alternates"]) == ("HB-ECS", 50, [])
    cents = {name: round(float(each["totals"]["parts"]) * 100) for name, each in (("b", beside), ("w", within))}
    assert cents["w"] - cents["b"] == round(float(alternate["price"]) * 100)


PAPERS = ("plan.svg", "plan.dxf", "setting-out.pdf", "calculation.pdf", "reactions.pdf", "saw-list.pdf", "saw-list.csv")


@pytest.fixture(scope="module")
def waiting(estimator):
    """An issued quote with options A and B that nobody has accepted yet."""
    job = {**a_job(), "mounting": {**a_job()["mounting"], "material": "aluminium"}}
    drafted = estimator.quote_job(estimator.post_job(job).json()["id"], options=[OTHER], prepared_by="A. Miller")
    assert estimator.issue(drafted.json()["id"], drafted.headers["ETag"]).status_code == 200
    return drafted.json()


@pytest.mark.parametrize("name", PAPERS)
def test_every_paper_of_one_option_is_given_for_each_before_one_is_accepted(estimator, waiting, name):
    first, again, other = (
        estimator.document(waiting["id"], name, **asked) for asked in ({}, {"option": "A"}, {"option": "B"})
    )
    assert [each.status_code for each in (first, again, other)] == [200, 200, 200]
    assert first.content == again.content != other.content
    assert f'-B-{name}"' in other.headers["Content-Disposition"]


def test_the_electronic_quotation_of_each_option_has_its_own_total(estimator, waiting):
    """Source: UBL 2.1, Quotation: one total a document."""
    for option in waiting["estimate"]["options"]:
        document = estimator.document(waiting["id"], "quotation.xml", option=option["option"]).content
        total = ElementTree.fromstring(document).findtext(f".//{CBC}PayableAmount")
        assert total == option["total"]
        number = ElementTree.fromstring(document).findtext(f"{CBC}ID")
        assert number == f"{waiting['number']}-{waiting['revision']}-{option['option']}"


@pytest.mark.parametrize("name", (*PAPERS, "quotation.xml"))
def test_an_option_there_is_not_is_refused_with_those_there_are(estimator, waiting, name):
    refused = estimator.document(waiting["id"], name, option="C")
    assert (refused.status_code, refused.json()["type"]) == (400, "/problems/option-absent")
    assert refused.json()["errors"][0]["allowed"] == "A, B"


@pytest.mark.parametrize("name", ("quote.pdf", "workbook.xlsx"))
def test_a_paper_of_all_options_takes_no_letter(estimator, waiting, name):
    refused = estimator.document(waiting["id"], name, option="B")
    assert (refused.status_code, refused.json()["errors"][0]["pointer"]) == (422, "/option")


def test_the_workbook_holds_every_option(estimator, waiting):
    content = estimator.document(waiting["id"], "workbook.xlsx").content
    book = openpyxl.load_workbook(io.BytesIO(content), data_only=True)
    values = {str(cell.value) for row in book["Options"].iter_rows() for cell in row}
    for option in waiting["estimate"]["options"]:
        assert option["bracket"] in values
        assert any(Decimal(option["total"]) == _number(value) for value in values)
    parts = {cell.value for row in book["Option B"].iter_rows() for cell in row}
    assert waiting["estimate"]["options"][1]["bracket"] in parts
    assert waiting["estimate"]["options"][0]["bracket"] not in parts


def _number(text):
    try:
        return round(Decimal(text), 2)
    except InvalidOperation:
        return None


def test_a_workbook_with_options_comes_back_with_its_change_and_all_options(estimator):
    job = {**a_job(), "mounting": {**a_job()["mounting"], "material": "aluminium"}}
    quote = estimator.quote_job(estimator.post_job(job).json()["id"], options=[OTHER]).json()
    content = io.BytesIO(estimator.document(quote["id"], "workbook.xlsx").content)
    book = openpyxl.load_workbook(content)
    place = book.defined_names["Contingency" if "Contingency" in book.defined_names else "ContingencyRate"]
    sheet, cell = next(iter(place.destinations))
    book[sheet][cell] = 0.1
    sent = io.BytesIO()
    book.save(sent)
    made = estimator.send_workbook(quote["id"], sent.getvalue())
    assert made.status_code == 201, made.text
    assert [each["option"] for each in made.json()["estimate"]["options"]] == ["A", "B"]
    assert made.json()["workbook"]["not_taken"] == []
    before, after = (each["estimate"]["options"] for each in (quote, made.json()))
    assert all(Decimal(new["total"]) > Decimal(old["total"]) for old, new in zip(before, after, strict=True))


def test_a_check_is_overridden_in_the_option_that_is_named(estimator):
    job = {**a_job(), "mounting": {**a_job()["mounting"], "material": "aluminium"}}
    job_id = estimator.post_job(job).json()["id"]
    plain = estimator.quote_job(job_id, options=[OTHER]).json()
    brackets = [each["bracket"] for each in plain["estimate"]["options"]]
    struck = [{"part": brackets[0], "struck": True, "reason": "the customer has them"}]
    drafted = estimator.quote_job(job_id, options=[OTHER], line_changes=struck)
    here = f"/v1/quotes/{drafted.json()['id']}"
    refused = estimator.issue(drafted.json()["id"], drafted.headers["ETag"]).json()
    assert [(each["option"], each["place"]["part"]) for each in refused["checks"]] == [
        *zip("AB", brackets, strict=True)
    ]
    words = [
        {"code": each["code"], "place": each["place"], "option": each["option"], "reason": "lies in the yard"}
        for each in refused["checks"]
    ]
    unknown = estimator.issue(drafted.json()["id"], drafted.headers["ETag"], overrides=[{**words[0], "option": "C"}])
    assert unknown.status_code == 422
    assert (unknown.json()["errors"][0]["pointer"], unknown.json()["errors"][0]["allowed"]) == (
        "/overrides/0/option", "A, B",
    )  # fmt: skip
    elsewhere = [{**words[0], "option": "B"}]
    assert estimator.issue(drafted.json()["id"], drafted.headers["ETag"], overrides=elsewhere).status_code == 422
    half = estimator.issue(drafted.json()["id"], drafted.headers["ETag"], overrides=words[:1])
    assert [each["option"] for each in half.json()["checks"]] == ["B"]
    issued = estimator.issue(drafted.json()["id"], drafted.headers["ETag"], overrides=words)
    assert issued.status_code == 200, issued.text
    stands = estimator.get(here).json()["overrides"]
    assert [(each["option"], each["place"]["part"]) for each in stands] == [*zip("AB", brackets, strict=True)]


def test_what_of_the_changes_of_lines_does_not_hold_in_an_option_is_told(estimator):
    job = {**a_job(), "mounting": {**a_job()["mounting"], "material": "aluminium"}}
    job_id = estimator.post_job(job).json()["id"]
    bracket = estimator.quote_job(job_id, options=[OTHER]).json()["estimate"]["options"][0]["bracket"]
    dear = [{"part": bracket, "unit_price": "99.00"}]
    first, other = estimator.quote_job(job_id, options=[OTHER], line_changes=dear).json()["estimate"]["options"]
    assert first["checks"] == []
    assert [(each["code"], each["place"]) for each in other["checks"]] == [("change_not_in_option", {"part": bracket})]
