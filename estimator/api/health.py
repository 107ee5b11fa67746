"""Whether the service lives, whether it is ready, and its numbers; none of it needs a key or tells a detail."""

from __future__ import annotations

from flask import Flask, Response
from prometheus_client import CONTENT_TYPE_LATEST, generate_latest
from sqlalchemy import text
from sqlalchemy.exc import SQLAlchemyError

from estimator.api.replies import JSON
from estimator.contract.answers.writing import dump
from estimator.contract.problems.refusals import NotReady
from estimator.service.context import ServiceContext
from estimator.storage.migrate import is_current


def register_health(app: Flask, context: ServiceContext) -> None:
    """/livez, /readyz, /metrics."""

    def livez() -> Response:
        return _plain({"status": "alive"})

    def readyz() -> Response:
        try:
            with context.reading() as session:
                session.execute(text("SELECT 1"))
            ready = is_current(context.engine)
        except SQLAlchemyError as fault:
            raise NotReady("the database cannot be reached") from fault
        if not ready:
            raise NotReady("the tables are not in their newest form")
        return _plain({"status": "ready"})

    def metrics() -> Response:
        return Response(generate_latest(), content_type=CONTENT_TYPE_LATEST)

    app.add_url_rule("/livez", view_func=livez)
    app.add_url_rule("/readyz", view_func=readyz)
    app.add_url_rule("/metrics", view_func=metrics)


def _plain(document: dict[str, str]) -> Response:
    response = Response(dump(document), content_type=JSON)
    response.headers["Cache-Control"] = "no-store"
    return response
