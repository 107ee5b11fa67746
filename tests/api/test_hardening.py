"""What makes a service of one make up others' numbers, wait, or tell too much: each guard with what it keeps out.

Sources: RFC 8259 section 4 (names within an object), OWASP API Security Top 10 of 2023 (API4, API8), common practice.
"""

import io
import json
import os
import stat
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
import structlog
from sqlalchemy import event

from api_tests.posted import a_job
from estimator.app import create_app, open_context
from estimator.service.access.keys import first_key
from estimator.settings import from_environment
from tests import postgres
from tests.references import missing, require_module

ROOT = Path(__file__).parents[2]
IMPORTS = """
from estimator.app import create_app, open_context
from estimator.service.access.keys import first_key
from estimator.settings import from_environment
"""
START = """
settings = from_environment()
context = open_context(settings)
key = first_key(context)
create_app(settings, context)
"""
FORKING = """
import json, multiprocessing, os, sys
fork = multiprocessing.get_context("fork")
def serve(gate, told, program, environment):
    os.environ.update(environment)
    names = dict(globals())
    gate.wait(60)
    exec(program, names)
    told.send(names["key"])
for order in sys.stdin:
    program, environment = json.loads(order)
    gate, pipes = fork.Barrier(3), [fork.Pipe() for _ in range(3)]
    servers = [fork.Process(target=serve, args=(gate, pipe[1], program, environment)) for pipe in pipes]
    for server in servers:
        server.start()
    for server in servers:
        server.join(120)
    left = [server.exitcode for server in servers]
    print(json.dumps([left, [ours.recv() for ours, _ in pipes] if left == [0, 0, 0] else []]), flush=True)
    for server in servers:
        server.kill()
"""
"""Imports once and forks three servers for each order, which begin at the same moment."""


SLOWLY = """
import time
from alembic.runtime.migration import MigrationContext
begin = MigrationContext.begin_transaction
def after_a_while(self, *told, **more):
    time.sleep(0.02)
    return begin(self, *told, **more)
MigrationContext.begin_transaction = after_a_while
"""
"""Between the steps of a migration another server may come in."""


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    folder = tmp_path_factory.mktemp("hard")
    settings = from_environment({"ESTIMATOR_DATA": str(folder), "ESTIMATOR_BODY_LIMIT": "100000"})
    context = open_context(settings)
    app = create_app(settings, context)
    yield app, context, {"Authorization": f"Bearer {first_key(context)}"}, folder
    context.engine.dispose()


def test_methods_that_a_client_makes_up_are_counted_as_one(served):
    app, *_ = served
    client = app.test_client()
    for number in range(5):
        client.open("/v1/jobs", method=f"MADE{number}")
    told = client.get("/metrics").text
    assert "MADE" not in told
    assert 'method="other"' in told


def test_readiness_is_asked_of_the_database_once_a_second_however_many_ask(served):
    app, context, *_ = served
    client, asked = app.test_client(), []
    event.listen(context.engine, "before_cursor_execute", lambda *said: asked.append(said[2]))
    for _ in range(50):
        assert client.get("/readyz").status_code == 200
    assert sum("SELECT 1" in each for each in asked) <= 2


def test_the_line_of_a_fault_names_its_request(served):
    app, _, headers, _ = served
    broken = app.view_functions["v1.list_jobs"]
    app.view_functions["v1.list_jobs"] = lambda: {}["secret of the house"]
    try:
        with structlog.testing.capture_logs(processors=[structlog.contextvars.merge_contextvars]) as lines:
            answer = app.test_client().get("/v1/jobs", headers={**headers, "X-Request-ID": "seen-in-the-log"})
    finally:
        app.view_functions["v1.list_jobs"] = broken
    assert answer.status_code == 500
    assert "secret" not in answer.text
    fault = next(line for line in lines if line["event"] == "fault")
    assert fault["request_id"] == "seen-in-the-log"


def test_a_name_that_stands_twice_in_one_object_is_refused(served):
    app, _, headers, _ = served
    twice = json.dumps({"job": a_job("TWICE")}).replace('"slope":', '"slope": 89, "slope":', 1)
    answer = app.test_client().post("/v1/estimates", data=twice, headers=headers, content_type="application/json")
    assert answer.status_code == 400
    assert repr("slope") in answer.get_json()["detail"]


@pytest.mark.parametrize(
    "head",
    [b"a." * 60_000 + b"a = 1", b"a = " + b"[" * 60_000, b"x = 1\n" * 60_000, b"[" + b"a." * 60_000 + b"a]"],
    ids=["key of many parts", "deep list", "long", "header of many parts"],
)
def test_a_head_made_to_keep_its_reader_busy_is_refused_at_once(served, head):
    """A key of 60,000 parts kept the standard library's reader for minutes."""
    app, _, headers, _ = served
    archive = io.BytesIO()
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("book.toml", head)
    answer = app.test_client().post(
        "/v1/pricebooks", data=archive.getvalue(), headers=headers, content_type="application/zip"
    )
    assert answer.status_code == 422, answer.text
    assert "book.toml" in {fault["pointer"] for fault in answer.get_json()["errors"]}


def test_nobody_else_reads_the_database(served):
    folder = served[-1]
    private = [path for path in Path(folder).iterdir() if path.is_file()]
    assert {path.name for path in private} >= {"estimator.db", "cursors.key"}
    for path in private:
        assert stat.S_IMODE(path.stat().st_mode) & 0o077 == 0, path


@pytest.fixture(scope="module")
def forked():
    """Starts three servers at once in processes that have imported already: importing takes nearly all of a start."""
    command = [sys.executable, "-c", IMPORTS + FORKING]
    told = {**os.environ, "PYTHONPATH": str(ROOT)}
    with subprocess.Popen(command, env=told, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as helper:

        def start(before, environment):
            helper.stdin.write(json.dumps([before + START, environment]) + "\n")
            helper.stdin.flush()
            left, keys = json.loads(helper.stdout.readline())
            assert left == [0, 0, 0]
            return keys

        yield start


@pytest.mark.parametrize("before", ["", SLOWLY], ids=["as they come", "slowly"])
@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_of_servers_that_start_at_once_on_nothing_one_makes_the_first_key(tmp_path, forked, kind, before):
    folder = {"ESTIMATOR_DATA": str(tmp_path / "data")}
    if kind == "postgresql":
        if postgres.programs() is None:
            missing("postgresql")
        require_module("psycopg")
        with postgres.running() as address:
            keys = forked(before, {**folder, "ESTIMATOR_DATABASE_URL": address})
    else:
        keys = forked(before, folder)
    assert sum(key is not None for key in keys) == 1, keys


def test_of_servers_that_start_at_once_from_nothing_imported_one_makes_the_first_key(tmp_path):
    """Processes, since the library that moves tables is made for one thread."""
    told = {**os.environ, "ESTIMATOR_DATA": str(tmp_path / "data"), "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-c", IMPORTS + SLOWLY + START + "print(key or '')"]
    servers = [subprocess.Popen(command, env=told, stdout=subprocess.PIPE, text=True) for _ in range(3)]
    keys = [server.communicate(timeout=120)[0].strip() or None for server in servers]
    assert not any(server.returncode for server in servers)
    assert sum(key is not None for key in keys) == 1, keys
