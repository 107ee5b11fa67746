"""The whole service put together: database, books, API, pages."""

from __future__ import annotations

import logging
import secrets
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from importlib.metadata import version

import structlog
from flask import Flask
from werkzeug.middleware.proxy_fix import ProxyFix

from estimator.api.gateway import Gateway
from estimator.api.monitoring.spans import register_spans, tracer_to_collector
from estimator.api.monitoring.timing import timed
from estimator.api.rate_limits import Buckets, RequestShare, SharedBuckets, TokenBuckets
from estimator.api.transport import BodyLimits, Bridge, nothing_to_end
from estimator.api.v1 import RESOURCES, register_api
from estimator.comparison.compare import offer
from estimator.comparison.records import Offer
from estimator.contract.answers.quotes.quotes import answer_forms
from estimator.cutting.records import CutPlan, Memory
from estimator.job import Choices, Job
from estimator.opening import made_once, open_house
from estimator.pricebook import Book
from estimator.service import calculations
from estimator.service.access.shared_limits import draw, shares_limits
from estimator.service.context import ServiceContext
from estimator.service.dispatch.courier import Courier
from estimator.service.outbox.sealed_secrets import seal_secrets
from estimator.service.people.passwords import check_parameters
from estimator.settings import Settings, from_environment
from estimator.tasks import queue
from estimator.tasks.parent import end_with_parent
from estimator.tasks.pool import Pool, PoolLimits, default_processes
from estimator.tasks.work import PaperKeeper, Workers
from estimator.web.pages import register_pages

VERSION = version("estimator")
CURSORS_FILE = "cursors.key"
MOST_FORM_PARTS = 20_000
"""Fields of one form: a roof of two hundred arrays has some three thousand."""
PAPER_PROCESSES = 1
"""Processes that write papers somebody waits for, beside those that calculate: neither waits for the other."""
HELD_BODIES = 256_000_000
"""Bytes of request bodies that one process holds at the same time; further requests are told to come later."""


def open_context(settings: Settings) -> ServiceContext:
    """Database in its newest form, the catalogue of pricebooks, and how answers are written and timed."""
    return replace(open_house(settings), make_offer=timed("estimate", offer), answers=answer_forms())


def create_app(settings: Settings, context: ServiceContext) -> Flask:
    """The app, every route on it."""
    app = Flask(__name__, static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = settings.body_limit
    app.config["MAX_FORM_MEMORY_SIZE"] = settings.body_limit
    app.config["MAX_FORM_PARTS"] = MOST_FORM_PARTS
    app.json.sort_keys = False  # type: ignore[attr-defined]
    gateway = Gateway(
        context,
        by_key=_buckets(context, "key", RequestShare(settings.rate_burst, settings.rate_per_second)),
        by_address=_buckets(
            context, "address", RequestShare(max(1, settings.rate_burst // 10), max(0.5, settings.rate_per_second / 30))
        ),
        cursor_secret=_cursor_secret(settings),
    )
    description = register_api(app, gateway, VERSION, behind_tls=settings.behind_tls)
    if settings.traces:
        register_spans(app, tracer_to_collector(VERSION))
    if settings.proxies:
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=settings.proxies)  # type: ignore[method-assign]
    register_pages(app, description, context, behind_tls=settings.behind_tls)
    return app


def _buckets(context: ServiceContext, kind: str, share: RequestShare) -> Buckets:
    """Buckets of this process, or those that all processes over one PostgreSQL share."""
    if not shares_limits(context.engine):
        return TokenBuckets(share, time.monotonic)
    return SharedBuckets(
        share, lambda name, wanted: draw(context, f"{kind} {name}", wanted, share.burst, share.per_second)
    )


def from_settings() -> Bridge:
    """What the server's processes call: the app behind the bridge that reads bodies for it."""
    end_with_parent()
    settings = from_environment()
    set_up_log(settings.log_level)
    check_parameters()
    context, pool = with_processes(open_context(settings), settings)
    seal_secrets(context)
    Courier(context).start()
    if settings.operations_apart:
        context = replace(context, announce=queue.announcer(context.engine))
        return bridge_to(create_app(settings, context), settings)
    workers = Workers(context, pool)
    workers.start()
    PaperKeeper(context, pool).start()
    return bridge_to(create_app(settings, context), settings, workers.hand_back)


def with_processes(
    context: ServiceContext, settings: Settings, processes: int | None = None
) -> tuple[ServiceContext, Pool]:
    """The context with its long calculations in processes of their own."""
    processes = processes or settings.calculators or default_processes()
    waiting = max(1, settings.threads // 2)
    pool = Pool(PoolLimits(processes, waiting, settings.wait_seconds))
    papers = Pool(PoolLimits(PAPER_PROCESSES, waiting, settings.wait_seconds))

    def make(
        job: Job, book: Book, choices: Choices, on: date, _memory: Memory, before: tuple[CutPlan, ...] = ()
    ) -> Offer:
        made: Offer = pool.call(calculations.make_offer, job, book, choices, on, before)
        return made

    calculate = timed("estimate", pool.call)
    return replace(context, make_offer=timed("estimate", make), calculate=calculate, on_paper=papers.call), pool


def bridge_to(app: Flask, settings: Settings, at_end: Callable[[], None] = nothing_to_end) -> Bridge:
    """The app as an ASGI server calls it; ``at_end`` is done once its last request is answered."""
    largest = max(route.body_limits for resource in RESOURCES for route in resource.routes) * settings.body_limit
    limits = BodyLimits(largest, settings.body_seconds, max(HELD_BODIES, 2 * largest))
    return Bridge(app, settings.threads, limits, at_end)


def set_up_log(level: int) -> None:
    """One JSON line for each event, on standard error."""
    structlog.configure(
        processors=[
            structlog.contextvars.merge_contextvars,
            structlog.processors.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            structlog.processors.format_exc_info,
            structlog.processors.JSONRenderer(),
        ],
        wrapper_class=structlog.make_filtering_bound_logger(level),
        logger_factory=structlog.WriteLoggerFactory(file=sys.stderr),
        cache_logger_on_first_use=True,
    )
    logging.getLogger("alembic").setLevel(logging.WARNING)


def _cursor_secret(settings: Settings) -> bytes:
    if settings.cursor_secret:
        return settings.cursor_secret.encode()
    return made_once(settings, CURSORS_FILE, lambda: secrets.token_hex(32)).encode()
