"""A visit: who looks, at what, in which language and units; and how a page is made for them."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache, cached_property
from pathlib import Path
from typing import Any
from urllib.parse import quote

from flask import Response, g, redirect, render_template, request
from werkzeug.datastructures import FileStorage, MultiDict

from estimator.contract.problems.documents import Problem
from estimator.documents.language.formats import locale_for
from estimator.documents.language.texts import Reader, reader_for
from estimator.errors import Fault
from estimator.money import Money
from estimator.sentences import Sentence
from estimator.service.access import scopes
from estimator.service.context import Client, ServiceContext
from estimator.service.people.records import Person
from estimator.units import systems_of
from estimator.web.labels import WORDS_OF_PAGES
from estimator.web.words import PageWords

HERE = Path(__file__).parent
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; "
    "base-uri 'none'; frame-ancestors 'none'"
)
SHOWN = frozenset({"application/pdf", "image/svg+xml"})
FORM_TOKEN = "form_token"  # noqa: S105  (the name of a field)


@dataclass(frozen=True)
class Visit:
    """One request of a browser. ``token`` is the session's, or that of the visitor before anybody has signed in."""

    context: ServiceContext
    person: Person | None
    token: str
    language: str
    path: Mapping[str, str]
    secure: bool

    @property
    def client(self) -> Client:
        """Who asks and from where, as the service takes it; only where somebody has signed in."""
        assert self.person is not None
        asked = {"address": self.address, "request_id": g.get("request_id", "")}
        return replace(self.person.client, **asked)

    @property
    def address(self) -> str:
        """Where the request came from."""
        return request.remote_addr or ""

    @property
    def args(self) -> MultiDict[str, str]:
        """What stands after the question mark."""
        return request.args

    @property
    def form(self) -> MultiDict[str, str]:
        """What was filled in."""
        return request.form

    @cached_property
    def words(self) -> PageWords:
        """The words of the pages."""
        return PageWords(locale_for(self.language))

    @cached_property
    def reader(self) -> Reader:
        """Words and numbers as whoever looks reads them."""
        units = self.person.units if self.person else "metric"
        reader = reader_for(self.language, "", units)
        return Reader(self.words, reader.formats)

    @property
    def reads_us(self) -> bool:
        """Whether feet and inches come first for whoever looks."""
        return self.person is not None and systems_of(self.person.units)[0] == "us"

    def may(self, scope: str) -> bool:
        """Whether the role of whoever looks has a scope."""
        return self.person is not None and scopes.may(self.person.client, scope)

    @property
    def files(self) -> MultiDict[str, FileStorage]:
        """Files that were sent along."""
        return request.files

    def chosen(self, name: str) -> bytes | None:
        """What stands in the file that was chosen for a field; None where none was."""
        file = self.files.get(name)
        return file.read() if file is not None and file.filename else None

    def in_words(self, faults: Iterable[Fault]) -> tuple[Fault, ...]:
        """Faults as whoever looks reads them, what is allowed or wanted under its name."""
        return tuple(replace(each, message=self._read(each.message), allowed=self._allowed(each)) for each in faults)

    def at_fields(self, faults: Iterable[Fault]) -> tuple[Fault, ...]:
        """The same with what is allowed in one text, as it stands beside a field."""
        return tuple(
            replace(each, message=Sentence(f"{each.message}; {each.allowed}"), allowed="") if each.allowed else each
            for each in self.in_words(faults)
        )

    def _allowed(self, fault: Fault) -> str:
        label = self.words.t("wanted:") if fault.is_missing else self.words.t("allowed:")
        return f"{label} {self._read(fault.allowed)}" if fault.allowed else ""

    def _read(self, text: str) -> Sentence:
        return Sentence(self.reader.say(text))

    def page(self, template: str, status: int = 200, **values: object) -> Response:
        """A page; the faults of a ``problem`` in words of whoever looks."""
        problem = values.get("problem")
        if isinstance(problem, Problem):
            faults = problem.faults and self.in_words(problem.faults)
            values = {**values, "problem": replace(problem, detail=self.reader.say(problem.detail), faults=faults)}
        return finished(render_template(template, **{**self.told(), **values}), status)

    def told(self) -> dict[str, Any]:
        """What every template may use."""
        return {
            "visit": self, "t": self.words.t, "tn": self.words.tn, "reader": self.reader, "fmt": self.reader.formats,
            "may": self.may, "form_token": form_token(self.token), "static_url": static_url,
            "money": Money, **WORDS_OF_PAGES,
        }  # fmt: skip


def finished(text: str, status: int = 200, media: str = "text/html; charset=utf-8") -> Response:
    """A page's answer: never kept by anybody on the way, nothing from any other host, no script within the page."""
    response = Response(text, status, content_type=media)
    response.headers["Content-Security-Policy"] = POLICY
    response.headers["Cache-Control"] = "no-store"
    response.headers["Referrer-Policy"] = "same-origin"
    return response


def document(content: bytes, media: str, filename: str) -> Response:
    """A paper: shown in the browser where browsers can, else kept as a file. Source: RFC 6266 and RFC 8187."""
    response = Response(content, 200, content_type=media)
    plain = "".join(sign if sign.isascii() and (sign.isalnum() or sign in "-_.") else "_" for sign in filename)
    kind = "inline" if media in SHOWN else "attachment"
    response.headers["Content-Disposition"] = (
        f"{kind}; filename=\"{plain}\"; filename*=UTF-8''{quote(filename, safe='')}"
    )
    response.headers["Cache-Control"] = "private, no-cache"
    return response


def sent_on(address: str) -> Response:
    """To another page, which is read again (RFC 9110, section 15.4.4)."""
    response = Response(status=303)
    response.headers["Location"] = redirect(address, 303).headers["Location"]
    response.headers["Cache-Control"] = "no-store"
    return response


def form_token(token: str) -> str:
    """What forms of a session carry, so that no other site can send them."""
    return hmac.new(token.encode(), b"form", hashlib.sha256).hexdigest() if token else ""


@cache
def static_url(name: str) -> str:
    """The address of a style sheet or script; another content has another address."""
    digest = hashlib.sha256((HERE / "static" / name).read_bytes()).hexdigest()[:12]
    return f"/static/{name}?v={digest}"
