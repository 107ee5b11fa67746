"""Signing in and out, invitations, and what somebody likes: language and units."""

from __future__ import annotations

from dataclasses import replace

from flask import Response

from estimator.contract.problems.documents import problem_of
from estimator.errors import EstimatorError
from estimator.service.access.audit import Thing, note
from estimator.service.people import accounts, sessions
from estimator.service.people.passwords import SHORTEST, PasswordRefused
from estimator.service.people.records import UNITS
from estimator.service.people.sessions import SignInRefused, SignInTooOften
from estimator.web.door import session_cookie, set_cookie
from estimator.web.routes import ANYBODY, Pages
from estimator.web.visits import Visit, sent_on

pages = Pages()


@pages.get("/sign-in", None)
def show_sign_in(visit: Visit) -> Response:
    """The form to sign in, or why it cannot be shown."""
    if visit.person is not None:
        return sent_on("/quotes")
    return visit.page("sign_in.html", next=visit.args.get("next", ""))


@pages.post("/sign-in", None)
def sign_in(visit: Visit) -> Response:
    """A session for whoever shows a password."""
    login, password = visit.form.get("login", ""), visit.form.get("password", "")
    onward = visit.form.get("next", "")
    try:
        token, person = sessions.sign_in(visit.context, login, password, visit.token)
    except (SignInRefused, SignInTooOften) as refusal:
        return _again(visit, "sign_in.html", refusal, login=login, next=onward)
    signed_in = replace(visit, person=person)
    note(visit.context, signed_in.client, "account.signed_in", Thing("account", person.id))
    response = sent_on(onward if _is_inside(onward) else "/quotes")
    set_cookie(response, session_cookie(visit.secure), token, visit.secure)
    return response


@pages.post("/sign-out", ANYBODY)
def sign_out(visit: Visit) -> Response:
    """The session ends here and in the browser."""
    sessions.sign_out(visit.context, visit.token)
    response = sent_on("/sign-in")
    response.delete_cookie(session_cookie(visit.secure), path="/", secure=visit.secure, httponly=True, samesite="Lax")
    response.headers["Clear-Site-Data"] = '"cache"'
    return response


@pages.get("/invitations/<token>", None)
def show_invitation(visit: Visit) -> Response:
    """The form in which somebody who was invited chooses a password."""
    person = accounts.invited(visit.context, visit.path["token"])
    return visit.page("invitation.html", invited=person, shortest=SHORTEST)


@pages.post("/invitations/<token>", None)
def take_invitation(visit: Visit) -> Response:
    """The password is set, and whoever set it signed in."""
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
    """Who has signed in, and what they like."""
    return visit.page("me.html", languages=accounts.LANGUAGES, units=UNITS)


@pages.post("/me", ANYBODY)
def change_me(visit: Visit) -> Response:
    """Another language, other units."""
    assert visit.person is not None
    changes = {name: visit.form[name] for name in ("language", "units") if name in visit.form}
    accounts.change_person(visit.context, visit.person.login, changes)
    return sent_on("/me")


def _again(visit: Visit, template: str, refusal: EstimatorError, **values: object) -> Response:
    problem = problem_of(refusal)
    response = visit.page(template, problem.status, problem=problem, **values)
    if refusal.retry_after is not None:
        response.headers["Retry-After"] = str(refusal.retry_after)
    return response


def _is_inside(address: str) -> bool:
    """Whether an address leads to a page of this service: a path, and no other host's."""
    return address.startswith("/") and address[1:2] not in {"/", "\\"} and address.isprintable()
