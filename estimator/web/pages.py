"""The pages: a landing page, the readable description of the API, and those that people work with."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from flask import Blueprint, Flask, Response, g, render_template, send_from_directory
from jinja2 import FileSystemLoader
from werkzeug.exceptions import HTTPException

from estimator.contract.problems.documents import problem_of
from estimator.contract.problems.table import BY_STATUS
from estimator.demo import sample_job
from estimator.errors import EstimatorError
from estimator.service.context import ServiceContext
from estimator.web.desk import adjusting, house, jobs, orders, people, pricebooks, quotes, repricings, signing_in
from estimator.web.door import Door
from estimator.web.first_hour import STEPS
from estimator.web.problem_pages import register_problem_pages
from estimator.web.routes import PageRoute, Pages
from estimator.web.visits import POLICY, Visit, static_url

HERE = Path(__file__).parent
SUBJECTS: tuple[Pages, ...] = (
    signing_in.pages,
    quotes.pages,
    adjusting.pages,
    jobs.pages,
    orders.pages,
    pricebooks.pages,
    repricings.pages,
    house.pages,
    people.pages,
)
ALL_PAGES: tuple[PageRoute, ...] = tuple(route for subject in SUBJECTS for route in subject.routes)


def register_pages(
    app: Flask, described: Callable[[], dict[str, Any]], context: ServiceContext, *, behind_tls: bool
) -> None:
    """/, /docs, the style sheet and the icon, and every page that people work with."""

    def docs() -> Response:
        api = described()
        return _page("docs.html", api=api, operations=operations(api), steps=STEPS, sample=sample_job("metric"))

    def static(filename: str) -> Response:
        response = send_from_directory(HERE / "static", filename)
        response.headers["Cache-Control"] = "public, max-age=3600"
        return response

    def favicon() -> Response:
        return static("icon.svg")

    app.jinja_env.loader = FileSystemLoader(HERE / "templates")
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.add_url_rule("/docs", view_func=docs)
    app.add_url_rule("/static/<path:filename>", view_func=static)
    app.add_url_rule("/favicon.ico", view_func=favicon)
    door = Door(context, behind_tls)

    def landing() -> Response:
        visit = door.visit({})
        response = visit.page("landing.html", version=described()["info"]["version"])
        response.headers["Vary"] = "Accept-Language, Cookie"
        return response

    app.add_url_rule("/", view_func=landing)
    app.register_blueprint(_desk(door))
    register_problem_pages(app, door)


def operations(description: dict[str, Any]) -> dict[str, list[dict[str, Any]]]:
    """The operations by tag, each with its path and method."""
    found: dict[str, list[dict[str, Any]]] = {tag["name"]: [] for tag in description["tags"]}
    for path, methods in description["paths"].items():
        for method, operation in methods.items():
            for tag in operation["tags"]:
                found[tag].append({"path": path, "method": method.upper(), **operation})
    return found


def _desk(door: Door) -> Blueprint:
    desk = Blueprint("pages", __name__)
    for route in ALL_PAGES:
        desk.add_url_rule(route.path, endpoint=route.name, view_func=door.opened(route), methods=[route.method])

    def refused(refusal: EstimatorError) -> Response:
        problem = problem_of(refusal)
        visit: Visit = g.get("visit") or door.visit({})
        response = visit.page("refused.html", problem.status, problem=problem)
        if refusal.retry_after is not None:
            response.headers["Retry-After"] = str(refusal.retry_after)
        return response

    def http_fault(fault: HTTPException) -> Response:
        kind = BY_STATUS.get(fault.code or 500, BY_STATUS[400])
        visit: Visit = g.get("visit") or door.visit({})
        return visit.page("refused.html", fault.code or 500, kind=kind)

    desk.before_request(door.demand_secure)
    desk.register_error_handler(EstimatorError, refused)
    desk.register_error_handler(HTTPException, http_fault)
    return desk


def _page(template: str, **values: object) -> Response:
    told = {"static_url": static_url, **values}
    response = Response(render_template(template, **told), content_type="text/html; charset=utf-8")
    response.headers["Content-Security-Policy"] = POLICY
    response.headers["Cache-Control"] = "no-cache"
    return response
