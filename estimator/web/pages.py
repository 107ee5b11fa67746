"""The pages: a landing page and the readable description of the API."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from flask import Flask, Response, render_template, send_from_directory
from jinja2 import FileSystemLoader

from estimator.demo import sample_job
from estimator.web.first_hour import STEPS

HERE = Path(__file__).parent
POLICY = "default-src 'none'; style-src 'self'; img-src 'self'; base-uri 'none'; frame-ancestors 'none'"


def register_pages(app: Flask, description: dict[str, Any]) -> None:
    """/, /docs, the style sheet and the icon."""

    def landing() -> Response:
        return _page("landing.html", version=description["info"]["version"])

    def docs() -> Response:
        return _page(
            "docs.html", api=description, operations=operations(description), steps=STEPS, sample=sample_job("metric")
        )

    def static(filename: str) -> Response:
        response = send_from_directory(HERE / "static", filename)
        response.headers["Cache-Control"] = "public, max-age=3600"
        return response

    def favicon() -> Response:
        return static("icon.svg")

    app.jinja_env.loader = FileSystemLoader(HERE / "templates")
    app.add_url_rule("/", view_func=landing)
    app.add_url_rule("/docs", view_func=docs)
    app.add_url_rule("/static/<path:filename>", view_func=static)
    app.add_url_rule("/favicon.ico", view_func=favicon)


def operations(description: dict[str, Any]) -> dict[str, list[dict[str, Any]]]:
    """The operations by tag, each with its path and method."""
    found: dict[str, list[dict[str, Any]]] = {tag["name"]: [] for tag in description["tags"]}
    for path, methods in description["paths"].items():
        for method, operation in methods.items():
            for tag in operation["tags"]:
                found[tag].append({"path": path, "method": method.upper(), **operation})
    return found


def _page(template: str, **values: object) -> Response:
    response = Response(render_template(template, **values), content_type="text/html; charset=utf-8")
    response.headers["Content-Security-Policy"] = POLICY
    response.headers["Cache-Control"] = "no-cache"
    return response
