"""What whoever runs the service needs: numbers of all processes, spans, the caller's address, containers that hold."""

import os
import re
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest
import requests
import yaml
from opentelemetry.sdk.trace import TracerProvider
from opentelemetry.sdk.trace.export import SimpleSpanProcessor
from opentelemetry.sdk.trace.export.in_memory_span_exporter import InMemorySpanExporter

from api_tests.posted import a_job
from estimator.api.monitoring.spans import register_spans
from estimator.app import create_app
from estimator.cli.hosting.serving import GRACE_SECONDS
from estimator.cli.main import COMMANDS
from estimator.service.access import keys
from estimator.settings import SETTINGS
from tests import postgres
from tests.api.house import House
from tests.references import missing, require_module

ROOT = Path(__file__).parents[2]


@pytest.fixture
def house(tmp_path):
    made = House(tmp_path, ESTIMATOR_PROXIES="1")
    yield made
    made.close()


def test_two_processes_tell_the_sum_of_their_numbers(tmp_path):
    """40 requests over connections of their own: whichever process answers /metrics, it tells 40."""
    if postgres.programs() is None:
        missing("postgresql")
    require_module("psycopg")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    with postgres.running() as url:
        environment = {
            **os.environ,
            "ESTIMATOR_DATA": str(tmp_path),
            "ESTIMATOR_DATABASE_URL": url,
            "ESTIMATOR_WORKERS": "2",
            "ESTIMATOR_LOG_LEVEL": "info",
            "PYTHONPATH": str(ROOT),
        }
        command = [sys.executable, "-c", "from estimator.cli import main; main()", "serve", "--port", str(port)]
        with (tmp_path / "log").open("wb") as log:
            served = subprocess.Popen(command, env=environment, stdout=log, stderr=log, start_new_session=True)
        try:
            base = f"http://127.0.0.1:{port}"
            _wait(base)
            for _ in range(40):
                assert requests.get(base + "/v1/jobs", timeout=20).status_code == 401
            told = {_count(requests.get(base + "/metrics", timeout=20).text) for _ in range(8)}
            assert told == {40.0}
        finally:
            os.killpg(served.pid, signal.SIGTERM)
            served.wait(60)  # longer than a process may take to answer what is under way


def _wait(base):
    for _ in range(1200):
        try:
            if requests.get(base + "/readyz", timeout=2).status_code == 200:
                return
        except requests.ConnectionError:
            pass
        time.sleep(0.1)
    raise RuntimeError("the service did not start")


def _count(text):
    found = re.findall(
        r'^estimator_requests_total\{[^}]*route="/v1/jobs"[^}]*status="401"[^}]*\} ([\d.]+)$', text, re.M
    )
    return sum(map(float, found))


def test_what_waits_stands_among_the_numbers(house):
    crm = house.key("crm")
    house.call(crm, "POST", "/v1/webhooks", json={"url": "https://crm.example.org/"})
    house.call(crm, "POST", "/v1/jobs", json=a_job())
    text = house.client.get("/metrics").text
    assert 'estimator_deliveries{state="pending"} 1.0' in text
    assert re.search(r"^estimator_delivery_oldest_seconds [\d.]+$", text, re.M)


def test_a_request_is_a_span_below_its_callers(house):
    """Source: W3C Trace Context, section 3.2: trace-id and parent-id of ``traceparent``."""
    exporter, provider = InMemorySpanExporter(), TracerProvider()
    provider.add_span_processor(SimpleSpanProcessor(exporter))
    app = create_app(house.settings, house.context)
    register_spans(app, provider.get_tracer("test"))
    trace, parent = "4bf92f3577b34da6a3ce929d0e0e4736", "00f067aa0ba902b7"
    app.test_client().get("/v1/jobs/some", headers={"traceparent": f"00-{trace}-{parent}-01"})
    (span,) = exporter.get_finished_spans()
    assert span.name == "GET /v1/jobs/<job_id>"
    assert (f"{span.context.trace_id:032x}", f"{span.parent.span_id:016x}") == (trace, parent)
    assert span.attributes["http.response.status_code"] == 401


def test_the_address_behind_a_proxy_is_the_callers_and_what_the_caller_says_itself_is_not_believed(house):
    """One proxy is told of, so the last entry of X-Forwarded-For is its word, and the one before the caller's own."""
    admin = house.key("admin")
    house.call(admin, "GET", "/v1/audit", headers={"X-Forwarded-For": "203.0.113.9, 198.51.100.7"})
    used = house.call(admin, "GET", "/v1/audit?action=key.used").get_json()["items"][0]
    assert used["address"] == "198.51.100.7"


def test_every_line_of_the_log_within_a_request_names_it(house, capsys):
    key = keys.create_key(house.context, "house", "crm", "x")[0]
    house.call(key, "GET", "/v1/jobs", headers={"X-Request-ID": "r-4711"})
    lines = [line for line in capsys.readouterr().out.splitlines() if "/v1/jobs" in line]
    assert lines
    assert all("r-4711" in line for line in lines)


def test_the_containers_hold_what_they_must():
    """No root, no capability, volumes alone to write to, secrets from files. Source: OWASP, Docker cheat sheet."""
    compose = yaml.safe_load((ROOT / ".compose" / "compose.yaml").read_text(encoding="utf-8"))
    known = {setting.name for setting in SETTINGS}
    ours = {name: each for name, each in compose["services"].items() if "build" in each}
    assert "web" in ours
    for name, service in ours.items():
        assert service["read_only"] is True, name
        assert service["cap_drop"] == ["ALL"], name
        assert "no-new-privileges:true" in service["security_opt"], name
        assert {each.removesuffix("_FILE") for each in service["environment"]} <= known, name
        assert service.get("command", ["serve"])[0] in COMMANDS, name
        assert int(service["stop_grace_period"].removesuffix("s")) > GRACE_SECONDS, name
        assert {"database_url", "cursor_secret", "secrets_key"} <= set(service["secrets"]), name
    dockerfile = (ROOT / "Dockerfile").read_text(encoding="utf-8")
    assert re.search(r"^USER 10001$", dockerfile, re.M)
    assert "HEALTHCHECK" in dockerfile
    assert "--require-hashes -r .ci/requirements-server.txt" in dockerfile
    ignored = (ROOT / ".dockerignore").read_text(encoding="utf-8").split()
    for source in re.findall(r"^COPY (?!--from)([^\n]+) [^ \n]+$", dockerfile, re.M):
        assert all(f"!{each}" in ignored for each in source.split()), source
    assert ".compose/secrets/" in (ROOT / ".gitignore").read_text(encoding="utf-8").split()
