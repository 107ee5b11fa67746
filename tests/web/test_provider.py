"""Signing in through a provider of OpenID Connect, started here: who comes in, and every answer that is not believed.

The cases are those that OpenID Connect Core 1.0, section 3.1.3.7, and RFC 6749, section 10.12, ask to be refused.
"""

import time

import pytest
from joserfc.jwk import OctKey, RSAKey

from estimator.app import create_app, open_context
from estimator.errors import Refused
from estimator.service.access import audit
from estimator.service.access.audit import AuditFilter
from estimator.service.people import accounts
from estimator.service.people.accounts import Newcomer
from estimator.settings import from_environment
from tests.databases import empty_database
from tests.provider import CLIENT, SECRET, a_provider
from tests.web.test_signing_in import WORDS, cookies, token_in

ANSWER = "/sign-in/provider/answer"


@pytest.fixture
def provider():
    with a_provider() as small:
        yield small


@pytest.fixture
def house(provider, tmp_path):
    yield from a_house(provider, tmp_path)


def a_house(provider, folder, **more):
    settings = from_environment({
        "ESTIMATOR_DATA": str(folder), "ESTIMATOR_OIDC_ISSUER": provider.issuer, "ESTIMATOR_OIDC_CLIENT_ID": CLIENT,
        "ESTIMATOR_OIDC_CLIENT_SECRET": SECRET, "ESTIMATOR_OIDC_CALLBACK": f"http://localhost{ANSWER}",
        "ESTIMATOR_OIDC_NAME": "Example House", **more,
    })  # fmt: skip
    empty_database(folder)
    context = open_context(settings)
    app = create_app(settings, context)
    app.context = context
    accounts.invite(context, "house", Newcomer("ann@example.com", "Ann Example", "estimator", "de"))
    yield app
    context.engine.dispose()


def sent_off(browser, onward="/me"):
    """Where the browser is sent."""
    answer = browser.get(f"/sign-in/provider?next={onward}")
    assert answer.status_code == 303, answer.text
    return answer.headers["Location"]


def come_back(browser, provider, **changes):
    return browser.get(ANSWER, query_string={**provider.go(sent_off(browser)), **changes})


def refused(answer, name_of_problem, status):
    assert "session" not in cookies(answer), name_of_problem
    assert answer.status_code == status
    return answer.text


def test_whoever_was_invited_comes_in_with_a_session_of_their_own(house, provider):
    browser = house.test_client()
    page = browser.get("/sign-in").text
    assert "Example House" in page and 'name="password"' in page
    answer = come_back(browser, provider)
    assert (answer.status_code, answer.headers["Location"]) == (303, "/me")
    session = cookies(answer)["session"]
    assert "HttpOnly" in session and "SameSite=Lax" in session
    assert "Ann Example" in browser.get("/me").text
    again = house.test_client()
    assert cookies(come_back(again, provider))["session"] != session
    client = next(person.client for person, _ in accounts.list_people(house.context))
    done = [line.action for line in audit.list_lines(house.context, client, AuditFilter(), before=None, limit=9)]
    assert done == ["account.signed_in", "account.signed_in", "account.bound", "account.invited"]


def test_from_the_first_time_on_the_providers_own_name_counts(house, provider):
    assert come_back(house.test_client(), provider).status_code == 303
    provider.person = {"sub": "s-1", "email": "ann.new@example.com", "email_verified": False}
    assert come_back(house.test_client(), provider).status_code == 303
    provider.person = {"sub": "s-2", "email": "ann@example.com", "email_verified": True}
    refused(come_back(house.test_client(), provider), "another's address", 403)


@pytest.mark.parametrize("onward", ["//evil.example", "https://evil.example", "/\\evil.example", ""])
def test_signing_in_leads_to_no_other_host(house, provider, onward):
    browser = house.test_client()
    answer = browser.get(ANSWER, query_string=provider.go(sent_off(browser, onward)))
    assert answer.headers["Location"] == "/quotes"


@pytest.mark.parametrize(
    "person",
    [
        {"sub": "s-9", "email": "stranger@example.com", "email_verified": True},
        {"sub": "s-9", "email": "ann@example.com", "email_verified": False},
        {"sub": "s-9", "email": "ann@example.com", "email_verified": "true"},
        {"sub": "s-9", "email": "ann@example.com"},
        {"sub": "s-9"},
    ],
)
def test_whoever_was_not_invited_by_a_verified_address_is_refused(house, provider, person):
    provider.person = person
    refused(come_back(house.test_client(), provider), "not invited", 403)
    provider.person = {"sub": "s-1", "email": "ann@example.com", "email_verified": True}
    assert come_back(house.test_client(), provider).status_code == 303


def test_an_ended_account_stays_outside(house, provider):
    assert come_back(house.test_client(), provider).status_code == 303
    accounts.end_account(house.context, "ann@example.com")
    refused(come_back(house.test_client(), provider), "ended", 403)


@pytest.mark.parametrize(
    "wrong",
    [
        {"nonce": "another"}, {"nonce": None}, {"aud": "another"}, {"aud": [CLIENT, "another"]}, {"azp": "another"},
        {"iss": "https://evil.example"}, {"exp": int(time.time()) - 3600}, {"exp": None}, {"iat": None}, {"sub": None},
        {"nbf": int(time.time()) + 3600}, {"exp": "soon"},
    ],
)  # fmt: skip
def test_a_token_that_claims_wrong_things_is_not_believed(house, provider, wrong):
    provider.wrong = wrong
    refused(come_back(house.test_client(), provider), wrong, 403)


@pytest.mark.parametrize("how", ["none", "HS256", "another key", "unknown key"])
def test_a_token_that_the_provider_did_not_sign_is_not_believed(house, provider, how):
    if how in {"none", "HS256"}:
        provider.header = {"alg": how, "kid": "first"}
        provider.signing_key = OctKey.import_key(SECRET) if how == "HS256" else None
    else:
        provider.signing_key = RSAKey.generate_key(2048, {"kid": "first"})
        provider.header = {"alg": "RS256", "kid": "first" if how == "another key" else "second"}
    refused(come_back(house.test_client(), provider), how, 403)


def test_a_new_key_of_the_provider_is_fetched_when_it_first_signs_with_it(house, provider):
    assert come_back(house.test_client(), provider).status_code == 303
    provider.key = RSAKey.generate_key(2048, {"kid": "second", "use": "sig", "alg": "RS256"})
    provider.header = {"alg": "RS256", "kid": "second"}
    assert come_back(house.test_client(), provider).status_code == 303
    assert provider.asked.count("/keys") == 2


def test_an_answer_serves_once_and_only_in_the_browser_that_asked(house, provider):
    browser, thief = house.test_client(), house.test_client()
    answer = provider.go(sent_off(browser))
    refused(thief.get(ANSWER, query_string=answer), "another browser", 403)
    refused(browser.get(ANSWER, query_string=answer), "taken already", 403)
    answer = provider.go(sent_off(browser))
    assert browser.get(ANSWER, query_string=answer).status_code == 303
    other = house.test_client()
    refused(other.get(ANSWER, query_string=answer), "replayed", 403)
    # The state is of this browser, the code was used by another visit: the provider takes it for none.
    again = provider.go(sent_off(other))
    refused(other.get(ANSWER, query_string={**again, "code": answer["code"]}), "used code", 403)


@pytest.mark.parametrize(
    "changes",
    [{"state": "another"}, {"state": ""}, {"code": ""}, {"iss": "https://evil.example"}, {"error": "access_denied"}],
)
def test_an_answer_to_another_question_is_refused(house, provider, changes):
    refused(come_back(house.test_client(), provider, **changes), changes, 403)
    assert "/token" not in provider.asked


def test_whoever_takes_too_long_begins_again(house, provider, monkeypatch):
    monkeypatch.setattr("estimator.service.people.openid.AWAY", -1 * (accounts.timedelta(seconds=1)))
    refused(come_back(house.test_client(), provider), "too long", 403)


@pytest.mark.parametrize(
    "metadata", [{"issuer": "https://evil.example"}, {"authorization_endpoint": "http://evil.example/"},
                 {"code_challenge_methods_supported": ["plain"]}]
)  # fmt: skip
def test_a_provider_that_publishes_wrong_things_is_told(house, provider, metadata):
    provider.metadata = metadata
    answer = house.test_client().get("/sign-in/provider")
    assert answer.status_code == 502 and 'name="password"' in answer.text


def test_a_provider_that_is_not_there_is_told_and_passwords_still_serve(house, provider, tmp_path_factory):
    browser = house.test_client()
    answer = provider.go(sent_off(browser))
    provider.token_status = 500
    refused(browser.get(ANSWER, query_string=answer), "fails", 502)
    gone = next(a_house(provider, tmp_path_factory.mktemp("gone")))
    provider.stop()
    assert gone.test_client().get("/sign-in/provider").status_code in {502, 303}


@pytest.mark.parametrize(
    ("published", "wanted"),
    [
        ("https://id.example/end", "https://id.example/end?client_id=estimator"),
        ("https://id.example/end?house=1", "https://id.example/end?house=1&amp;client_id=estimator"),
        ("http://evil.example/end", None), (None, None),
    ],
)  # fmt: skip
def test_whoever_signed_out_here_is_shown_the_way_out_of_the_provider(house, provider, published, wanted):
    """Source: OpenID Connect RP-Initiated Logout 1.0, section 2 (client_id) and 2.1 (end_session_endpoint)."""
    provider.metadata = {"end_session_endpoint": published}
    browser = house.test_client()
    assert come_back(browser, provider).status_code == 303
    left = browser.post("/sign-out", data={"form_token": token_in(browser.get("/me"))}).headers["Location"]
    page = browser.get(left).text
    assert "signed out here" in page
    assert (f'href="{wanted}"' in page) == (wanted is not None)
    assert ("sign out there" in page) == (wanted is not None)
    assert browser.get("/me").status_code == 303


def test_signing_out_serves_while_the_provider_is_gone(house, provider):
    provider.stop()
    page = house.test_client().get("/sign-in?left=yes")
    assert page.status_code == 200 and "signed out here" in page.text


def test_passwords_may_be_switched_off(provider, tmp_path):
    app = next(a_house(provider, tmp_path, ESTIMATOR_PASSWORDS="no"))
    accounts.set_password(app.context, "ann@example.com", WORDS)
    browser = app.test_client()
    page = browser.get("/sign-in")
    assert 'name="password"' not in page.text
    form = token_in(browser.get("/sign-in")) if "form_token" in page.text else ""
    sent = browser.post("/sign-in", data={"form_token": form, "login": "ann@example.com", "password": WORDS})
    assert sent.status_code == 403 and "session" not in cookies(sent)
    assert come_back(browser, provider).status_code == 303
    with pytest.raises(Refused):
        from_environment({"ESTIMATOR_PASSWORDS": "no"})


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("ESTIMATOR_OIDC_ISSUER", "http://house.example"),
        ("ESTIMATOR_OIDC_CALLBACK", ""),
        ("ESTIMATOR_OIDC_CLIENT_ID", ""),
    ],
)
def test_what_was_agreed_on_is_whole_and_over_https(name, value):
    told = {"ESTIMATOR_OIDC_ISSUER": "https://id.example", "ESTIMATOR_OIDC_CLIENT_ID": "x",
            "ESTIMATOR_OIDC_CALLBACK": f"https://house.example{ANSWER}"}  # fmt: skip
    assert from_environment(told).openid.name == "id.example"
    with pytest.raises(Refused) as faults:
        from_environment({**told, name: value})
    assert [fault.pointer for fault in faults.value.faults] == [name]


def test_without_a_provider_there_is_nothing_of_it(tmp_path):
    settings = from_environment({"ESTIMATOR_DATA": str(tmp_path)})
    app = create_app(settings, open_context(settings))
    assert "/sign-in/provider" not in app.test_client().get("/sign-in").text
    assert app.test_client().get("/sign-in/provider").status_code == 404
