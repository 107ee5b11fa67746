"""Whatever somebody types is text: a script in every text field of every form does nothing on any page, in a browser.

The payloads are those that each context would run: an element, the end of an attribute, a template, a formula.
"""

import json
import re

import pytest

from tests.web.browser import WORDS, House, Visitor, a_browser, fields_in, signed_in, version_of

PAYLOAD = "\"'><script>window.ran=1</script><img src=x onerror=window.ran=1>{{7*7}}=1+1"
CHOSEN = {"customer/tier", "site/freight_zone", "site/needed_on", "mounting/bracket", "mounting/rail"}
"""Texts that name something of the pricebook or a day: there a payload is refused, which a test of its own tells."""


@pytest.fixture(scope="module")
def browser():
    with a_browser() as made:
        yield made


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    made = House(tmp_path_factory.mktemp("house")).start()
    token = made.run("people", "invite", "boss@example.com", "--name", PAYLOAD[:60], "--role", "admin").strip()
    made.boss = Visitor(made.base)
    made.boss.send(token, {"password": WORDS, "again": WORDS}, on=token)
    yield made
    made.stop()


def texts_of(fields):
    """The sample's form with the payload in every field that takes any text."""
    plain = {
        "reference",
        "title",
        "notes",
        "customer/name",
        "customer/contact",
        "customer/email",
        "mounting/spans_given_by",
    }
    ends = ("/lines", "/city", "/region", "/name", "/tax_number", "/tax_exemption")
    chosen = {name for name in fields if (name in plain or name.endswith(ends)) and not name.startswith("new/")}
    short = {name: 40 if name.endswith("tax_number") else 120 for name in chosen}
    return {name: PAYLOAD[: short[name]] for name in chosen}


def is_inert(page, path):
    """Open a page: its own scripts run, nobody else's does, and no element of a payload is there."""
    page.goto(page.base + path)
    assert page.evaluate("window.ran === undefined"), path
    assert page.locator("img[src=x]").count() == 0, path
    assert page.locator("script:not([src])").count() == 0, path


def test_payloads_in_every_text_of_job_quote_order_and_edition_are_inert_on_every_page(house, browser):
    boss = house.boss
    fields = fields_in(boss.get("/jobs/new?from=sample").text)
    sent = {**fields, **texts_of(fields), "do": "quote"}
    answer = boss.session.post(f"{boss.base}/jobs/form", data=sent, timeout=300, allow_redirects=False)
    assert answer.status_code == 303, answer.text
    quote = answer.headers["Location"]
    change = {"do": "save", "notes": PAYLOAD, "prepared_by": PAYLOAD, "options/0/title": PAYLOAD[:80],
              "options/0/material": "steel", "validity_days": "12"}  # fmt: skip
    quote = boss.send(f"{quote}/adjust", change, on=f"{quote}/adjust").headers["Location"]
    boss.send(f"{quote}/issue", {"version": version_of(boss, quote)}, on=quote)
    boss.send(f"{quote}/answer", {"version": version_of(boss, quote), "answer": "accepted", "option": "A"}, on=quote)
    order = boss.send("/orders", {"quote": quote.rpartition("/")[2]}, on="/orders").headers["Location"]
    job = next(part for part in boss.get(quote).text.split('"') if part.startswith("/jobs/0"))
    with signed_in(browser, boss) as page:
        for path in ("/me", "/quotes", "/jobs", job, quote, f"{quote}/adjust", order, "/orders", "/people", "/policy"):
            is_inert(page, path)
        for path in (*others_of(boss, quote), "/", "/pricebooks"):
            is_inert(page, path)
        assert PAYLOAD[:30] in page.inner_text("main") or PAYLOAD[:30] in page.inner_text("header")
        page.goto(page.base + quote)
        page.focus("svg.roof-plan")
        page.keyboard.press("ArrowRight")
        page.wait_for_selector(".plan-told:has-text('script')")
        assert page.evaluate("window.ran === undefined")


def others_of(boss, quote):
    """A person, an edition that was withdrawn with a reason, its re-pricing, and differences: all with the payload."""
    sent = {"login": PAYLOAD[:60], "name": PAYLOAD[:60], "role": "crm", "language": "en", "units": "metric"}
    invited = boss.send("/people", sent, on="/people")
    assert invited.status_code == 200 and "<script>window" not in invited.text
    people = re.findall(r'href="(/people/[\w-]+)"', boss.get("/people").text)
    later = boss.send(f"{quote}/adjust", {"do": "save", "notes": f"{PAYLOAD} again"}, on=f"{quote}/adjust")
    differences = f"{later.headers['Location']}/differences?with={quote.rpartition('/')[2]}"
    editions = sorted(set(re.findall(r'href="(/pricebooks/hanse-eu/[^"]+)"', boss.get("/pricebooks").text)))
    repricing = boss.send(f"{editions[-1]}/repricing", {}, on=editions[-1]).headers["Location"]
    boss.send(f"{editions[0]}/withdraw", {"reason": PAYLOAD}, on=editions[0])
    return (*people, differences, *editions, repricing)


@pytest.mark.parametrize("path", [
    "/quotes?words={}", "/quotes?customer={}&state={}&order={}&least={}", "/sign-in?next={}", "/pricebooks/{}/{}",
    "/quotes/{}", "/orders/new?quote={}", "/jobs?before={}", "/nothing/{}",
])  # fmt: skip
def test_payloads_in_an_address_are_inert(house, browser, path):
    with signed_in(browser, house.boss) as page:
        is_inert(
            page,
            path.replace("{}", "%22'%3E%3Cscript%3Ewindow.ran=1%3C%2Fscript%3E%3Cimg src=x onerror=window.ran=1%3E"),
        )
        page.said.clear()  # what is not there answers 404, and the console says so


def test_payloads_that_are_refused_are_shown_again_as_text(house, browser):
    """Fields that cannot hold them, an imported file with them as names, a stock list and a price list with them."""
    with signed_in(browser, house.boss) as page:
        page.goto(page.base + "/jobs/new?from=sample")
        for name in [*sorted(CHOSEN - {"site/needed_on"}), "roofs/0/slope", "module/length"]:
            page.fill(f"[name='{name}']", PAYLOAD)
        page.wait_for_selector("#roofs-0-slope-fault:not(:empty)")
        page.click("form#job button[value=save]")
        page.wait_for_selector("[role=alert]")
        assert page.input_value("[name='roofs/0/slope']") == PAYLOAD
        assert page.evaluate("window.ran === undefined") and page.locator("img[src=x]").count() == 0
        page.goto(page.base + "/policy")
        page.fill("[name='limits/crm/most_discount']", PAYLOAD)
        page.click("form[action='/policy'] button")
        assert page.input_value("[name='limits/crm/most_discount']") == PAYLOAD
        assert page.evaluate("window.ran === undefined") and page.locator("img[src=x]").count() == 0
        page.goto(page.base + "/jobs")
        page.click("summary")
        job = {PAYLOAD: {PAYLOAD: PAYLOAD}, "roofs": [{"name": PAYLOAD, PAYLOAD: 1}], "module": PAYLOAD}
        content = json.dumps(job).encode()
        page.set_input_files(
            "#file", {"name": f"{PAYLOAD[:40]}.json", "mimeType": "application/json", "buffer": content}
        )
        page.click("text=Import >> nth=-1")
        page.wait_for_selector("#further")
        assert PAYLOAD in page.input_value("#further")
        assert page.evaluate("window.ran === undefined") and page.locator("img[src=x]").count() == 0
        page.said.clear()
