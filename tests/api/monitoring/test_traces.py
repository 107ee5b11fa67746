"""Spans on their way to a collector: sent once, over HTTP, as OpenTelemetry's protocol has them.

Outside reference: ``opentelemetry-proto``, which decodes what arrives. Source: OTLP 1.x, section "OTLP/HTTP": POST to
/v1/traces, binary protobuf as application/x-protobuf.
"""

import gzip
from http.server import BaseHTTPRequestHandler, HTTPServer
from threading import Thread

import pytest
from opentelemetry.proto.collector.trace.v1.trace_service_pb2 import (
    ExportTraceServiceRequest,
    ExportTraceServiceResponse,
)

from estimator.api.monitoring.spans import register_spans, tracer_to_collector
from estimator.app import create_app
from tests.api.house import House

PARENT = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"


@pytest.fixture
def collector():
    """Its address, and what it was sent: (path, media type, decoded request)."""
    got = []

    class Collector(BaseHTTPRequestHandler):
        def do_POST(self):
            body = self.rfile.read(int(self.headers["Content-Length"]))
            if self.headers.get("Content-Encoding") == "gzip":
                body = gzip.decompress(body)
            got.append((self.path, self.headers["Content-Type"], ExportTraceServiceRequest.FromString(body)))
            self.send_response(200)
            self.send_header("Content-Type", "application/x-protobuf")
            self.end_headers()
            self.wfile.write(ExportTraceServiceResponse().SerializeToString())

        def log_message(self, *_):
            pass

    server = HTTPServer(("127.0.0.1", 0), Collector)
    Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}", got
    server.shutdown()
    server.server_close()


def test_a_collector_gets_each_request_once_with_its_caller_route_and_status(tmp_path, collector, monkeypatch):
    address, got = collector
    monkeypatch.setenv("OTEL_EXPORTER_OTLP_ENDPOINT", address)
    house = House(tmp_path)
    tracer = tracer_to_collector("9.9")
    app = create_app(house.settings, house.context)
    register_spans(app, tracer)
    http = app.test_client()
    http.get("/v1/jobs/some", headers={"traceparent": PARENT, "X-Request-ID": "r-4711"})
    http.get("/livez")
    assert tracer.span_processor.force_flush(20_000)
    house.close()
    assert {(path, media) for path, media, _ in got} == {("/v1/traces", "application/x-protobuf")}
    resources = [each for _, _, sent in got for each in sent.resource_spans]
    named = {each.key: each.value.string_value for each in resources[0].resource.attributes}
    assert (named["service.name"], named["service.version"]) == ("estimator", "9.9")
    spans = {span.name: span for resource in resources for scope in resource.scope_spans for span in scope.spans}
    assert sum(len(scope.spans) for resource in resources for scope in resource.scope_spans) == 2
    span = spans["GET /v1/jobs/<job_id>"]
    assert span.trace_id.hex() == "4bf92f3577b34da6a3ce929d0e0e4736"
    assert span.parent_span_id.hex() == "00f067aa0ba902b7"
    told = {each.key: each.value for each in span.attributes}
    assert told["http.response.status_code"].int_value == 401
    assert told["http.route"].string_value == "/v1/jobs/<job_id>"
    assert told["estimator.request_id"].string_value == "r-4711"
    assert span.end_time_unix_nano >= span.start_time_unix_nano > 0
    assert "GET /livez" in spans
