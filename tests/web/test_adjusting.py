"""A quote adjusted on its page: the effect first, then a revision; a workbook looked at before it is taken."""

import html
import io
import re

import openpyxl
import pytest

from estimator.contract.requests.pricing import pricing_of
from estimator.service.context import store_nothing
from estimator.service.jobs import post_job
from estimator.service.people.accounts import list_people
from estimator.service.quoting import quotes
from estimator.service.quoting.stored import quotes as stored_quotes
from estimator.web.forms import choices_form
from tests.web.desks import Desk, a_posted_job


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    made = Desk(tmp_path_factory.mktemp("desk"))
    made.estimator = made.person("estimator")
    made.client = next(person.client for person, _ in list_people(made.context))
    document = a_posted_job("ADJ-1")
    pricing = pricing_of(document, {})
    kept = post_job(made.context, made.client, pricing.job, document, store_nothing)
    made.quote = quotes.draft_quote(made.context, made.client, kept.id, pricing, store_nothing)
    yield made
    made.context.engine.dispose()


@pytest.fixture
def here(desk):
    return f"/quotes/{desk.quote.card.id}"


def whole(desk, answer):
    assert answer.status_code == 303, re.findall(r'-fault">[^<]+<', answer.text)
    return stored_quotes.get_whole(desk.context, desk.client, answer.headers["Location"].rpartition("/")[2])


def count(desk):
    found = stored_quotes.list_quotes(desk.context, desk.client, before=None, limit=200, job_id=None, state=None)
    return len(found)


def test_the_effect_is_shown_before_anything_is_stored(desk, here):
    before = count(desk)
    page = desk.estimator.send(f"{here}/adjust", {"do": "look", "margin": "40", "discount": "5"}, on=f"{here}/adjust")
    assert page.status_code == 200 and "Total before tax" in page.text and 'value="40"' in page.text
    part = desk.estimator.send(f"{here}/effect", {"margin": "40"}, on=f"{here}/adjust")
    assert "<html" not in part.text and "Margin" in part.text
    assert count(desk) == before


def test_a_fault_beside_the_effect_is_told_in_the_language_of_whoever_types(desk, here):
    reader = desk.person("estimator", language="de")
    part = reader.send(f"{here}/effect", {"margin": "abc"}, on=f"{here}/adjust")
    assert "keine Dezimalzahl" in part.text and "not a decimal" not in part.text


def test_a_margin_in_per_cent_becomes_a_revision_priced_by_it(desk, here):
    made = whole(desk, desk.estimator.send(f"{here}/adjust", {"do": "save", "margin": "40", "validity_days": "10"}))
    assert made.card.revision >= 2 and made.card.choices["margin"] == "0.4"
    assert made.card.prepared_by == "estimator one"
    assert (made.card.valid_until - made.card.dated).days == 10


def test_lines_are_changed_struck_discounted_and_added_each_by_its_part(desk, here):
    lines = desk.quote.offer.estimate.bill.lines
    first, second, third = (line.line.part for line in lines[:3])
    sent = {
        "do": "save",
        "line/0/part": first, "line/0/ordered": str(lines[0].line.ordered + lines[0].line.pack_size),
        "line/0/reason": "spare",
        "line/1/part": second, "line/1/discount": "12.5",
        "line/2/part": third, "line/2/unit_price": "9,99", "line/2/reason": "agreed",
    }  # fmt: skip
    made = whole(desk, desk.estimator.send(f"{here}/adjust", sent))
    assert made.card.choices["line_discounts"] == {second: "0.125"}
    changed = {each["part"]: each for each in made.card.choices["line_changes"]}
    assert changed[third] == {"part": third, "unit_price": "9.99", "reason": "agreed"}
    page = desk.estimator.get(f"/quotes/{made.card.id}/adjust").text
    assert 'value="9.99"' in page and 'value="12.5"' in page
    undone = {"do": "save", "line/2/part": third, "line/2/unit_price": ""}
    again = whole(desk, desk.estimator.send(f"/quotes/{made.card.id}/adjust", undone))
    assert third not in {each["part"] for each in again.card.choices["line_changes"]}


def test_faults_stand_at_their_fields_and_what_was_typed_stays(desk, here):
    page = desk.estimator.send(f"{here}/adjust", {"do": "save", "margin": "much", "validity_days": "0"})
    assert page.status_code == 422 and 'value="much"' in page.text
    assert re.search(r'id="margin-fault">[^<]+<', page.text) and re.search(
        r'id="validity_days-fault">[^<]+<', page.text
    )


def test_options_alternates_and_offcuts_are_filled_in_and_stay_in_the_form(desk, here):
    book = desk.quote.offer.estimate.book
    profile = next(iter(book.rails))
    billed = {line.line.role for line in desk.quote.offer.estimate.bill.lines}
    spare = next(part for part, known in book.parts.items() if known.role not in billed)
    sent = {
        "do": "save", "options/0/title": "In steel", "options/0/material": "steel",
        "alternates/0/part": spare, "alternates/0/quantity": "5", "alternates/0/included": "yes",
        "offcuts/0/rail": profile, "offcuts/0/length": "4 m", "offcuts/0/price": "3.00", "offcuts/0/count": "2",
    }  # fmt: skip
    made = whole(desk, desk.estimator.send(f"{here}/adjust", sent, on=f"{here}/adjust"))
    assert made.card.choices["options"] == [{"title": "In steel", "material": "steel"}]
    assert made.card.choices["alternates"] == [{"part": spare, "quantity": 5, "included": True}]
    assert made.card.choices["offcuts"] == [{"rail": profile, "length": "4 m", "price": "3.00", "count": 2}]
    assert made.offer.letters == ("A", "B")
    page = desk.estimator.get(f"/quotes/{made.card.id}/adjust").text
    assert 'name="options/1/title"' in page and 'value="In steel"' in page and 'value="4 m"' in page
    struck = {"do": "save", **{name: "" for name in sent if name.startswith("options/0/")}}
    again = whole(desk, desk.estimator.send(f"/quotes/{made.card.id}/adjust", struck))
    assert "options" not in again.card.choices and again.card.choices["offcuts"] == made.card.choices["offcuts"]


def test_offcuts_of_a_file_become_rows_of_the_form_and_a_fault_stands_in_its_row(desk, here):
    profile = next(iter(desk.quote.offer.estimate.book.rails))
    table = f"rail;length;price;count\n{profile};3960;4,50;2\n{profile};long;1;1\n".encode()
    file = {"do": "look", "offcuts_file": (io.BytesIO(table), "offcuts.csv")}
    page = desk.estimator.send(f"{here}/adjust", file, on=f"{here}/adjust", content_type="multipart/form-data")
    assert page.status_code == 422 and 'name="offcuts/0/length" value="3960"' in page.text
    assert 'name="offcuts/1/length" value="long"' in page.text
    assert re.search(r'id="offcuts-1-length-fault">[^<]+<', page.text)


def test_an_offcuts_file_that_is_too_long_costs_nothing_that_was_typed(desk, here):
    table = b"X;1;1;1\n" * 10_001
    sent = {"do": "save", "margin": "41", "offcuts_file": (io.BytesIO(table), "offcuts.csv")}
    page = desk.estimator.send(f"{here}/adjust", sent, on=f"{here}/adjust", content_type="multipart/form-data")
    assert page.status_code == 422 and 'value="41"' in page.text and "more than 10,000 rows" in page.text


def test_a_quote_of_more_parts_than_the_form_lists_says_so(desk, here, monkeypatch):
    monkeypatch.setattr(choices_form, "MOST_LINES", 3)
    parts = [line.line.part for line in desk.quote.offer.estimate.bill.lines]
    page = desk.estimator.get(f"{here}/adjust").text
    assert f"3 of {len(parts)} parts are listed here" in page and 'name="line/3/part"' not in page
    sent = {"do": "save", "new/0/part": parts[-1], "new/0/unit_price": "9.99", "new/0/reason": "agreed"}
    made = whole(desk, desk.estimator.send(f"{here}/adjust", sent))
    address = f"/quotes/{made.card.id}/adjust"
    page = desk.estimator.get(address).text
    assert f'name="line/3/part" value="{parts[-1]}"' in page and f"4 of {len(parts)} parts" in page
    again = {"do": "save", "line/3/part": parts[-1], "line/3/unit_price": "8.88", "line/3/reason": "agreed"}
    made = whole(desk, desk.estimator.send(address, again))
    assert {"part": parts[-1], "unit_price": "8.88", "reason": "agreed"} in made.card.choices["line_changes"]
    monkeypatch.undo()
    assert "parts are listed here" not in desk.estimator.get(f"{here}/adjust").text


def test_differences_of_two_revisions_are_told_and_costs_only_to_whom_may_see_them(desk, here):
    made = whole(desk, desk.estimator.send(f"{here}/adjust", {"do": "save", "margin": "45"}))
    address = f"/quotes/{made.card.id}/differences?with={desk.quote.card.id}"
    told = desk.estimator.get(address).text
    assert "Margin rate" in told and re.search(r"Margin</th><td[^>]*>–</td><td[^>]*>45%<", told)
    seen = desk.person("crm").get(address).text
    assert "Total before tax" in seen and "Margin" not in seen
    assert desk.estimator.get(f"/quotes/{made.card.id}/differences?with=x").status_code == 404


def test_an_edited_workbook_is_looked_at_and_then_taken(desk, here):
    content = desk.estimator.get(f"{here}/papers/workbook.xlsx").data
    book = openpyxl.load_workbook(io.BytesIO(content))
    cell = next(
        cell for sheet in book for row in sheet.iter_rows() for cell in row
        if isinstance(cell.value, (int, float)) and not cell.protection.locked and 0 < cell.value < 1
    )  # fmt: skip
    cell.value = round(cell.value + 0.05, 4)
    stream = io.BytesIO()
    book.save(stream)
    before = count(desk)
    file = {"workbook": (io.BytesIO(stream.getvalue()), "edited.xlsx"), "merge": "yes"}
    page = desk.estimator.send(f"{here}/workbook", file, on=here, content_type="multipart/form-data")
    assert page.status_code == 200, page.text
    assert "Make a revision of these changes" in page.text and count(desk) == before
    again = html.unescape(re.search(r'name="content" value="([^"]*)"', page.text)[1])
    taken = desk.estimator.send(f"{here}/workbook/take", {"content": again, "merge": "yes"})
    assert taken.status_code == 303, taken.text
    assert count(desk) == before + 1
    assert desk.estimator.send(f"{here}/workbook/take", {"content": "???"}).status_code == 422


@pytest.mark.parametrize("content", [b"", b"PK no workbook"])
def test_a_file_that_is_no_workbook_is_refused_in_words(desk, here, content):
    file = {"workbook": (io.BytesIO(content), "edited.xlsx")}
    page = desk.estimator.send(f"{here}/workbook", file, on=here, content_type="multipart/form-data")
    assert page.status_code == 422 and "Take these changes" not in page.text
