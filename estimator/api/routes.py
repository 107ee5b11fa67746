"""The list of routes: each says its scope, what it takes, what it gives; the description is made of the same list."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from flask import Response
from marshmallow import Schema

from estimator.api.replies import JSON, Reply
from estimator.api.request import Request

View = Callable[[Request], Reply | Response]
Method = Literal["GET", "POST", "PATCH", "DELETE"]
LONGEST_NAME = 80
"""Characters of a name in an address: as many as the tables keep."""


@dataclass(frozen=True, slots=True)
class Route:
    """One route under /v1. ``gives`` names a schema (or a media type) for each status.

    ``body_limits``: how many times the service's limit its body may have. ``unversioned``: a single thing without a
    version of its own. ``conflicts``: the state of the thing may not allow it.
    """

    method: Method
    path: str
    scope: str
    view: View
    summary: str
    body: type[Schema] | None = None
    query: type[Schema] | None = None
    gives: Mapping[int, type[Schema] | None] = field(default_factory=dict)
    documents: tuple[str, ...] = ()
    takes: tuple[str, ...] = (JSON,)
    creates: bool = False
    changes: bool = False
    optional_body: bool = False
    body_limits: int = 1
    unversioned: bool = False
    conflicts: bool = False

    @property
    def name(self) -> str:
        """The view's name: that of the operation in the description."""
        return self.view.__name__

    @property
    def versioned(self) -> bool:
        """Whether its answer has an ETag: one thing, made, changed or read."""
        single = self.method == "GET" and ("<" in self.path or bool(self.documents))
        return not self.unversioned and (single or self.creates or self.changes)

    @property
    def has_body(self) -> bool:
        """Whether a body is read."""
        return self.body is not None or self.takes != (JSON,)


@dataclass(frozen=True, slots=True)
class Options:
    """What a route says besides method, path, scope and summary."""

    body: type[Schema] | None = None
    query: type[Schema] | None = None
    gives: Mapping[int, type[Schema] | None] = field(default_factory=dict)
    documents: tuple[str, ...] = ()
    takes: tuple[str, ...] = (JSON,)
    creates: bool = False
    changes: bool = False
    optional_body: bool = False
    body_limits: int = 1
    unversioned: bool = False
    conflicts: bool = False


@dataclass(slots=True)
class Routes:
    """Routes of one resource, in the order they are declared."""

    tag: str
    about: str
    routes: list[Route] = field(default_factory=list)

    def add(
        self, method: Method, path: str, scope: str, summary: str, options: Options | None = None
    ) -> Callable[[View], View]:
        """Declare a view."""
        said = options or Options()

        def declare(view: View) -> View:
            named = {name: getattr(said, name) for name in Options.__dataclass_fields__}
            self.routes.append(Route(method, path, scope, view, summary, **named))
            return view

        return declare
