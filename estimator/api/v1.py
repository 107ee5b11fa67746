"""The whole API on an app: every route under /v1, its description, health and problem pages."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

from flask import Blueprint, Flask, Response

from estimator.api.description.openapi import PREFIX, describe
from estimator.api.gateway import Gateway, serve
from estimator.api.monitoring.health import register_health
from estimator.api.monitoring.trace import register_trace
from estimator.api.problems.handlers import register_problems
from estimator.api.problems.pages import register_problem_pages
from estimator.api.replies import JSON
from estimator.api.resources import (
    cut_plans,
    deliveries,
    editions,
    estimates,
    events,
    jobs,
    operations,
    order_lists,
    pricebooks,
)
from estimator.api.resources.organisation import audit, keys, policy
from estimator.api.resources.quotes import answers as quote_answers
from estimator.api.resources.quotes import documents as quote_documents
from estimator.api.resources.quotes import quotes, repricings
from estimator.api.routes import Routes
from estimator.contract.answers.writing import dump

RESOURCES: tuple[Routes, ...] = (
    estimates.routes,
    jobs.routes,
    quotes.routes,
    quote_answers.routes,
    quote_documents.routes,
    order_lists.routes,
    pricebooks.routes,
    cut_plans.routes,
    operations.routes,
    repricings.routes,
    keys.routes,
    policy.routes,
    audit.routes,
    events.routes,
    deliveries.routes,
    editions.routes,
)
OPEN = frozenset(
    {"livez", "readyz", "metrics", "openapi", "problem", "problems", "landing", "docs", "favicon", "static"}
)
"""Endpoints that need no key: they tell nothing of anybody."""


def register_api(app: Flask, gateway: Gateway, version: str, *, behind_tls: bool) -> Callable[[], dict[str, Any]]:
    """Put the API on the app; gives its description, which is made when somebody first asks for it."""
    register_trace(app, behind_tls=behind_tls)
    register_problems(app)
    register_health(app, gateway.context)
    register_problem_pages(app)
    blueprint = Blueprint("v1", __name__, url_prefix=PREFIX)
    for resource in RESOURCES:
        for route in resource.routes:
            blueprint.add_url_rule(
                route.path, endpoint=route.name, view_func=serve(route, gateway), methods=[route.method]
            )
    app.register_blueprint(blueprint)
    described = cache(lambda: describe(RESOURCES, version))
    rendered = cache(lambda: dump(described()))

    def openapi() -> Response:
        response = Response(rendered(), content_type=JSON)
        response.headers["Cache-Control"] = "no-cache"
        return response

    app.add_url_rule("/openapi.json", view_func=openapi)
    return described
