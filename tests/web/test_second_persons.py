"""Paths on which two people meet: approvals, editions, re-pricing, workbooks, one quote in two browsers. In a browser.

What must hold is the house's design (four eyes, nobody's change lost); there is no published source for it.
"""

import csv
import io
from datetime import UTC, datetime
from pathlib import Path

import openpyxl
import pytest
import requests

from tests.web.browser import WITHOUT_RAILS, House, a_browser, quote_of_the_sample, signed_in

BOOKS = Path(__file__).parents[2] / "pricebooks" / "hanse-eu"
LIMITS = {"estimator": {"most_discount": "0.10"}}


@pytest.fixture(scope="module")
def browser():
    with a_browser() as made:
        yield made


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    """A house in which estimators discount up to 10 % on their own, and editions need a second person."""
    made = House(tmp_path_factory.mktemp("house")).start()
    made.ann, made.bob = made.person("ann@example.com"), made.person("bob@example.com")
    made.pia, made.paul = (made.person(f"{name}@example.com", "pricing") for name in ("pia", "paul"))
    key = made.run("keys", "create", "--role", "admin", "--name", "policy").split("key: ")[1].split()[0]
    policy = {"limits": LIMITS, "editions_need_approval": True}
    head = {"Authorization": f"Bearer {key}", "If-Match": '"v1"'}
    answer = requests.patch(f"{made.base}/v1/policy", json=policy, headers=head, timeout=30)
    assert answer.status_code == 200, answer.text
    yield made
    made.stop()


def missing(page, *words):
    """The words that the page does not show, with what it shows instead; an empty list where it shows them all."""
    text = page.inner_text("main")
    lacking = [each for each in words if each not in text]
    return f"{lacking} is not in: {text[:1200]}" if lacking else []


def pressed(page, button):
    """Press, and wait for the page that answers."""
    with page.expect_navigation():
        page.click(button)


def test_a_discount_beyond_the_limit_is_approved_by_a_second_person_and_not_by_oneself(house, browser):
    address = quote_of_the_sample(house.ann, "EYES-1", WITHOUT_RAILS)
    with signed_in(browser, house.ann) as page:
        page.goto(page.base + address + "/adjust")
        page.fill("[name=discount]", "25")
        pressed(page, "text=Make a revision")
        draft = page.url
        assert missing(page, "Another person has to approve it") == []
        pressed(page, "text=Issue the quote")
        assert missing(page, "Another person has to approve this first") == []
        page.goto(draft)
        page.fill("#approval", "I said so")
        pressed(page, "form:has(#approval) button")
        assert missing(page, "Your role does not include this") == []
        page.said.clear()  # both refusals are told by the console, too
    with signed_in(browser, house.bob) as page:
        page.goto(draft)
        page.fill("#approval", "me too")
        pressed(page, "form:has(#approval) button")
        assert missing(page, "Your role does not include this") == []  # as far as his own limit reaches, and no farther
        page.said.clear()
    with signed_in(browser, house.pia) as page:
        page.goto(draft)
        page.fill("#approval", "old customer")
        pressed(page, "form:has(#approval) button")
        assert missing(page, "Approved by Pia: old customer") == []
    with signed_in(browser, house.ann, scripts=False) as page:
        page.goto(draft)
        pressed(page, "text=Issue the quote")
        assert "issued" in page.inner_text("dl.facts >> nth=0")
        assert missing(page, "approved, Pia: old customer") == []


def a_price_list(tenfold):
    """The supplier's own numbers and prices as a CSV in its own words, one part ten times as dear."""
    newest = max(BOOKS.iterdir())
    rows = list(csv.DictReader((newest / "parts.csv").read_text(encoding="utf-8-sig").splitlines(), delimiter=";"))
    own = [row for row in rows if row["supplier"] == "zwirnfels"]
    lines = ["Artikel;Preis"]
    for at, row in enumerate(own):
        cost = float(row["cost"].replace(",", ".")) * (10 if at == tenfold else 1.02)
        lines.append(f"{row['supplier_part']};{cost:.2f}".replace(".", ","))
    return own[tenfold]["part"], "\n".join([*lines, "XX 999;1,00"]).encode()


def test_a_price_list_becomes_an_edition_with_alarms_that_another_approves_prices_and_withdraws(house, browser):
    """Mapping told once, unknown numbers named, a jump in price alarmed; before it is approved it prices nothing."""
    open_quote = quote_of_the_sample(house.ann, "LIST-1", WITHOUT_RAILS)
    newest = max(BOOKS.iterdir()).name
    part, content = a_price_list(tenfold=0)
    sent = {"name": "prices.csv", "mimeType": "text/csv", "buffer": content}
    here = f"/pricebooks/hanse-eu/{newest}"
    with signed_in(browser, house.pia) as page:
        page.goto(page.base + here)
        page.fill("#supplier", "zwirnfels")
        page.fill("#new_edition", "spring-list")
        page.fill("#valid_from", datetime.now(UTC).date().isoformat())
        page.fill("#valid_until", "2099-12-31")
        page.set_input_files("#list", sent)
        pressed(page, "#list-head ~ form button.main")
        assert missing(page, "Some fields cannot be taken as they are") == []
        assert page.input_value("#new_edition") == "spring-list"
        page.said.clear()
        page.set_input_files("#list", sent)
        page.click("summary:has-text('Columns of the list')")
        page.fill("#column-part", "Artikel")
        page.fill("#column-cost", "Preis")
        page.select_option("#decimal_sign", ",")
        pressed(page, "#list-head ~ form button.main")
        assert missing(page, "The edition was made", part, "XX 999") == []
        page.click("text=Look at its differences")
        page.wait_for_selector("text=waits for a second person")
        page.select_option("#with", newest)
        pressed(page, "text=Compare >> nth=-1")
        assert page.locator("td .mark").count() == 1 and part in page.inner_text("tr:has(.mark)")
        page.fill("#approve", "mine")
        pressed(page, "form:has(#approve) button")
        assert missing(page, "Your role does not include this", "waits for a second person") == []
        page.said.clear()
        edition = page.url.removesuffix("/approve")
    with signed_in(browser, house.paul, scripts=False) as page:
        page.goto(edition)
        assert page.locator("#priced_on").count() == 0  # nothing is held against what is not approved
        page.fill("#approve", "checked by telephone")
        pressed(page, "form:has(#approve) button")
        assert missing(page, "approved") == []
        page.goto(page.base + "/pricebooks")
        assert "approved, in force" in page.inner_text("tr:has-text('spring-list')")
    with signed_in(browser, house.pia) as page:
        _repriced_as_a_draft(page, edition, open_quote, house, browser)
    with signed_in(browser, house.paul) as page:
        page.goto(edition)
        page.click("summary:has-text('Withdraw')")
        page.fill("#withdraw", "wrong list")
        pressed(page, "form:has(#withdraw) button")
        assert missing(page, "withdrawn") == [] and page.locator("#priced_on").count() == 0


def _repriced_as_a_draft(page, edition, open_quote, house, browser):
    """Held against the edition, watched to its end, and a draft made by somebody who writes quotes."""
    page.goto(edition)
    pressed(page, "form:has(#priced_on) button")
    page.wait_for_selector("text=The report as a workbook")
    report = page.url
    assert page.locator("input[name=quote]").count() == 0  # pricing writes no quotes
    with signed_in(browser, house.ann) as writer:
        writer.goto(report)
        number = writer.inner_text(f"a[href='{open_quote}']")
        writer.check(f"[aria-label='Draft {number}']")
        pressed(writer, "text=Make drafts of those ticked")
        writer.wait_for_selector("text=its draft")
        pressed(writer, "text=its draft")
        assert missing(writer, "spring-list") == [] and "draft" in writer.inner_text("dl.facts >> nth=0")


def an_edited(workbook):
    """The workbook with the margin five points higher, as somebody types it."""
    book = openpyxl.load_workbook(io.BytesIO(workbook))
    cell = next(
        cell for sheet in book for row in sheet.iter_rows() for cell in row
        if isinstance(cell.value, (int, float)) and not cell.protection.locked and 0 < cell.value < 1
    )  # fmt: skip
    cell.value = round(cell.value + 0.05, 4)
    stream = io.BytesIO()
    book.save(stream)
    return {"name": "edited.xlsx", "mimeType": "application/octet-stream", "buffer": stream.getvalue()}


def test_a_workbook_is_looked_at_taken_and_one_that_others_overtook_is_told_and_laid_over_theirs(house, browser):
    address = quote_of_the_sample(house.ann, "BOOK-1", WITHOUT_RAILS)
    edited = an_edited(house.ann.get(f"{address}/papers/workbook.xlsx").content)
    with signed_in(browser, house.ann) as page:
        page.goto(page.base + address)
        page.set_input_files("#workbook", edited)
        pressed(page, "text=Look at its changes")
        assert missing(page, "Changes in its cells", "Total of the revision") == []
        looked = page.url
        house.bob.send(f"{address}/adjust", {"do": "save", "validity_days": "11"}, on=f"{address}/adjust")
        pressed(page, "text=Make a revision of these changes")
        assert missing(page, "revised since this workbook was downloaded") == []
        page.said.clear()
        page.goto(page.base + address)
        page.set_input_files("#workbook", edited)
        page.check("[name=merge]")
        pressed(page, "text=Look at its changes")
        pressed(page, "text=Make a revision of these changes")
        assert page.url != looked and "Prepared by" in page.inner_text("main")
        assert page.locator("section:has(#history-head) tbody tr").count() == 3


def test_two_people_on_one_quote_are_told_what_the_other_did_and_both_changes_stand(house, browser):
    address = quote_of_the_sample(house.ann, "TWO-1", WITHOUT_RAILS)
    with signed_in(browser, house.ann) as mine, signed_in(browser, house.bob) as theirs:
        for page in (mine, theirs):
            page.goto(page.base + address)
        pressed(theirs, "text=Issue the quote")
        pressed(mine, "text=Issue the quote")
        assert missing(mine, "Somebody changed it in between", "issued, Bob") == []
        mine.said.clear()
        for page in (mine, theirs):
            page.goto(page.base + address + "/adjust")
        theirs.fill("[name=validity_days]", "12")
        pressed(theirs, "text=Make a revision")
        mine.fill("[name=validity_days]", "13")
        pressed(mine, "text=Make a revision")
        assert mine.locator("section:has(#history-head) tbody tr").count() == 3
        mine.goto(mine.base + address + "/adjust")
        assert missing(mine, "There are later revisions") == []
