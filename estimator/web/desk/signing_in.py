"""Signing in and out, invitations, and a person's preferences: language and units."""

from __future__ import annotations

from dataclasses import replace

from flask import Response

from estimator.contract.problems.documents import problem_of
from estimator.errors import EstimatorError
from estimator.sentences import LANGUAGES, say
from estimator.service.access.audit import Thing, note
from estimator.service.identity_provider import ProviderFailed, ProviderRefused
from estimator.service.people import accounts, openid, sessions
from estimator.service.people.accounts import WrongPassword
from estimator.service.people.openid import NotInvited
from estimator.service.people.passwords import SHORTEST, PasswordRefused
from estimator.service.people.records import UNITS, Person
from estimator.service.people.sessions import (
    PasswordsOff,
    SignInRefused,
    SignInTooOften,
    begin_attempt_from,
    forgive_attempt_from,
)
from estimator.web.door import session_cookie, set_cookie
from estimator.web.routes import ANYBODY, Pages
from estimator.web.visits import Visit, sent_on

pages = Pages()


@pages.get("/sign-in", None)
def show_sign_in(visit: Visit) -> Response:
    """The form to sign in, or why it cannot be shown."""
    if visit.person is not None:
        return sent_on("/quotes")
    ending = openid.ending_at_provider(visit.context) if visit.args.get("left") else ""
    onward, left = visit.args.get("next", ""), visit.args.get("left", "")
    return visit.page("sign_in.html", ways=visit.context.ways, next=onward, left=left, ending=ending)


@pages.post("/sign-in", None)
def sign_in(visit: Visit) -> Response:
    """A session for whoever shows a password."""
    login, password = visit.form.get("login", ""), visit.form.get("password", "")
    onward = visit.form.get("next", "")
    try:
        token, person = sessions.sign_in(visit.context, login, password, visit.token, visit.address)
    except (SignInRefused, SignInTooOften, PasswordsOff) as refusal:
        return _again(visit, "sign_in.html", refusal, login=login, next=onward, ways=visit.context.ways)
    return _signed_in(visit, token, person, onward, "password")


@pages.get("/sign-in/provider", None)
def leave_for_provider(visit: Visit) -> Response:
    """Send the browser to the organisation's provider, which says who signs in."""
    if visit.person is not None:
        return sent_on("/quotes")
    try:
        return sent_on(openid.leave(visit.context, visit.token, visit.args.get("next", ""), visit.address))
    except (ProviderFailed, SignInTooOften) as refusal:
        return _again(visit, "sign_in.html", refusal, ways=visit.context.ways)


@pages.get("/sign-in/provider/answer", None)
def come_from_provider(visit: Visit) -> Response:
    """Back from the provider: a session for whoever it names, if they were invited."""
    try:
        answer = visit.args.to_dict()
        token, person, onward = openid.come_back(visit.context, visit.token, answer, visit.address)
    except (ProviderRefused, ProviderFailed, NotInvited) as refusal:
        return _again(visit, "sign_in.html", refusal, ways=visit.context.ways)
    return _signed_in(visit, token, person, onward, "provider")


@pages.post("/sign-out", ANYBODY)
def sign_out(visit: Visit) -> Response:
    """The session ends here and in the browser."""
    sessions.sign_out(visit.context, visit.token)
    response = sent_on("/sign-in?left=yes")
    response.delete_cookie(session_cookie(visit.secure), path="/", secure=visit.secure, httponly=True, samesite="Lax")
    response.headers["Clear-Site-Data"] = '"cache"'
    return response


@pages.get("/invitations/<token>", None)
def show_invitation(visit: Visit) -> Response:
    """The form in which somebody who was invited chooses a password; nothing of it where there are none."""
    if not visit.context.ways.passwords:
        return sent_on("/sign-in")
    person = accounts.invited(visit.context, visit.path["token"])
    return visit.page("invitation.html", invited=person, shortest=SHORTEST)


@pages.post("/invitations/<token>", None)
def take_invitation(visit: Visit) -> Response:
    """The password is set, and whoever set it signed in."""
    if not visit.context.ways.passwords:
        raise PasswordsOff(say("this house signs in through its provider"))
    person = accounts.invited(visit.context, visit.path["token"])
    password, again = visit.form.get("password", ""), visit.form.get("again", "")
    if password != again:
        return visit.page("invitation.html", 422, invited=person, shortest=SHORTEST, differ=True)
    try:
        accounts.take_invitation(visit.context, visit.path["token"], password)
    except PasswordRefused as refusal:
        return _again(visit, "invitation.html", refusal, invited=person, shortest=SHORTEST)
    response = sent_on("/quotes")
    token = sessions.open_session(visit.context, person, visit.token)
    set_cookie(response, session_cookie(visit.secure), token, visit.secure)
    return response


@pages.get("/me", ANYBODY)
def show_me(visit: Visit) -> Response:
    """Who has signed in, and their preferences."""
    return _me(visit)


@pages.post("/me", ANYBODY)
def change_me(visit: Visit) -> Response:
    """Another language, other units."""
    assert visit.person is not None
    changes = {name: visit.form[name] for name in ("language", "units") if name in visit.form}
    accounts.change_person(visit.context, visit.person.login, changes, visit.client)
    return sent_on("/me")


@pages.post("/me/password", ANYBODY)
def change_password(visit: Visit) -> Response:
    """Another password; every session ends, and this browser gets a new one."""
    assert visit.person is not None
    password, again = visit.form.get("password", ""), visit.form.get("again", "")
    if not visit.context.ways.passwords:
        raise PasswordsOff(say("this house signs in through its provider"))
    if password != again:
        return _me(visit, 422, differ=True)
    try:
        begin_attempt_from(visit.context, visit.address)
        accounts.change_password(visit.context, visit.client, visit.form.get("present", ""), password)
    except (WrongPassword, PasswordRefused, SignInTooOften) as refusal:
        return _me(visit, problem_of(refusal).status, problem=problem_of(refusal))
    forgive_attempt_from(visit.context, visit.address)
    response = sent_on("/me?done=password")
    token = sessions.open_session(visit.context, visit.person, visit.token)
    set_cookie(response, session_cookie(visit.secure), token, visit.secure)
    return response


@pages.post("/me/sessions", ANYBODY)
def end_sessions(visit: Visit) -> Response:
    """Signed out in every browser but this one."""
    sessions.end_sessions(visit.context, visit.client, visit.token)
    return sent_on("/me?done=sessions")


def _me(visit: Visit, status: int = 200, **more: object) -> Response:
    others = sessions.live_sessions(visit.context, visit.client) - 1
    told = {"others": others, "ways": visit.context.ways, "shortest": SHORTEST, "done": visit.args.get("done", "")}
    return visit.page("me.html", status, languages=LANGUAGES, units=UNITS, **told, **more)


def _signed_in(visit: Visit, token: str, person: Person, onward: str, by: str) -> Response:
    client = replace(visit, person=person).client
    note(visit.context, client, "account.signed_in", Thing("account", person.id), {"by": by})
    response = sent_on(onward if _is_inside(onward) else "/quotes")
    set_cookie(response, session_cookie(visit.secure), token, visit.secure)
    return response


def _again(visit: Visit, template: str, refusal: EstimatorError, **values: object) -> Response:
    problem = problem_of(refusal)
    response = visit.page(template, problem.status, problem=problem, **values)
    if refusal.retry_after is not None:
        response.headers["Retry-After"] = str(refusal.retry_after)
    return response


def _is_inside(address: str) -> bool:
    """Whether an address leads to a page of this service: a path, and no other host's."""
    return address.startswith("/") and address[1:2] not in {"/", "\\"} and address.isprintable()
