"""Signing in over HTTP as a browser does it: cookies, form tokens, scopes, the policy of the pages."""

import html
import io
import re

import pytest

from estimator.app import create_app, open_context
from estimator.service.access.audit import AuditFilter, list_lines
from estimator.service.access.scopes import SCOPES
from estimator.service.people import accounts
from estimator.service.people.accounts import Newcomer
from estimator.settings import from_environment
from estimator.storage.roles import ROLES
from estimator.web.pages import ALL_PAGES
from tests.databases import empty_database

WORDS = "four plain words suffice"


@pytest.fixture
def context(tmp_path):
    empty_database(tmp_path)
    made = open_context(from_environment({"ESTIMATOR_DATA": str(tmp_path)}))
    yield made
    made.engine.dispose()


@pytest.fixture
def app(context, tmp_path):
    return create_app(from_environment({"ESTIMATOR_DATA": str(tmp_path)}), context)


def token_in(page):
    return re.search(r'name="form_token" value="(\w+)"', page.text)[1]


def cookies(response):
    return {each.partition("=")[0]: each for each in response.headers.getlist("Set-Cookie")}


def sign_in(browser, login="ann@example.com", password=WORDS, **more):
    form = token_in(browser.get("/sign-in", **more))
    return browser.post(
        "/sign-in", data={"form_token": form, "login": login, "password": password, "next": "/me"}, **more
    )


@pytest.fixture
def ann(context):
    accounts.invite(context, "house", Newcomer("ann@example.com", "Ann Example", "estimator", "de", "us"))
    return accounts.set_password(context, "ann@example.com", WORDS)


def test_whoever_is_not_signed_in_is_led_to_the_form_and_back(app, ann):
    browser = app.test_client()
    first = browser.get("/me?x=1")
    assert (first.status_code, first.headers["Location"]) == (303, "/sign-in?next=%2Fme%3Fx%3D1")
    assert sign_in(browser).headers["Location"] == "/me"
    page = browser.get("/me")
    assert page.status_code == 200 and '<html lang="de">' in page.text and "Abmelden" in page.text


@pytest.mark.parametrize("onward", ["//evil.example", "https://evil.example", "/\\evil.example", "javascript:x", ""])
def test_signing_in_leads_to_no_other_host(app, ann, onward):
    browser = app.test_client()
    form = {"form_token": token_in(browser.get("/sign-in")), "login": "ann@example.com", "password": WORDS}
    assert browser.post("/sign-in", data={**form, "next": onward}).headers["Location"] == "/quotes"


def test_the_session_is_a_new_one_at_every_sign_in_and_ends_at_signing_out(app, ann):
    browser = app.test_client()
    first = cookies(sign_in(browser))["session"]
    assert "HttpOnly" in first and "SameSite=Lax" in first and "Path=/" in first
    out = browser.post("/sign-out", data={"form_token": token_in(browser.get("/me"))})
    assert out.status_code == 303
    assert browser.get("/me").status_code == 303
    assert cookies(sign_in(browser))["session"] != first
    thief = app.test_client()
    thief.set_cookie("session", first.partition("=")[2].partition(";")[0])
    assert thief.get("/me").status_code == 303


def test_over_tls_the_cookie_is_secure_and_bound_to_the_host(context, ann, tmp_path):
    settings = from_environment({"ESTIMATOR_DATA": str(tmp_path), "ESTIMATOR_BEHIND_TLS": "yes"})
    browser = create_app(settings, context).test_client()
    told = cookies(sign_in(browser, base_url="https://house.example"))["__Host-session"]
    assert "Secure" in told and "Domain" not in told


@pytest.mark.parametrize("more", [{"base_url": "http://house.example"}, {"environ_base": {"REMOTE_ADDR": "10.0.0.8"}}])
def test_over_plain_http_beyond_the_machine_nobody_signs_in_and_the_page_says_why(app, ann, more):
    page = app.test_client().get("/sign-in", **more)
    assert page.status_code == 403 and "ESTIMATOR_BEHIND_TLS" in page.text and "Set-Cookie" not in page.headers
    browser = app.test_client()
    session = cookies(sign_in(browser))["session"].partition("=")[2].partition(";")[0]
    elsewhere = {"headers": {"Cookie": f"session={session}"}, **more}
    assert app.test_client().get("/me", **elsewhere).status_code == 403


@pytest.mark.parametrize(("field", "headers"), [("", {}), ("0" * 64, {}), (None, {"Sec-Fetch-Site": "cross-site"})])
def test_a_form_that_another_site_sends_is_refused(app, ann, field, headers):
    browser = app.test_client()
    sign_in(browser)
    token = token_in(browser.get("/me")) if field is None else field
    sent = browser.post("/me", data={"form_token": token, "language": "fr"}, headers=headers)
    assert sent.status_code == 403
    assert '<html lang="de">' in browser.get("/me").text


HERE = {"Sec-Fetch-Site": "same-origin"}


def carried(page):
    """The fields of a page that keeps what was typed."""
    found = re.findall(r'<input type="hidden" name="([^"]*)" value="([^"]*)">', page.partition("<main")[2])
    return {name: html.unescape(value) for name, value in found}


def test_what_was_typed_when_the_session_ended_is_kept_and_sent_again(app, ann):
    browser = app.test_client()
    sign_in(browser)
    typed = {
        "do": "look",
        "reference": 'East "barn" <b>',
        "notes": "two\r\nlines",
        "form_token": token_in(browser.get("/me")),
    }
    browser.post("/sign-out", data={"form_token": typed["form_token"]}, headers=HERE)
    ended = browser.post("/jobs/form?x=1", data=typed, headers=HERE)
    assert ended.status_code == 401 and "Your session has ended" in ended.text
    assert 'action="/jobs/form?x=1"' in ended.text
    assert {**carried(ended.text), "form_token": ""} == {**typed, "form_token": ""}
    sign_in(browser)
    anew = browser.post("/jobs/form?x=1", data=carried(ended.text), headers=HERE)
    assert anew.status_code == 409 and "Ann" in anew.text
    taken = browser.post("/jobs/form?x=1", data=carried(anew.text), headers=HERE)
    assert taken.status_code == 200 and 'value="East &#34;barn&#34; &lt;b&gt;"' in taken.text


def test_no_page_keeps_what_another_site_sent_or_a_password_or_repeats_a_file_that_is_gone(app, ann):
    browser = app.test_client()
    away = {"Location": "/sign-in?next=%2F"}
    for path, fields, headers in (
        ("/me", {"language": "fr"}, {}), ("/me", {"language": "fr"}, {"Sec-Fetch-Site": "cross-site"}),
        ("/me/password", {"present": WORDS, "password": WORDS}, HERE), ("/sign-out", {"form_token": "0" * 64}, HERE),
    ):  # fmt: skip
        sent = browser.post(path, data=fields, headers=headers)
        assert (sent.status_code, sent.headers["Location"]) == (303, away["Location"]), path
    order = {"do": "order", "quote": "q", "stock": "", "stock_file": (io.BytesIO(b"X;1"), "stock.csv")}
    sent = browser.post("/orders", data=order, headers=HERE)
    assert carried(sent.text)["do"] == "look" and "file" in sent.text
    sent = browser.post("/jobs/import", data={"file": (io.BytesIO(b"{}"), "job.json")}, headers=HERE)
    assert sent.status_code == 401 and "Send it again" not in sent.text
    script = browser.post("/jobs/draw", data={"reference": "x"}, headers={**HERE, "X-Form-Token": "0"})
    assert script.status_code == 401 and not script.text


def test_the_form_to_sign_in_cannot_be_sent_by_another_site_either(app, ann):
    sent = app.test_client().post("/sign-in", data={"form_token": "", "login": "ann@example.com", "password": WORDS})
    assert sent.status_code == 403 and "session" not in cookies(sent)


def test_wrong_words_are_told_without_saying_which_and_then_have_to_wait(app, ann):
    browser, told = app.test_client(), set()
    for at in range(5):
        answer = sign_in(browser, ("ann@example.com", "nobody@example.com")[at % 2], "wrong")
        told.add(re.sub(r'value="[^"]*"', "", answer.text))
        assert answer.status_code == 403
    assert len(told) == 1
    for _ in range(5):
        answer = sign_in(browser, "ann@example.com", "wrong")
    assert answer.status_code == 429 and int(answer.headers["Retry-After"]) > 0


def test_every_page_of_people_has_a_strict_policy_and_no_script_or_style_within_it(app, ann):
    browser = app.test_client()
    sign_in(browser)
    for path in ("/me", "/no-such-page", "/invitations/x"):
        page = browser.get(path)
        if page.mimetype != "text/html":
            continue
        policy = page.headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy and "script-src 'self'" in policy and "unsafe" not in policy
        assert not re.search(r"<script(?![^>]*\bsrc=)|\son\w+=|\sstyle=|javascript:", page.text)
        assert page.headers["Cache-Control"] == "no-store"


def test_a_page_asks_for_the_same_scope_as_the_api_and_refuses_roles_without_it(context, app):
    """A page with a scope is refused to every role that does not have it; nothing else is told."""
    reading = [route for route in ALL_PAGES if route.method == "GET" and route.scope and "<" not in route.path]
    for role in ROLES:
        accounts.invite(context, "house", Newcomer(f"{role}@example.com", role, role))
        accounts.set_password(context, f"{role}@example.com", WORDS)
        browser = app.test_client()
        assert sign_in(browser, f"{role}@example.com").status_code == 303
        for route in reading:
            refused = browser.get(route.path).status_code == 403
            assert refused == (route.scope not in SCOPES[role]), (role, route.path)


def test_a_key_of_the_api_opens_no_page_and_a_session_no_route_of_the_api(app, ann):
    browser = app.test_client()
    sign_in(browser)
    assert browser.get("/v1/quotes").status_code == 401


HTML = {"Accept": "text/html,application/xhtml+xml,*/*;q=0.8", "Accept-Language": "fr"}


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [("GET", "/no-such-page", 404), ("PUT", "/quotes", 405), ("GET", "/problems/none", 404)],
)
def test_people_get_a_page_where_something_is_not_there_and_programs_get_json(app, method, path, status):
    page = app.test_client().open(path, method=method, headers=HTML)
    assert (page.status_code, page.mimetype) == (status, "text/html")
    assert '<html lang="fr">' in page.text and "default-src 'none'" in page.headers["Content-Security-Policy"]
    assert page.headers.get("Allow") == app.test_client().open(path, method=method).headers.get("Allow")
    for accept in ({}, {"Accept": "application/json"}, {"Accept": "*/*"}, {**HTML, "X-Form-Token": "x"}):
        told = app.test_client().open(path, method=method, headers=accept)
        assert (told.status_code, told.mimetype) == (status, "application/problem+json")
    assert app.test_client().get("/v1/none", headers=HTML).mimetype == "application/problem+json"


def test_a_fault_of_ours_is_a_page_with_the_number_of_the_request(app, ann, monkeypatch):
    browser = app.test_client()
    sign_in(browser)

    def broken(*_):
        raise ZeroDivisionError("a secret of ours")

    monkeypatch.setattr("estimator.service.quoting.stored.lists.find_quotes", broken)
    page = browser.get("/quotes", headers=HTML)
    assert (page.status_code, page.mimetype) == (500, "text/html")
    assert '<html lang="de">' in page.text and "a secret" not in page.text
    assert re.search(r"Anfrage [0-9a-f]{32}", page.text)
    monkeypatch.setattr("estimator.service.people.sessions.who_is", broken)  # as where the database is gone
    page = browser.get("/no-such-page", headers=HTML)
    assert (page.status_code, page.mimetype) == (404, "text/html") and '<html lang="fr">' in page.text


def test_whoever_has_signed_in_changes_the_password_with_the_present_one(app, ann, context):
    browser, other = app.test_client(), app.test_client()
    sign_in(browser), sign_in(other)
    form = {"form_token": token_in(browser.get("/me")), "password": WORDS + " more", "again": WORDS + " more"}
    assert browser.post("/me/password", data={**form, "present": "wrong"}).status_code == 403
    assert browser.post("/me/password", data={**form, "present": WORDS, "again": "x"}).status_code == 422
    short = {"present": WORDS, "password": "short", "again": "short"}
    assert browser.post("/me/password", data={**form, **short}).status_code == 422
    answer = browser.post("/me/password", data={**form, "present": WORDS})
    assert answer.status_code == 303 and "session" in cookies(answer)
    assert browser.get("/me").status_code == 200 and other.get("/me").status_code == 303
    assert sign_in(app.test_client()).status_code == 403
    assert sign_in(app.test_client(), password=WORDS + " more").status_code == 303
    (person, _), *_ = accounts.list_people(context)
    assert person.signed_in_at is not None


def test_other_browsers_are_signed_out_from_the_page_of_ones_account(app, ann, context):
    browser, other = app.test_client(), app.test_client()
    sign_in(browser), sign_in(other)
    assert 'action="/me/sessions"' in browser.get("/me").text
    browser.post("/me/sessions", data={"form_token": token_in(browser.get("/me"))})
    assert browser.get("/me").status_code == 200 and other.get("/me").status_code == 303
    assert 'action="/me/sessions"' not in browser.get("/me").text
    lines = list_lines(context, ann.client, AuditFilter(), before=None, limit=9)
    assert (lines[0].action, lines[0].who.id) == ("account.sessions_ended", ann.id)
