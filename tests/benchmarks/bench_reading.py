"""Reading a stored quote beside a bare endpoint that answers with the same bytes, on the same server in one run.

Processor time of the server's process for each request, so that a busy machine blurs it less; beside it the clock's.

Run: python -m tests.benchmarks.bench_reading [modules]
"""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import requests
from flask import Flask, Response

from tests.benchmarks.jobs import job_document

ROOT = Path(__file__).parents[2]
REQUESTS = 1_000
TICKS = os.sysconf("SC_CLK_TCK")


def with_a_bare_endpoint() -> Callable[..., Any]:
    """The service, and beside it an address that answers with a file's bytes and looks nothing up.

    Both stand behind a bridge of their own to the same server.
    """
    from estimator.api.transport import BodyLimits, Bridge  # noqa: PLC0415
    from estimator.app import from_settings  # noqa: PLC0415

    service = from_settings()
    plain = Flask("bare")
    kept = Path(os.environ["BARE_BODY"])
    plain.add_url_rule("/bare", view_func=lambda: Response(kept.read_bytes(), content_type="application/json"))
    bare = Bridge(plain, 64, BodyLimits(5_000_000, 15, 256_000_000))

    async def both(scope, receive, send):
        await (bare if scope.get("path") == "/bare" else service)(scope, receive, send)

    return both


def serve(port: int) -> None:
    from granian import Granian  # noqa: PLC0415
    from granian.constants import Interfaces  # noqa: PLC0415

    Granian("tests.benchmarks.bench_reading:with_a_bare_endpoint", port=port, interface=Interfaces.ASGI, factory=True,
            websockets=False).serve()  # fmt: skip


def spent(parent: int) -> float:
    """Processor seconds of a process and its children."""
    total = 0
    for each in Path("/proc").glob("[0-9]*"):
        try:
            fields = (each / "stat").read_text().rpartition(")")[2].split()
        except OSError:
            continue
        if int(each.name) == parent or int(fields[1]) == parent:
            total += int(fields[11]) + int(fields[12])
    return total / TICKS


def timed(server: int, ask: Callable[[], requests.Response]) -> tuple[float, float]:
    """Milliseconds of processor and of the clock for one request."""
    ask()
    used, began = spent(server), time.perf_counter()
    for _ in range(REQUESTS):
        ask()
    return (spent(server) - used) / REQUESTS * 1000, (time.perf_counter() - began) / REQUESTS * 1000


def main(modules: int = 400) -> None:
    with tempfile.TemporaryDirectory() as folder, socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
        free.close()
        body = Path(folder) / "body.json"
        environment = {**os.environ, "ESTIMATOR_DATA": folder, "ESTIMATOR_LOG_LEVEL": "warning", "BARE_BODY": str(body),
                       "ESTIMATOR_PRICEBOOKS": str(ROOT / "pricebooks"), "PYTHONPATH": str(ROOT),
                       "ESTIMATOR_RATE_BURST": "1000000"}  # fmt: skip
        key = subprocess.run(
            [sys.executable, "-c", "from estimator.cli import main; main(prog_name='estimator')", "keys", "create",
             "--role", "estimator", "--name", "benchmark"],
            env=environment, capture_output=True, text=True, check=True,
        ).stdout.removeprefix("key: ").strip()  # fmt: skip
        command = [sys.executable, "-c", f"from tests.benchmarks.bench_reading import serve; serve({port})"]
        service = subprocess.Popen(command, env=environment, cwd=ROOT)
        try:
            measure(service.pid, f"http://127.0.0.1:{port}", key, body, modules)
        finally:
            service.terminate()
            service.wait(60)


def measure(server: int, base: str, key: str, body: Path, modules: int) -> None:
    session = requests.Session()
    session.headers.update({"Authorization": f"Bearer {key}", "Accept-Encoding": "identity"})
    for _ in range(1_200):
        try:
            if session.get(f"{base}/readyz", timeout=5).status_code == 200:
                break
        except requests.ConnectionError:
            time.sleep(0.1)
    job = session.post(f"{base}/v1/jobs", json=job_document(modules)).json()
    made = session.post(f"{base}/v1/jobs/{job['id']}/quotes", json={"pricebook": "hanse-eu", "priced_on": "2026-11-25"})
    made.raise_for_status()
    address = f"{base}/v1/quotes/{made.json()['id']}"
    answer = session.get(address)
    body.write_bytes(answer.content)
    known = {"If-None-Match": answer.headers["ETag"]}
    bare = timed(server, lambda: session.get(f"{base}/bare"))
    print(f"{len(answer.content)} bytes; bare endpoint {bare[0]:.3f} ms of processor, {bare[1]:.3f} ms by the clock")
    for name, ask in (
        ("stored quote", lambda: session.get(address)),
        ("304", lambda: session.get(address, headers=known)),
        ("stored quote, gzip", lambda: session.get(address, headers={"Accept-Encoding": "gzip"})),
        ("bare endpoint again", lambda: session.get(f"{base}/bare")),
    ):
        took = timed(server, ask)
        print(f"{name}: {took[0]:.3f} ms ({bare[0] / took[0]:.2f} of the bare endpoint), {took[1]:.3f} ms by the clock")


if __name__ == "__main__":
    main(*(int(each) for each in sys.argv[1:]))
