"""Pages for everybody: no rule of WCAG 2.2 AA broken on any page in any language, light and dark, narrow and zoomed.

Source: axe-core's rules for WCAG 2.0 to 2.2, A and AA; WCAG 2.2, 1.4.10 (reflow at 320 px, which is 400 % of 1,280).
"""

import html
import json
import re
import sqlite3
from contextlib import closing

import pytest

from estimator.web.pages import ALL_PAGES
from tests.references import require_module
from tests.web.browser import WORDS, House, Visitor, a_browser, fields_in, quote_of_the_sample, signed_in, version_of

LANGUAGES = {"en": "us_metric", "de": "metric", "es": "metric", "fr": "metric_us"}
RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    "resultTypes": ["violations"],  # the others are counted, but their elements not told
}
PAGES = (
    "/quotes", "/quotes?state=draft&words=nothing", "{quote}", "{quote}/adjust", "{draft}",
    "{draft}/differences?with={id}",
    "/jobs", "/jobs/new", "/jobs/new?from=sample", "{job}", "/orders", "/orders/new?quote={id}", "{order}",
    "/pricebooks",
    "/pricebooks/hanse-eu/{edition}", "/me", "/policy", "/people", "{person}", "/quotes/none",
    "{change}", "{repricing}", "{failing}", "/", "/orders/making/{running}", "/orders/making/{failed}",
)  # fmt: skip
ELSEWHERE = {
    "/sign-in": "has a test of its own, by somebody who has not signed in",
    "/invitations/<token>": "the same",
    "/sign-in/provider": "leads away", "/sign-in/provider/answer": "leads on",
    "/jobs/<job_id>/job.json": "a file", "/quotes/<quote_id>/papers/<file>": "a paper",
    "/quotes/<quote_id>/plan-facts/<roof>": "for the plan's script",
    "/repricings/<repricing_id>/workbook.xlsx": "a file",
    "/orders/<order_id>/papers/<file>": "a paper", "/orders/<order_id>/suppliers/<supplier>/<file>": "a paper",
    "/orders/<order_id>/deliveries/<number>/<file>": "a paper",
}  # fmt: skip
"""Pages that are not among those, and why."""
ANSWERS = (
    ("/people", {"login": "", "role": "king"}), ("/policy", {"limits/crm/most_discount": "much"}),
    ("/orders", {"quote": []}), ("{quote}/adjust", {"do": "look", "margin": "31"}),
    ("{quote}/adjust", {"do": "look", "margin": "much"}), ("{quote}/workbook", {}), ("/jobs/import", {}),
    ("{person}", {"do": "invite"}), ("{failing}/issue", {"version": "1"}), ("/pricebooks", {}),
    ("/pricebooks/hanse-eu/{edition}/price-list", {"supplier": "nobody"}), ("/jobs/form", {"do": "add:roofs"}),
)  # fmt: skip
"""Forms whose answers are pages: most refusals, each with what keeps it from being done."""
HEAVIEST = 200_000
SHIFTS = """
window.shifted = 0;
new PerformanceObserver((list) => {
  for (const each of list.getEntries()) if (!each.hadRecentInput) window.shifted += each.value;
}).observe({ type: "layout-shift", buffered: true });
"""
CUT_CHOICES = """() => {
  const pen = document.createElement("canvas").getContext("2d"), cut = [];
  for (const field of document.querySelectorAll("select")) {
    const look = getComputedStyle(field), [longest] = [...field.options].sort((a, b) => b.text.length - a.text.length);
    field.value = longest.value;
    pen.font = look.font;
    const room = field.clientWidth - parseFloat(look.paddingLeft) - parseFloat(look.paddingRight);
    const lines = Math.ceil(pen.measureText(longest.text).width / room);
    const enough = field.clientHeight >= lines * parseFloat(look.lineHeight);
    if (!enough) cut.push([field.name, longest.text, lines, field.clientHeight]);
  }
  return cut;
}"""
PLANS = "[...document.querySelectorAll('svg.roof-plan')].reduce((n, s) => n + s.outerHTML.length, 0)"


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    """A house with a quote that was ordered, its revision as a draft, and somebody of every language."""
    made = House(tmp_path_factory.mktemp("house")).start()
    made.people = {lang: made.person(f"{lang}@example.com", "admin", lang, units) for lang, units in LANGUAGES.items()}
    boss = made.people["en"]
    quote = quote_of_the_sample(boss, "AXE-1")
    assert boss.send(f"{quote}/issue", {"version": version_of(boss, quote)}, on=quote).status_code == 303
    boss.send(f"{quote}/answer", {"version": version_of(boss, quote), "answer": "accepted"}, on=quote)
    order = boss.send("/orders", {"quote": quote.rpartition("/")[2]}, on="/orders").headers["Location"]
    draft = boss.send(f"{quote}/adjust", {"do": "save", "margin": "40"}, on=f"{quote}/adjust").headers["Location"]
    job = next(part for part in boss.get(quote).text.split('"') if part.startswith("/jobs/0"))
    edition = boss.get("/pricebooks").text.partition("/pricebooks/hanse-eu/")[2].partition('"')[0]
    named = {
        "quote": quote,
        "draft": draft,
        "id": quote.rpartition("/")[2],
        "job": job,
        "order": order,
        "edition": edition,
    }
    named["person"] = re.search(r'href="(/people/[\w-]+)"', boss.get("/people").text)[1]
    named |= a_change_and_a_repricing(boss, named)
    named |= {state: an_order_in_the_making(made, state) for state in ("running", "failed")}
    made.pages = [page.format(**named) for page in PAGES]
    made.answers = [(path.format(**named), fields) for path, fields in ANSWERS]
    yield made
    made.stop()


def a_change_and_a_repricing(boss, named):
    """A change of the order, waiting quotes held against an edition, and a quote that its checks keep a draft."""
    adjust = f"{named['quote']}/adjust"
    part = re.search(r'name="line/0/part" value="([^"]+)"', boss.get(adjust).text)[1]
    sent = {"do": "save", "line/0/part": part, "line/0/struck": "yes", "line/0/reason": "bought already"}
    quote = boss.send(adjust, sent, on=adjust).headers["Location"]
    checks = [html.unescape(each) for each in re.findall(r'name="check" value="([^"]*)"', boss.get(quote).text)]
    reasons = {"check": checks, "reason": ["asked for"] * len(checks)}
    boss.send(f"{quote}/issue", {"version": version_of(boss, quote), **reasons}, on=quote)
    boss.send(f"{quote}/answer", {"version": version_of(boss, quote), "answer": "accepted"}, on=quote)
    change = boss.send("/orders", {"quote": quote.rpartition("/")[2]}, on="/orders").headers["Location"]
    edition = f"/pricebooks/hanse-eu/{named['edition']}"
    repricing = boss.send(f"{edition}/repricing", {}, on=edition).headers["Location"]
    fields = {**fields_in(boss.get("/jobs/new?from=sample").text), "reference": "AXE-2", "do": "quote"}
    failing = {**fields, "roofs/0/keep_clear/left": "12000"}
    answer = boss.session.post(f"{boss.base}/jobs/form", data=failing, timeout=300, allow_redirects=False)
    return {"change": change, "repricing": repricing, "failing": answer.headers["Location"]}


def an_order_in_the_making(house, state):
    """An operation that cuts rails for an order, held for long or failed: the re-pricing's row, altered."""
    key = f"{state:0<36}"
    problem = {"type": "/problems/conflict", "detail": "the quotes were ordered meanwhile"}
    ended = {"finished_at": None} if state == "running" else {"problem": json.dumps(problem)}
    with closing(sqlite3.connect(house.folder / "estimator.db", timeout=60)) as database, database:
        database.row_factory = sqlite3.Row
        row = dict(database.execute("SELECT * FROM operation WHERE kind = 'repricing'").fetchone())
        long = row["created_at"].replace(row["created_at"][:4], "2999", 1)
        made = {"id": key, "kind": "order_list", "state": state, "claim": key, "claimed_until": long}
        row |= {**made, "location": None, "result": None, "told": None, "total": 3, "done": 1, **ended}
        marks = ", ".join("?" * len(row))
        database.execute(f"INSERT INTO operation ({', '.join(row)}) VALUES ({marks})", tuple(row.values()))
    return key


@pytest.fixture(scope="module")
def browser():
    with a_browser() as made:
        yield made


def broken_rules(page):
    axe = require_module("axe_playwright_python.sync_playwright").Axe()
    found = axe.run(page, options=RULES).response["violations"]
    return [(each["id"], node["html"][:160]) for each in found for node in each["nodes"]]


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_rule_of_accessibility_is_broken_on_any_page(house, browser, language):
    with signed_in(browser, house.people[language], dark=language in {"de", "fr"}) as page:
        for path in house.pages:
            page.goto(page.base + path)
            assert page.get_attribute("html", "lang") == language
            assert broken_rules(page) == [], path
        page.said.clear()  # the page of a quote that is not there answers 404, and the console says so


def test_every_page_there_is_stands_among_those_that_are_looked_at(house):
    found = {path.partition("?")[0] for path in house.pages}
    patterns = {route.path for route in ALL_PAGES if route.method == "GET"}
    missed = [
        each for each in patterns if not any(re.fullmatch(re.sub(r"<\w+>", "[^/]+", each), path) for path in found)
    ]
    assert set(missed) == ELSEWHERE.keys()


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_rule_of_accessibility_is_broken_on_the_answer_of_a_form(house, browser, language):
    """The answer is fetched as a form without scripts fetches it, and looked at in the place of its page."""
    visitor = house.people[language]
    with signed_in(browser, visitor, dark=language in {"en", "es"}, width=360) as page:
        for path, fields in house.answers:
            answer = visitor.send(path, fields)
            assert answer.status_code in {200, 409, 412, 422} and "</html>" in answer.text, (path, answer.status_code)
            page.route(
                page.base + path,
                lambda route, request, body=answer.text: route.fulfill(body=body, content_type="text/html"),
            )
            page.goto(page.base + path)
            assert page.get_attribute("html", "lang") == language
            assert broken_rules(page) == [], path
            assert page.evaluate("document.documentElement.scrollWidth") <= 360, path
            page.unroute(page.base + path)
        page.said.clear()


def test_signing_in_is_for_everybody_too(house, browser):
    visitor = Visitor(house.base)
    with signed_in(browser, visitor) as page:
        page.goto(page.base + "/sign-in")
        assert broken_rules(page) == []
        page.fill("#login", "nobody")
        page.fill("#password", "wrong")
        page.click("main button")
        assert broken_rules(page) == [] and page.is_visible("[role=alert]")
        page.said.clear()


def test_what_was_typed_outlives_its_session_without_scripts(house, browser):
    """The session ends, the form is sent, somebody signs in on another page, and sends it again from the first."""
    visitor = house.person("typing@example.com")
    with signed_in(browser, visitor, scripts=False, width=360) as page:
        page.goto(page.base + "/jobs/new?from=sample")
        page.fill("[name=reference]", "KEPT-1")
        page.fill("[name=notes]", "<b>gate</b>\nwith a code")
        elsewhere = Visitor(house.base)
        signed = elsewhere.send("/sign-in", {"login": "typing@example.com", "password": WORDS}, on="/sign-in")
        assert signed.status_code == 303
        assert elsewhere.send("/me/sessions", {}).status_code == 303  # the browser's session ends, its cookie stays
        page.click("form#job button[value=save] >> nth=0")
        page.wait_for_selector("h1:text('Your session has ended')")
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        with page.context.expect_page() as opened:
            page.click("text=Sign in (opens another page)")
        opened.value.fill("#login", "typing@example.com")
        opened.value.fill("#password", WORDS)
        opened.value.click("main button")
        opened.value.wait_for_url("**/quotes")
        page.click("main form button")
        page.wait_for_selector("text=You are signed in as Typing")
        page.click("main form button")
        page.wait_for_url(re.compile(r"/jobs/[0-9a-f-]{30,}"))
        assert page.input_value("[name=reference]") == "KEPT-1"
        assert page.input_value("[name=notes]") == "<b>gate</b>\nwith a code"
        page.said.clear()


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_page_that_keeps_what_was_typed_breaks_no_rule(house, browser, language):
    with signed_in(browser, house.people[language], dark=language in {"en", "fr"}) as page:
        page.goto(page.base + "/me")
        page.evaluate("document.querySelector('main [name=form_token]').value = 'of another session'")
        page.click("main form >> nth=0 >> button")
        assert page.get_attribute("html", "lang") == language and page.is_visible("main [role=alert]")
        assert broken_rules(page) == []
        page.said.clear()


@pytest.mark.parametrize("width", [320, 360, 800])
def test_no_page_is_wider_than_a_small_screen_or_one_zoomed_four_times(house, browser, width):
    with signed_in(browser, house.people["de"], width=width) as page:
        for path in house.pages:
            page.goto(page.base + path)
            assert page.evaluate("document.documentElement.scrollWidth") <= width, path
        page.said.clear()


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_closed_choice_shows_all_of_its_words_on_a_narrow_screen(house, browser, language):
    """Its longest choice stands on as many lines as the words take, by the width that the browser measures."""
    with signed_in(browser, house.people[language], width=320) as page:
        for path in (house.pages[2], f"{house.pages[2]}/adjust", "/jobs/new", "/quotes", "/people", "/me"):
            page.goto(page.base + path)
            page.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
            assert page.evaluate(CUT_CHOICES) == [], path


def test_no_page_is_heavy_and_nothing_moves_while_it_loads(house, browser):
    with signed_in(browser, house.people["en"]) as page:
        page.add_init_script(SHIFTS)
        for path in house.pages:
            sizes = []
            page.on(
                "response", lambda answer, sizes=sizes: sizes.append(int(answer.header_value("content-length") or 0))
            )
            page.goto(page.base + path, wait_until="networkidle")
            plan = page.evaluate(
                "[...document.querySelectorAll('svg.roof-plan')].reduce((n, s) => n + s.outerHTML.length, 0)"
            )
            assert sum(sizes) - plan < HEAVIEST, path
            assert page.evaluate("window.shifted") < 0.1, path  # what "good" is: web.dev, from memory
        page.said.clear()


def test_pages_print_without_what_is_for_the_screen(house, browser):
    with signed_in(browser, house.people["en"]) as page:
        page.goto(page.base + house.pages[2])
        page.emulate_media(media="print")
        assert not page.is_visible("header.top") and not page.is_visible(".plan-tools")
        assert page.is_visible("svg.roof-plan") and page.is_visible("text=Total before tax")
        assert page.pdf().startswith(b"%PDF")


def test_a_draft_prints_its_checks_and_a_comparison_its_quotes(house, browser):
    """What stands inside of a form is printed with it; only what is to be pressed or filled in is not."""
    draft, repricing = (house.pages[PAGES.index(name)] for name in ("{failing}", "{repricing}"))
    with signed_in(browser, house.people["en"]) as page:
        page.emulate_media(media="print")
        page.goto(page.base + draft)
        assert page.is_visible("ul.checks > li.error") and not page.is_visible("[name=reason]")
        page.goto(page.base + repricing)
        page.wait_for_selector("text=Done.")
        assert page.is_visible("table th a") and not page.is_visible("input[type=checkbox]")


def test_a_job_prints_its_plan_and_what_is_said_of_it(house, browser):
    """The plan comes first, empty fields are left out, and every value is as wide as its text."""
    with signed_in(browser, house.people["de"], width=680) as page:
        page.goto(page.base + "/jobs/new?from=sample")
        page.emulate_media(media="print")
        page.fill("[name=title]", "A machine hall whose name is a good deal longer than a column of the paper is wide")
        plan, form = page.locator("svg.roof-plan").bounding_box(), page.locator("form#job").bounding_box()
        assert plan["y"] + plan["height"] < form["y"]
        assert page.is_visible("[name='module/mass']") and not page.is_visible("[name=notes]")
        assert page.is_visible("[name='site/loads/standard']") and not page.is_visible("[name='site/loads/exposure']")
        cut = "[...document.querySelectorAll('form#job input')].filter((i) => i.scrollWidth > i.clientWidth + 1)"
        assert page.evaluate(f"{cut}.map((i) => i.name)") == []
        sizes = "[...document.querySelectorAll('body, label, td')].map((e) => parseFloat(getComputedStyle(e).fontSize))"
        assert max(page.evaluate(sizes)) < 12  # 9 points
