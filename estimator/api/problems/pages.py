"""/problems/<name>: what each type of problem means and what to do about it, for people and for programs."""

from __future__ import annotations

from html import escape

from flask import Flask, Response
from flask import request as http_request

from estimator.api.replies import JSON
from estimator.contract.answers.writing import dump
from estimator.contract.problems.kind import ProblemKind
from estimator.contract.problems.table import kinds
from estimator.errors import NotFound
from estimator.sentences import say

PAGE = """<!doctype html><html lang="en"><meta charset="utf-8"><title>{title}</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="stylesheet" href="/static/pages.css"><main>{inner}</main></html>"""
POLICY = "default-src 'none'; style-src 'self'; img-src 'self'; frame-ancestors 'none'"


def register_problem_pages(app: Flask) -> None:
    """One page for each type, and the list of them."""
    table = kinds()

    def problem(name: str) -> Response:
        kind = table.get(name)
        if kind is None:
            raise NotFound(say("no such type of problem"))
        return _shown([kind], kind.title)

    def problems() -> Response:
        return _shown(list(table.values()), "Types of problems")

    app.add_url_rule("/problems/<name>", view_func=problem)
    app.add_url_rule("/problems", view_func=problems)


def _shown(found: list[ProblemKind], title: str) -> Response:
    if (
        http_request.accept_mimetypes.best_match([JSON, "text/html"], "text/html") == JSON
        and http_request.accept_mimetypes
    ):
        entries = [
            {
                "type": f"/problems/{kind.name}",
                "status": kind.status,
                "title": kind.title,
                "meaning": kind.meaning,
                "remedy": kind.remedy,
            }
            for kind in found
        ]
        return Response(dump(entries[0] if len(entries) == 1 else entries), content_type=JSON)
    inner = "".join(
        f"<h2 id='{kind.name}'>{escape(kind.title)}</h2><p class='quiet'>{kind.status} · /problems/{kind.name}</p>"
        f"<p>{escape(kind.meaning)}</p><p>{escape(kind.remedy)}</p>"
        for kind in found
    )
    response = Response(PAGE.format(title=escape(title), inner=inner), content_type="text/html; charset=utf-8")
    response.headers["Content-Security-Policy"] = POLICY
    return response
