"""Whether the service lives, whether it is ready, and its numbers; none of it needs a key or tells a detail."""

from __future__ import annotations

import math
import os
import time
from dataclasses import dataclass, field
from threading import Lock

from flask import Flask, Response
from prometheus_client import CONTENT_TYPE_LATEST, REGISTRY, CollectorRegistry, generate_latest
from prometheus_client.multiprocess import MultiProcessCollector
from sqlalchemy import text
from sqlalchemy.exc import SQLAlchemyError

from estimator.api.monitoring.backlog import Backlog
from estimator.api.replies import JSON
from estimator.contract.answers.writing import dump
from estimator.contract.problems.refusals import NotReady
from estimator.sentences import Sentence, say
from estimator.service.context import ServiceContext
from estimator.storage.migrate import is_current

ASKED_EVERY_SECONDS = 1.0


@dataclass(slots=True)
class Checked:
    """The database's last answer; it is asked again after a second, however many requests come."""

    context: ServiceContext
    _said: Sentence | None = None
    _until: float = -math.inf
    _lock: Lock = field(default_factory=Lock)

    def lacking(self) -> Sentence | None:
        """What keeps the service from being ready; nothing where it is."""
        with self._lock:
            if time.monotonic() >= self._until:
                self._said = self._ask()
                self._until = time.monotonic() + ASKED_EVERY_SECONDS
            return self._said

    def _ask(self) -> Sentence | None:
        try:
            with self.context.reading() as session:
                session.execute(text("SELECT 1"))
            return None if is_current(self.context.engine) else say("the tables are not in their newest form")
        except SQLAlchemyError:
            return say("the database cannot be reached")


def register_health(app: Flask, context: ServiceContext) -> None:
    """/livez, /readyz, /metrics."""

    def livez() -> Response:
        return _plain({"status": "alive"})

    checked = Checked(context)

    def readyz() -> Response:
        lacking = checked.lacking()
        if lacking:
            raise NotReady(lacking)
        return _plain({"status": "ready"})

    waiting = CollectorRegistry()
    waiting.register(Backlog(context))

    def metrics() -> Response:
        content = generate_latest(_processes()) + generate_latest(waiting)
        return Response(content, content_type=CONTENT_TYPE_LATEST)

    app.add_url_rule("/livez", view_func=livez)
    app.add_url_rule("/readyz", view_func=readyz)
    app.add_url_rule("/metrics", view_func=metrics)


def _processes() -> CollectorRegistry:
    """The numbers of this process, or those of all where several run (``prometheus_client`` keeps them in files)."""
    if "PROMETHEUS_MULTIPROC_DIR" not in os.environ:
        return REGISTRY
    together = CollectorRegistry()
    MultiProcessCollector(together)  # type: ignore[no-untyped-call]
    return together


def _plain(document: dict[str, str]) -> Response:
    response = Response(dump(document), content_type=JSON)
    response.headers["Cache-Control"] = "no-store"
    return response
