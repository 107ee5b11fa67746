"""Quotes on their pages: found, read by role, issued with a reason, answered; nothing that was typed is ever run."""

import re
from decimal import Decimal

import pytest

from estimator.contract.requests.pricing import pricing_of
from estimator.service.access.audit import AuditFilter, list_lines
from estimator.service.context import store_nothing
from estimator.service.jobs import post_job
from estimator.service.people.accounts import list_people
from estimator.service.quoting import quotes
from estimator.service.quoting.stored.quotes import get_whole
from estimator.web import quote_view
from estimator.web.desk.quotes import search_of
from tests.web.desks import Desk, a_posted_job

PAYLOAD = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>{{7*7}}"


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    made = Desk(tmp_path_factory.mktemp("desk"))
    made.estimator = made.person("estimator")
    yield made
    made.context.engine.dispose()


def a_client_of(desk):
    return next(person.client for person, _ in list_people(desk.context) if person.role == "estimator")


def a_quote(desk, reference, choices=None, **changes):
    client = a_client_of(desk)
    document = a_posted_job(reference, **changes)
    pricing = pricing_of(document, choices or {})
    kept = post_job(desk.context, client, pricing.job, document, store_nothing)
    return quotes.draft_quote(desk.context, client, kept.id, pricing, store_nothing).card


@pytest.fixture(scope="module")
def card(desk):
    return a_quote(desk, "PAGE-1", title="Barn roof")


def test_a_quote_is_found_by_its_words_and_its_page_tells_it_whole(desk, card):
    found = desk.estimator.get("/quotes?words=barn+page-1").text
    assert f'href="/quotes/{card.id}"' in found
    page = desk.estimator.get(f"/quotes/{card.id}").text
    for words in ("Barn roof", "Prepared by", "estimator one", "Margin", "setting-out.pdf", "Issue the quote"):
        assert words in page
    assert page.count('class="roof-plan"') == len(card.job_document["roofs"])
    assert len(page.encode()) - sum(len(svg) for svg in re.findall("<svg.*?</svg>", page, re.DOTALL)) < 200_000


def test_the_price_of_a_watt_is_told_as_such_and_is_not_the_total(desk, card):
    """The total before tax over the power of the modules, to a hundredth of a cent, as the quote's PDF has it."""
    whole = get_whole(desk.context, a_client_of(desk), card.id).offer.estimate
    priced = whole.bill.totals.before_tax.amount / Decimal(str(whole.counts.counts.power))
    page = desk.estimator.get(f"/quotes/{card.id}").text
    told = re.search(r"for each watt, before tax</th><td[^>]*>([0-9.,]+) [A-Z]{3}/W<", page)
    assert told and Decimal(told[1]) == priced.quantize(Decimal("0.0001"), "ROUND_HALF_UP")


def test_an_empty_list_says_what_to_do(desk):
    assert "/jobs/new" in desk.person("admin", "an empty house").get("/quotes").text
    assert "show all quotes" in desk.estimator.get("/quotes?words=nobody-has-this").text


@pytest.mark.parametrize(
    ("locale", "typed", "amount"),
    [
        ("en_US", "1,234", "1234"), ("de_DE", "1.234", "1234"), ("de_DE", "1.234,5", "1234.5"),
        ("fr_FR", "1234,5", "1234.5"), ("en_US", "1234.5", "1234.5"), ("de_DE", "1234.5", "1234.5"),
        ("es_ES", "much", None), ("en_US", "NaN", None),
    ],
)  # fmt: skip
def test_totals_are_looked_for_as_the_readers_language_writes_them(locale, typed, amount):
    """Source of how each writes them: Unicode CLDR, from memory."""
    assert search_of({"least": typed}, locale).least == (Decimal(amount) if amount else None)


def test_filters_that_cannot_be_read_do_not_break_the_list(desk, card):
    odd = desk.estimator.get("/quotes?state=x&order=y&page=-1&least=abc&most=NaN&within=x&ending=%00")
    assert odd.status_code == 200 and "Barn roof" in odd.text


def test_who_may_not_see_costs_sees_none_and_may_not_issue(desk, card):
    sales = desk.person("crm")
    page = sales.get(f"/quotes/{card.id}").text
    assert "Margin" not in page and "Cost" not in page and "Issue the quote" not in page
    assert sales.send(f"/quotes/{card.id}/issue", {"version": card.version}).status_code == 403
    workbook = sales.get(f"/quotes/{card.id}/papers/workbook.xlsx")
    own = desk.estimator.get(f"/quotes/{card.id}/papers/workbook.xlsx")
    assert workbook.status_code == own.status_code == 200 and workbook.data != own.data


def test_another_house_finds_nothing_of_it(desk, card):
    stranger = desk.person("admin", "another house")
    for path in ("", "/papers/quote.pdf", "/plan-facts/0"):
        assert stranger.get(f"/quotes/{card.id}{path}").status_code == 404
    assert "Barn roof" not in stranger.get("/quotes").text


@pytest.mark.parametrize("path", ["/papers/none.pdf", "/plan-facts/9", "/plan-facts/x", "/papers/..%2Fquote.pdf"])
def test_addresses_of_nothing_answer_so_as_a_page(desk, card, path):
    answer = desk.estimator.get(f"/quotes/{card.id}{path}")
    assert answer.status_code == 404


def test_papers_open_in_the_browser_or_are_kept_by_their_names(desk, card):
    shown = desk.estimator.get(f"/quotes/{card.id}/papers/quote.pdf")
    assert shown.data.startswith(b"%PDF") and shown.headers["Content-Disposition"].startswith("inline")
    kept = desk.estimator.get(f"/quotes/{card.id}/papers/plan.dxf")
    assert kept.headers["Content-Disposition"].startswith("attachment") and card.number in str(kept.headers)
    person = next(each for each, _ in list_people(desk.context) if each.role == "estimator")
    asked = AuditFilter(thing=card.id, action="document.exported")
    taken = list_lines(desk.context, person.client, asked, before=None, limit=9)
    both = [each for each in taken if each.detail["path"].rpartition("/")[2] in {"quote.pdf", "plan.dxf"}]
    found = {(each.who.kind, each.who.id, each.address) for each in both}
    assert (len(both), found) == (2, {("account", person.id, "127.0.0.1")})


def test_what_stands_on_the_plan_is_told_in_the_readers_language(desk, card):
    told = desk.person("estimator", language="de").get(f"/quotes/{card.id}/plan-facts/0").get_json()
    assert told["modules"][0][4].startswith("Modul, Modulfeld")
    part = desk.estimator.get(f"/quotes/{card.id}/plan-facts/0?window=0,0,3000,3000").get_json()
    assert 0 < len(part["modules"]) < len(told["modules"]) and part["detail"][:5] == "<path"


def test_a_quote_is_issued_and_answered_once_by_whom_saw_it_as_it_is(desk):
    card = a_quote(desk, "PAGE-2")
    stale = desk.estimator.send(f"/quotes/{card.id}/issue", {"version": card.version + 1})
    assert stale.status_code == 412 and "Somebody changed it in between" in stale.text
    assert desk.estimator.send(f"/quotes/{card.id}/issue", {"version": card.version}).status_code == 303
    again = desk.estimator.send(f"/quotes/{card.id}/issue", {"version": card.version + 1})
    assert again.status_code == 409
    answered = desk.estimator.send(f"/quotes/{card.id}/answer", {"version": card.version + 1, "answer": "accepted"})
    assert answered.status_code == 303
    assert "accepted, to be ordered" in desk.estimator.get("/quotes").text


def test_a_quote_with_options_shows_them_side_by_side_and_the_answer_names_one(desk):
    card = a_quote(desk, "PAGE-5", {"options": [{"title": "In steel", "material": "steel"}]})
    page = desk.estimator.get(f"/quotes/{card.id}").text
    assert "Options side by side" in page and "In steel" in page
    desk.estimator.send(f"/quotes/{card.id}/issue", {"version": card.version})
    answer = {"version": card.version + 1, "answer": "accepted"}
    unsaid = desk.estimator.send(f"/quotes/{card.id}/answer", answer)
    assert unsaid.status_code == 422, unsaid.status_code
    assert desk.estimator.send(f"/quotes/{card.id}/answer", {**answer, "option": "B"}).status_code == 303
    assert "<dt>Option accepted</dt><dd>B</dd>" in desk.estimator.get(f"/quotes/{card.id}").text


def test_a_failed_check_stands_by_a_reason_that_the_page_sends_by_code_and_place(desk):
    roof = a_posted_job()["roofs"][0]
    card = a_quote(desk, "PAGE-3", roofs=[{**roof, "keep_clear": {"left": "40 ft"}}])
    page = desk.estimator.get(f"/quotes/{card.id}").text
    checks = [each.replace("&#34;", '"') for each in re.findall(r'name="check" value="([^"]*)"', page)]
    assert len(checks) == card.errors > 0
    kept = desk.estimator.send(f"/quotes/{card.id}/issue", {"version": card.version})
    assert kept.status_code == 409 and "Checks keep the quote from being issued" in kept.text
    sent = {"version": card.version, "check": checks, "reason": ["checked on site"] * len(checks)}
    assert desk.estimator.send(f"/quotes/{card.id}/issue", sent).status_code == 303
    assert "Accepted by estimator one: checked on site" in desk.estimator.get(f"/quotes/{card.id}").text


def test_a_page_of_many_checks_shows_some_and_says_how_many_there_are(desk, monkeypatch):
    monkeypatch.setattr(quote_view, "MOST_CHECKS", 1)
    monkeypatch.setattr(quote_view, "MOST_OF_A_WAY", 0)
    roof = a_posted_job()["roofs"][0]
    card = a_quote(desk, "PAGE-6", roofs=[{**roof, "keep_clear": {"left": "40 ft"}}])
    page = desk.estimator.get(f"/quotes/{card.id}").text
    assert re.search(r"1 of \d+ checks are shown", page) and re.search(r"<li>and \d+ more</li>", page)


def test_whatever_was_typed_is_text_and_nothing_else(desk):
    job = a_posted_job("PAGE-4", title=PAYLOAD, notes=PAYLOAD)
    roofs = [{**job["roofs"][0], "name": PAYLOAD}, *job["roofs"][1:]]
    roofs[0]["arrays"] = [{**each, "name": PAYLOAD + str(at)} for at, each in enumerate(roofs[0]["arrays"])]
    customer = {**job.get("customer", {}), "name": PAYLOAD}
    card = a_quote(desk, "PAGE-4", {"notes": PAYLOAD}, title=PAYLOAD, notes=PAYLOAD, roofs=roofs, customer=customer)
    for path in ("/quotes", f"/quotes/{card.id}", f"/quotes?words={PAYLOAD}"):
        page = desk.estimator.get(path).text
        assert "<script>alert" not in page and "<img src=x" not in page and "onerror=alert(1)>" not in page
        assert "49" not in re.sub(r"[\d.,]{3,}", "", page) or "{{7*7}}" in page
