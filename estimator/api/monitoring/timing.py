"""Where the time of an answer went, in its ``Server-Timing`` header.

Source: W3C Server Timing (candidate recommendation): a list of names with ``dur`` in milliseconds and ``desc``.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import ParamSpec, TypeVar

from flask import g, has_request_context

P = ParamSpec("P")
T = TypeVar("T")
DESCRIPTIONS = {
    "total": "from request to answer",
    "cpu": "processor time of it",
    "estimate": "counting and pricing",
    "document": "writing the document",
    "parse": "reading and checking the body",
    "store": "keeping what was made",
    "answer": "writing the answer",
}


def begin_timing() -> None:
    """Start the clock for a new request."""
    g.begun, g.begun_cpu, g.parts = time.perf_counter(), time.thread_time(), {}


def timed(name: str, work: Callable[P, T]) -> Callable[P, T]:
    """The same work; within a request, what it takes is added to the part of that name."""

    def measured(*arguments: P.args, **named: P.kwargs) -> T:
        began = time.perf_counter()
        try:
            return work(*arguments, **named)
        finally:
            if has_request_context() and "parts" in g:
                g.parts[name] = g.parts.get(name, 0.0) + time.perf_counter() - began

    return measured


def timed_rest(name: str, work: Callable[[], T]) -> T:
    """What work takes beyond the parts that are measured within it is added to the part of that name."""
    if not has_request_context() or "parts" not in g:
        return work()
    began, before = time.perf_counter(), sum(g.parts.values())
    try:
        return work()
    finally:
        within = sum(g.parts.values()) - before
        g.parts[name] = g.parts.get(name, 0.0) + time.perf_counter() - began - within


def server_timing() -> str:
    """The header's value.

    A quote that took 41 ms, 30 of them for its estimate: ``total;dur=41.0;desc="from request to answer", ...``
    """
    spent = {"total": time.perf_counter() - g.begun, "cpu": time.thread_time() - g.begun_cpu, **g.parts}
    return ", ".join(f'{name};dur={1000 * each:.1f};desc="{DESCRIPTIONS[name]}"' for name, each in spent.items())
