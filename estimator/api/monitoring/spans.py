"""Traces, for houses that gather them: a span for each request, below the caller's own where it sent one.

Off unless ESTIMATOR_TRACES says ``otlp``; the extra ``traces`` brings what it needs. Where spans go, and how many, is
told by OpenTelemetry's own variables (OTEL_EXPORTER_OTLP_ENDPOINT, OTEL_TRACES_SAMPLER). Source: W3C Trace Context for
``traceparent``; OpenTelemetry's conventions for HTTP spans for the names of attributes.
"""

from __future__ import annotations

from typing import Any

import structlog
from flask import Flask, Response, g
from flask import request as http_request

from estimator.errors import Fault, Refused
from estimator.sentences import say

MISSING = "pip install 'estimator[traces]'"


def tracer_to_collector(version: str) -> Any:
    """A tracer that sends to the collector that OpenTelemetry's variables name. Errors: Refused without the extra."""
    try:
        from opentelemetry.exporter.otlp.proto.http.trace_exporter import OTLPSpanExporter  # noqa: PLC0415
        from opentelemetry.sdk.resources import Resource  # noqa: PLC0415
        from opentelemetry.sdk.trace import TracerProvider  # noqa: PLC0415
        from opentelemetry.sdk.trace.export import BatchSpanProcessor  # noqa: PLC0415
    except ImportError as fault:
        said = Fault("ESTIMATOR_TRACES", say("what traces need is not installed"), MISSING)
        raise Refused(say("settings that cannot be read"), [said]) from fault
    named = {"service.name": "estimator", "service.version": version}
    provider = TracerProvider(resource=Resource.create(named))
    provider.add_span_processor(BatchSpanProcessor(OTLPSpanExporter()))
    return provider.get_tracer("estimator", version)


def register_spans(app: Flask, tracer: Any) -> None:
    """A span from the start of each request to its answer; its trace id is in the request's log lines."""
    from opentelemetry.trace import SpanKind, Status, StatusCode  # noqa: PLC0415
    from opentelemetry.trace.propagation.tracecontext import TraceContextTextMapPropagator  # noqa: PLC0415

    propagator = TraceContextTextMapPropagator()

    def begin() -> None:
        parent = propagator.extract({"traceparent": g.get("traceparent", "")})
        route = http_request.url_rule.rule if http_request.url_rule else "none"
        g.span = tracer.start_span(f"{http_request.method} {route}", context=parent, kind=SpanKind.SERVER)
        g.span.set_attribute("http.request.method", http_request.method)
        g.span.set_attribute("http.route", route)
        g.span.set_attribute("estimator.request_id", g.request_id)
        structlog.contextvars.bind_contextvars(trace_id=f"{g.span.get_span_context().trace_id:032x}")

    def end(response: Response) -> Response:
        span = g.get("span")
        if span is not None:
            span.set_attribute("http.response.status_code", response.status_code)
            if response.status_code >= 500:
                span.set_status(Status(StatusCode.ERROR))
        return response

    def over(fault: BaseException | None) -> None:
        span = g.pop("span", None)
        if span is not None:
            if fault is not None:
                span.record_exception(fault)
            span.end()

    app.before_request(begin)
    app.after_request(end)
    app.teardown_request(over)
