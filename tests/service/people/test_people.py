"""Accounts are opened by an invitation once; sessions end by idling; guessing has to wait."""

from datetime import timedelta

import pytest
from argon2 import PasswordHasher, extract_parameters
from sqlalchemy import select, text

from estimator.errors import AlreadyUsed, ChoiceRefused, NotFound
from estimator.service.people import accounts, sessions
from estimator.service.people.accounts import Newcomer
from estimator.service.people.passwords import PasswordRefused, check_parameters
from estimator.service.people.sessions import SignInRefused, SignInTooOften
from estimator.storage.tables import AuditRow
from tests.service.contexts import a_context

WORDS = "four plain words suffice"


@pytest.fixture
def context(tmp_path):
    made, clock, _ = a_context(tmp_path)
    yield made, clock
    made.engine.dispose()


def somebody(made, login="ann@example.com", role="estimator"):
    token, _ = accounts.invite(made, "house", Newcomer(login, "Ann Example", role))
    return accounts.take_invitation(made, token, WORDS)


def rows(made, table):
    with made.looking_up() as connection:
        return str(connection.execute(text(f"SELECT * FROM {table}")).all())


def test_an_invitation_opens_once_and_only_for_a_week(context):
    made, clock = context
    token, person = accounts.invite(made, "house", Newcomer("ann@example.com", "Ann Example", "estimator"))
    assert person.standing == "invited"
    clock.turn(days=7)
    with pytest.raises(NotFound):
        accounts.take_invitation(made, token, WORDS)
    token, _ = accounts.invite_again(made, "ann@example.com")
    assert accounts.take_invitation(made, token, WORDS).standing == "open"
    with pytest.raises(NotFound):
        accounts.take_invitation(made, token, WORDS)


def test_neither_token_nor_password_is_kept_as_it_is(context):
    made, _ = context
    token, _ = accounts.invite(made, "house", Newcomer("ann@example.com", "Ann Example", "estimator"))
    assert token not in rows(made, "account")
    accounts.take_invitation(made, token, WORDS)
    session, _ = sessions.sign_in(made, "ann@example.com", WORDS)
    assert WORDS not in rows(made, "account") and "$argon2id$" in rows(made, "account")
    assert session not in rows(made, "browser_session")


def test_a_login_serves_once_whatever_its_case_and_bad_words_are_all_told(context):
    made, _ = context
    somebody(made)
    with pytest.raises(AlreadyUsed):
        accounts.invite(made, "other", Newcomer("ANN@example.com ", "Another", "estimator"))
    with pytest.raises(ChoiceRefused) as refused:
        accounts.invite(made, "house", Newcomer("", "x\ny", "king", "xx", "ells"))
    assert {fault.pointer for fault in refused.value.faults} == {"/login", "/name", "/role", "/language", "/units"}


@pytest.mark.parametrize("password", ["short", "x" * 201, "ababababababab", "ann@example.com"])
def test_a_password_that_is_short_or_easily_guessed_is_refused(context, password):
    made, _ = context
    token, _ = accounts.invite(made, "house", Newcomer("ann@example.com", "Ann Example", "estimator"))
    with pytest.raises(PasswordRefused):
        accounts.take_invitation(made, token, password)
    assert accounts.take_invitation(made, token, WORDS)


def test_a_session_is_new_at_every_sign_in_and_the_old_one_ends(context):
    made, _ = context
    somebody(made)
    first, _ = sessions.sign_in(made, "ann@example.com", WORDS)
    second, person = sessions.sign_in(made, " Ann@Example.com", WORDS, first)
    assert first != second
    assert sessions.who_is(made, first) is None
    assert sessions.who_is(made, second) == person
    sessions.sign_out(made, second)
    assert sessions.who_is(made, second) is None


def test_a_session_ends_by_idling_and_at_the_latest_after_half_a_day(context):
    made, clock = context
    somebody(made)
    token, _ = sessions.sign_in(made, "ann@example.com", WORDS)
    for _ in range(7):
        clock.turn(minutes=100)
        assert sessions.who_is(made, token)
    clock.turn(minutes=100)  # 13 h 20 min after signing in
    assert sessions.who_is(made, token) is None
    token, _ = sessions.sign_in(made, "ann@example.com", WORDS)
    clock.at += sessions.IDLE
    assert sessions.who_is(made, token) is None


def test_five_wrong_passwords_make_the_next_attempt_wait_also_for_names_that_are_not_there(context):
    made, clock = context
    somebody(made)
    for login in ("ann@example.com", "nobody@example.com"):
        for _ in range(5):
            with pytest.raises(SignInRefused):
                sessions.sign_in(made, login, "wrong")
        with pytest.raises(SignInTooOften) as waits:
            sessions.sign_in(made, login, WORDS)
        assert waits.value.retry_after == 30
    clock.turn(seconds=31)
    assert sessions.sign_in(made, "ann@example.com", WORDS)
    assert sessions.sign_in(made, "ann@example.com", WORDS)  # a success clears the count


def test_an_ended_account_signs_nobody_in_and_its_sessions_end(context):
    made, _ = context
    somebody(made)
    token, _ = sessions.sign_in(made, "ann@example.com", WORDS)
    accounts.end_account(made, "ann@example.com")
    assert sessions.who_is(made, token) is None
    with pytest.raises(SignInRefused):
        sessions.sign_in(made, "ann@example.com", WORDS)


def test_a_new_password_signs_every_browser_out(context):
    made, _ = context
    somebody(made)
    token, _ = sessions.sign_in(made, "ann@example.com", WORDS)
    accounts.set_password(made, "ann@example.com", WORDS + "!")
    assert sessions.who_is(made, token) is None
    assert sessions.sign_in(made, "ann@example.com", WORDS + "!")


def test_who_signed_in_asks_as_a_client_under_their_own_name(context):
    made, _ = context
    client = somebody(made).client
    assert (client.name, client.role) == ("Ann Example", "estimator")
    assert timedelta(0) < sessions.IDLE < sessions.LONGEST


def failing(made, address, times, login="ann@example.com"):
    for at in range(times):
        with pytest.raises(SignInRefused):
            sessions.sign_in(made, f"{at}.{login}", "wrong", address=address)


def test_attempts_from_one_address_have_to_wait_whatever_the_names(context, monkeypatch):
    made, clock = context
    monkeypatch.setattr(sessions, "FAILURES_AT_ONCE", 4)
    somebody(made)
    failing(made, "192.0.2.7", 3)
    assert sessions.sign_in(made, "ann@example.com", WORDS, address="192.0.2.7")  # counts no more, forgives no others
    failing(made, "192.0.2.7", 1)
    with pytest.raises(SignInTooOften) as waits:
        sessions.sign_in(made, "ann@example.com", WORDS, address="192.0.2.7")
    assert waits.value.retry_after == sessions.FORGOTTEN_EVERY.total_seconds()
    assert sessions.sign_in(made, "ann@example.com", WORDS, address="192.0.2.8")
    clock.at += sessions.FORGOTTEN_EVERY
    failing(made, "192.0.2.7", 1)
    with pytest.raises(SignInTooOften):
        sessions.sign_in(made, "ann@example.com", WORDS, address="192.0.2.7")


def test_of_ipv6_a_whole_network_is_one_address(context, monkeypatch):
    made, _ = context
    monkeypatch.setattr(sessions, "FAILURES_AT_ONCE", 2)
    failing(made, "2001:db8:0:1::1", 2)
    with pytest.raises(SignInTooOften):
        sessions.sign_in(made, "bob@example.com", "wrong", address="2001:db8:0:1:ffff::2")
    failing(made, "2001:db8:0:2::1", 1)


def test_a_digest_by_other_parameters_is_made_anew_at_the_next_sign_in(context):
    made, _ = context
    somebody(made)
    older = PasswordHasher(time_cost=2, memory_cost=19 * 1024, parallelism=1).hash(WORDS)
    with made.writing() as session:
        session.execute(text("UPDATE account SET password = :older"), {"older": older})
    assert sessions.sign_in(made, "ann@example.com", WORDS)
    assert older not in rows(made, "account") and "m=65536,t=3" in rows(made, "account")
    assert sessions.sign_in(made, "ann@example.com", WORDS)


def test_an_unknown_name_costs_as_much_work_as_a_known_one(context, monkeypatch):
    made, _ = context
    somebody(made)
    check_parameters()
    done = []
    verify = PasswordHasher.verify
    monkeypatch.setattr(
        PasswordHasher, "verify", lambda self, kept, word: done.append(kept) or verify(self, kept, word)
    )
    for login in ("ann@example.com", "nobody@example.com"):
        with pytest.raises(SignInRefused):
            sessions.sign_in(made, login, "wrong")
    known, unknown = (extract_parameters(kept) for kept in done)
    assert known == unknown


def test_what_the_command_line_does_to_accounts_stands_in_the_log_of_their_house_without_a_secret(context):
    made, _ = context
    token, ann = accounts.invite(made, "house", Newcomer("ann@example.com", "Ann Example", "estimator"))
    accounts.take_invitation(made, token, WORDS)
    accounts.change_person(made, ann.login, {"role": "pricing"})
    accounts.set_password(made, ann.login, WORDS + " and more")
    again, _ = accounts.invite_again(made, ann.login)
    accounts.end_account(made, ann.login)
    with made.reading() as session:
        lines = session.scalars(select(AuditRow).where(AuditRow.thing_kind == "account").order_by(AuditRow.id)).all()
    assert [(each.action.removeprefix("account."), each.who_kind) for each in lines] == [
        ("invited", "command_line"),
        ("password_chosen", "account"),
        ("changed", "command_line"),
        ("password_set", "command_line"),
        ("invited_again", "command_line"),
        ("ended", "command_line"),
    ]
    assert {each.thing_id for each in lines} == {ann.id}
    assert (lines[2].detail["before"]["role"], lines[2].detail["after"]["role"]) == ("estimator", "pricing")
    told = str([each.detail for each in lines])
    assert not any(secret in told for secret in (WORDS, token, again))
