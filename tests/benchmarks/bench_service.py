"""A running service beside a bare endpoint on the same server, under 200 clients, and its memory after many requests.

The bare endpoint is a view of Flask's without anything around it, behind the same bridge and server; it gives the bytes
of the stored quote. Processor time is that of the server's process (``/proc``), so that other work on the machine does
not count; times of clients are by the clock.

Run: python -m tests.benchmarks.bench_service [modules [clients [seconds [requests]]]]
"""

from __future__ import annotations

import http.client
import json
import os
import random
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from flask import Flask, Response, request

from estimator import app as service
from estimator.api.transport import Bridge
from estimator.service.context import ServiceContext
from estimator.settings import Settings
from tests.benchmarks.bench_requests import COMMAND, ROOT
from tests.benchmarks.jobs import job_document

SERVER = [sys.executable, "-m", "granian", "--interface", "asgi", "--factory", "--host", "127.0.0.1", "--no-ws"]
TARGET = "tests.benchmarks.bench_service:with_bare"
MANY = {"ESTIMATOR_RATE_BURST": "1000000", "ESTIMATOR_RATE_PER_SECOND": "1000000"}


def with_bare() -> Bridge:
    """What the server calls: the service, and beside it a view that gives back what was last put there."""
    bare, kept = Flask("bare"), {"body": b""}

    @bare.get("/bare")
    def give() -> Response:
        return Response(kept["body"], content_type="application/json")

    @bare.put("/bare")
    def take() -> Response:
        kept["body"] = request.get_data()
        return Response(status=204)

    make = service.create_app

    def made(settings: Settings, context: ServiceContext) -> Flask:
        app = make(settings, context)
        own = app.wsgi_app

        def either(environ: dict[str, Any], start: Any) -> Any:
            return (bare if environ["PATH_INFO"] == "/bare" else own)(environ, start)

        app.wsgi_app = either  # type: ignore[method-assign]
        return app

    service.create_app = made
    return service.from_settings()


@dataclass
class Served:
    """The address of a running service, a key of it, and its processes."""

    port: int
    key: str
    pid: int
    local: dict[int, http.client.HTTPConnection] = field(default_factory=dict)

    def call(
        self, method: str, path: str, body: bytes | None = None, connection: http.client.HTTPConnection | None = None,
        **headers: str,
    ) -> tuple[int, bytes, Mapping[str, str]]:  # fmt: skip
        """One request on a connection that is kept."""
        connection = connection or self.local.setdefault(0, http.client.HTTPConnection("127.0.0.1", self.port))
        told = {"Authorization": f"Bearer {self.key}", "Content-Type": "application/json", **headers}
        connection.request(method, path, body, told)
        answer = connection.getresponse()
        return answer.status, answer.read(), answer.headers

    def post(self, path: str, document: object) -> Any:
        """What a POST made."""
        status, body, headers = self.call("POST", path, json.dumps(document).encode())
        assert status < 300, (status, body[:400])
        if status == 202:
            return self.finished(headers["Location"])
        return json.loads(body)

    def finished(self, operation: str) -> Any:
        """What an operation made."""
        while True:
            told = json.loads(self.call("GET", operation)[1])
            if told["state"] == "succeeded":
                return json.loads(self.call("GET", told["links"]["result"])[1])
            assert told["state"] in {"queued", "running"}, told
            time.sleep(0.2)

    def processes(self) -> dict[int, str]:
        """The server's processes by id, with what they are."""
        found = {self.pid: "server"}
        for place in sorted(Path("/proc").glob("[0-9]*/stat"), key=lambda each: int(each.parent.name)):
            try:
                parent = int(place.read_text().rpartition(")")[2].split()[1])
                words = (place.parent / "cmdline").read_bytes().decode().split("\0")
            except (OSError, ValueError):
                continue
            if parent in found:
                found[int(place.parent.name)] = "calculator" if "estimator.tasks.calculator" in words else "web"
        return found

    def cpu_seconds(self) -> float:
        """Processor time of the process that answers."""
        web = next(pid for pid, what in self.processes().items() if what == "web")
        user, system = Path(f"/proc/{web}/stat").read_text().rpartition(")")[2].split()[11:13]
        return (int(user) + int(system)) / os.sysconf("SC_CLK_TCK")

    def megabytes(self) -> dict[str, float]:
        """Resident memory of each process, MB."""
        found = {}
        for pid, what in self.processes().items():
            lines = Path(f"/proc/{pid}/status").read_text().splitlines()
            size = next(line for line in lines if line.startswith("VmRSS"))
            found[f"{what} {pid}"] = int(size.split()[1]) / 1_000
        return found


@contextmanager
def serving(folder: Path) -> Iterator[Served]:
    """A service on a new database behind its own server, with the bare endpoint."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    environment = {**os.environ, **MANY, "ESTIMATOR_DATA": str(folder),
                   "ESTIMATOR_PRICEBOOKS": str(ROOT / "pricebooks"),
                   "ESTIMATOR_LOG_LEVEL": "warning", "PYTHONPATH": str(ROOT)}  # fmt: skip
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    server = subprocess.Popen([*SERVER, "--port", str(port), TARGET], env=environment, cwd=ROOT, **quiet)
    try:
        _wait_for(port)
        made = subprocess.run(
            [*COMMAND, "keys", "create", "--role", "estimator", "--name", "benchmark"],
            env=environment, capture_output=True, text=True, check=True,
        )  # fmt: skip
        yield Served(port, made.stdout.removeprefix("key: ").strip(), server.pid)
    finally:
        server.terminate()
        server.wait(60)


def _wait_for(port: int) -> None:
    until = time.monotonic() + 600
    while time.monotonic() < until:
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=300)
        try:
            connection.request("GET", "/readyz")
            if connection.getresponse().status == 200:
                return
        except OSError:
            time.sleep(0.2)
    raise RuntimeError("the service does not start")


def beside_bare(served: Served, quote: str, times: int) -> None:
    """Processor time of a stored quote and of 304 beside the bare endpoint, in turns."""
    _, body, headers = served.call("GET", quote)
    served.call("PUT", "/bare", body)
    asks = {"bare": ("/bare", {}), "quote": (quote, {}), "304": (quote, {"If-None-Match": headers["ETag"]})}
    spent = dict.fromkeys(asks, 0.0)
    clock = dict.fromkeys(asks, 0.0)
    for _ in range(5):
        for name, (path, more) in asks.items():
            before, began = served.cpu_seconds(), time.perf_counter()
            for _ in range(times // 5):
                status = served.call("GET", path, **more)[0]
                assert status == (304 if name == "304" else 200), status
            spent[name] += served.cpu_seconds() - before
            clock[name] += time.perf_counter() - began
    for name, seconds in spent.items():
        print(f"{name:6s} {1e3 * seconds / times:.3f} ms of processor time, {1e3 * clock[name] / times:.3f} ms by the "
              f"clock; bare takes {spent['bare'] / seconds:.2f} of it; body {len(body) // 1000} kB")  # fmt: skip


def many_clients(served: Served, quotes: list[str], clients: int, seconds: float) -> None:
    """So many clients, each with a request a second on average: nine reads to one write."""
    reads: list[float] = []
    writes: list[float] = []
    wrong: list[str] = []
    until = time.perf_counter() + seconds

    def client(number: int) -> None:
        chance, connection = random.Random(number), http.client.HTTPConnection("127.0.0.1", served.port, timeout=60)
        at = 0
        while time.perf_counter() < until:
            time.sleep(chance.uniform(0, 2))
            at += 1
            began = time.perf_counter()
            try:
                if chance.random() < 0.1:
                    job = {**job_document(24), "reference": f"{number} {at}"}
                    status = served.call("POST", "/v1/jobs", json.dumps(job).encode(), connection)[0]
                    writes.append(time.perf_counter() - began)
                else:
                    path = chance.choice((*quotes, "/v1/quotes?limit=20", "/v1/jobs?limit=20"))
                    status = served.call("GET", path, connection=connection)[0]
                    reads.append(time.perf_counter() - began)
                if status >= 400:
                    wrong.append(str(status))
            except OSError as fault:
                wrong.append(type(fault).__name__)
                connection.close()

    with ThreadPoolExecutor(clients) as threads:
        list(threads.map(client, range(clients)))
    for name, times in (("reads", sorted(reads)), ("writes", sorted(writes))):
        half, most = times[len(times) // 2], times[int(len(times) * 0.99)]
        told = f"p50 {1e3 * half:.1f} ms, p99 {1e3 * most:.1f} ms"
        print(f"{clients} clients, {seconds:.0f} s: {len(times)} {name}, {told}")
    print(f"errors: {len(wrong)} {sorted(set(wrong))}")


def memory_after(served: Served, job: str, quotes: list[str], requests: int) -> None:
    """What an hour of requests leaves behind: reads, posted jobs, now and then a quote and its papers."""
    served.local.clear()  # the server has closed what was idle while others called
    before, first = served.megabytes(), 0
    for at in range(requests):
        if at % 500 == 250:
            made = served.post(f"{job}/quotes", {"pricebook": "hanse-eu"})
            served.call("GET", f"/v1/quotes/{made['id']}/quote.pdf")
        elif at % 20 == 10:
            served.post("/v1/jobs", {**job_document(24), "reference": f"hour {at}"})
        else:
            served.call("GET", quotes[at % len(quotes)])
        if at == requests // 4:
            first = sum(served.megabytes().values())
    after = served.megabytes()
    for name in after:
        print(f"memory {name}: {before.get(name, 0):.0f} MB, after {requests} requests {after[name]:.0f} MB")
    sums = sum(before.values()), first, sum(after.values())
    print("memory of all: {:.0f} MB, after a quarter {:.0f}, at the end {:.0f}".format(*sums))


def main(modules: int = 417, clients: int = 200, seconds: float = 60, requests: int = 20_000) -> None:
    """All of it, on one service."""
    with tempfile.TemporaryDirectory() as folder, serving(Path(folder)) as served:
        quotes = []
        for at in range(3):
            job = served.post("/v1/jobs", {**job_document(modules), "reference": f"Q-{at}"})
            made = served.post(f"{job['links']['self']}/quotes", {"pricebook": "hanse-eu"})
            quotes.append(f"/v1/quotes/{made['id']}")
        beside_bare(served, quotes[0], max(10, requests // 4))
        many_clients(served, quotes, clients, seconds)
        memory_after(served, job["links"]["self"], quotes, requests)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
