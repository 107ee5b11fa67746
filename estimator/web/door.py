"""The door of the pages: cookie, session, form token and scope, before a page's view sees a request."""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from urllib.parse import quote

from flask import Response, g, request

from estimator.contract.problems.refusals import NoForm, NotSecure
from estimator.documents.language.formats import language_of
from estimator.errors import NotFound
from estimator.sentences import LANGUAGES, say
from estimator.service.access.audit import Thing, note
from estimator.service.access.scopes import demand
from estimator.service.context import ServiceContext
from estimator.service.people import sessions
from estimator.web.kept_forms import kept_form
from estimator.web.routes import ANYBODY, PageRoute
from estimator.web.visits import FORM_TOKEN, Visit, form_token, sent_on

HOME = frozenset({"localhost", "127.0.0.1", "[::1]"})
LONGEST_WAY_BACK = 2_000
"""Characters of an address that signing in leads back to; the server itself refuses much longer ones."""
LOOPBACK = frozenset({"127.0.0.1", "::1"})


@dataclass(frozen=True, slots=True)
class Door:
    """What every page needs: the service, and whether a proxy carries TLS for it."""

    context: ServiceContext
    behind_tls: bool

    def opened(self, route: PageRoute) -> Callable[..., Response]:
        """The function that the web framework calls for a page."""

        def answer(**path: str) -> Response:
            visit = self.visit(path)
            if visit.person is None and route.scope is not None:
                kept = kept_form(visit) if route.method == "POST" and not _asked_by_script() else None
                return self.with_visitor(kept, visit) if kept else _to_sign_in()
            if visit.person is not None:
                g.client = visit.client
                if route.scope not in (None, ANYBODY):
                    demand(visit.client, route.scope or "")
            if route.method == "POST" and not _is_of_session(visit):
                kept = kept_form(visit) if route.scope is not None and not _asked_by_script() else None
                if kept is None:
                    raise NoForm(say("the form has no token of this session"))
                return kept
            response = route.view(visit)
            if visit.person is not None and "Content-Disposition" in response.headers:
                _note_export(visit, response)
            return self.with_visitor(response, visit)

        answer.__name__ = route.name
        return answer

    def visit(self, path: dict[str, str]) -> Visit:
        """Who looks, in which language. Errors: NotFound for a name that cannot be printed."""
        if not all(name.isprintable() for name in path.values()):
            raise NotFound(say("there is no such thing"))
        secure = self.behind_tls or request.is_secure
        token = request.cookies.get(session_cookie(secure), "")[:200]
        person = sessions.who_is(self.context, token) if self.may_sign_in() else None
        if person is None:
            token = request.cookies.get(visitor_cookie(secure), "")[:200] or secrets.token_urlsafe(32)
        language = person.language if person else _asked_language()
        visit = Visit(self.context, person, token, language, path, secure)
        g.visit = visit
        return visit

    def stranger(self) -> Visit:
        """Whoever looks where nobody can tell who it is, since the database is gone, say."""
        return Visit(self.context, None, "", _asked_language(), {}, self.behind_tls or request.is_secure)

    def may_sign_in(self) -> bool:
        """Whether nobody on the way can read what is sent: over TLS, or without leaving the machine."""
        if self.behind_tls or request.is_secure:
            return True
        return host() in HOME and (request.remote_addr or "127.0.0.1") in LOOPBACK

    def demand_secure(self) -> None:
        """Refuse (NotSecure) where others could read what is sent."""
        if not self.may_sign_in():
            raise NotSecure(say("this page was reached over plain HTTP from another machine"))

    def with_visitor(self, response: Response, visit: Visit) -> Response:
        """Before anybody has signed in, a random cookie, so that no other site can send the form for it."""
        if visit.person is None and visitor_cookie(visit.secure) not in request.cookies and self.may_sign_in():
            set_cookie(response, visitor_cookie(visit.secure), visit.token, visit.secure)
        return response


def host() -> str:
    """The host that was asked for, without its port."""
    asked = request.host.casefold()
    return asked[: asked.index("]") + 1] if asked.startswith("[") and "]" in asked else asked.partition(":")[0]


def session_cookie(secure: bool) -> str:
    """The cookie's name: with TLS bound to this host alone. Source: RFC 6265bis on name prefixes, from memory."""
    return "__Host-session" if secure else "session"


def visitor_cookie(secure: bool) -> str:
    """The same for whoever has not signed in."""
    return "__Host-visitor" if secure else "visitor"


def set_cookie(response: Response, name: str, value: str, secure: bool) -> None:
    """A cookie for this host that no script reads and no other site sends; it ends with the browser."""
    response.set_cookie(name, value, secure=secure, httponly=True, samesite="Lax", path="/")


def _is_of_session(visit: Visit) -> bool:
    """Whether a form carries the token of the session it is sent with, and no other site sent it."""
    told = request.headers.get("X-Form-Token") or visit.form.get(FORM_TOKEN, "")
    wanted = form_token(visit.token)
    known = hmac.compare_digest(told.encode(), wanted.encode()) and bool(wanted)
    return known and request.headers.get("Sec-Fetch-Site", "same-origin") in {"same-origin", "none"}


def _asked_by_script() -> bool:
    """Whether a page's script asks, which shows no page but tells what happened."""
    return "X-Form-Token" in request.headers


def _note_export(visit: Visit, response: Response) -> None:
    """Record in the audit log that a paper was handed out: who took it, and from where."""
    (kind, thing), *_ = [*visit.path.items(), ("page", request.path[:200])]
    detail = {"path": request.full_path.rstrip("?")[:400], "media": response.mimetype}
    note(visit.context, visit.client, "document.exported", Thing(kind.removesuffix("_id"), thing), detail)


def _to_sign_in() -> Response:
    if _asked_by_script():
        return Response(status=401)
    back = request.full_path.removesuffix("?") if request.method == "GET" else "/"
    back = back if len(back) <= LONGEST_WAY_BACK else request.path
    return sent_on(f"/sign-in?next={quote(back, safe='')}")


def _asked_language() -> str:
    best = request.accept_languages.best_match(list(LANGUAGES), default="en")
    return language_of(best or "en")
