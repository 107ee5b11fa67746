"""The list of pages: each says its scope, or that it needs nobody signed in; a page without either does not exist."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

from flask import Response

from estimator.web.visits import Visit

PageView = Callable[[Visit], Response]
PageMethod = Literal["GET", "POST"]
ANYBODY = ""
"""In the place of a scope: the page is for whoever has signed in, whatever the role."""


@dataclass(frozen=True, slots=True)
class PageRoute:
    """One page, or one form that is sent. ``scope`` None: nobody need be signed in."""

    method: PageMethod
    path: str
    scope: str | None
    view: PageView

    @property
    def name(self) -> str:
        """The view's name."""
        return self.view.__name__


@dataclass(slots=True)
class Pages:
    """Pages of one subject, in the order they are declared."""

    routes: list[PageRoute] = field(default_factory=list)

    def get(self, path: str, scope: str | None) -> Callable[[PageView], PageView]:
        """Declare a page."""
        return self._declare("GET", path, scope)

    def post(self, path: str, scope: str | None) -> Callable[[PageView], PageView]:
        """Declare a form's address."""
        return self._declare("POST", path, scope)

    def _declare(self, method: PageMethod, path: str, scope: str | None) -> Callable[[PageView], PageView]:
        def declare(view: PageView) -> PageView:
            self.routes.append(PageRoute(method, path, scope, view))
            return view

        return declare
