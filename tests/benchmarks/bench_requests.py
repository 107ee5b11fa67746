"""Requests to a running service: posting estimates and quotes of growing jobs, reading them, their documents.

Seconds by the clock over HTTP; beside each, how many times an answer that does next to nothing takes. The service is a
process of its own with one client.

Run: python -m tests.benchmarks.bench_requests [modules ...]
"""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import requests

from tests.benchmarks.jobs import job_document

ROOT = Path(__file__).parents[2]
SIZES = (24, 118, 417, 2_000)
DOCUMENTS = ("quote.pdf", "workbook.xlsx", "plan.svg", "setting-out.pdf")
COMMAND = [sys.executable, "-c", "from estimator.cli import main; main(prog_name='estimator')"]


@contextmanager
def serving(folder: Path) -> Iterator[tuple[str, requests.Session]]:
    """The address of a service on a new database, and a session with an estimator's key."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    environment = {**os.environ, "ESTIMATOR_DATA": str(folder), "ESTIMATOR_PRICEBOOKS": str(ROOT / "pricebooks"),
                   "ESTIMATOR_LOG_LEVEL": "warning", "PYTHONPATH": str(ROOT)}  # fmt: skip
    service = subprocess.Popen(
        [*COMMAND, "serve", "--port", str(port)], env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    try:
        base = f"http://127.0.0.1:{port}"
        wait_for(base + "/readyz")
        made = subprocess.run(
            [*COMMAND, "keys", "create", "--role", "estimator", "--name", "benchmark"],
            env=environment, capture_output=True, text=True, check=True,
        )  # fmt: skip
        session = requests.Session()
        session.headers["Authorization"] = f"Bearer {made.stdout.removeprefix('key: ').strip()}"
        yield base, session
    finally:
        service.terminate()
        service.wait(60)


def wait_for(address: str) -> None:
    for _ in range(1200):
        try:
            if requests.get(address, timeout=5).status_code == 200:
                return
        except requests.ConnectionError:
            time.sleep(0.1)
    raise RuntimeError("the service does not start")


def timed(ask: Callable[[], requests.Response], times: int = 1) -> tuple[float, requests.Response]:
    """The quickest of some requests, which all succeed, and the last answer."""
    best = 1e9
    for _ in range(times):
        began = time.perf_counter()
        answer = ask()
        best = min(best, time.perf_counter() - began)
        answer.raise_for_status()
    return best, answer


def main(sizes: Sequence[int] = SIZES, documents: Sequence[str] = DOCUMENTS) -> None:
    with tempfile.TemporaryDirectory() as folder, serving(Path(folder)) as (base, session):
        least, _ = timed(lambda: session.get(f"{base}/v1/quotes", params={"limit": 1}), 5)
        print(f"an empty list: {least:.4f} s")
        for modules in sizes:
            for kind in ("uniform", "varied"):
                job = job_document(modules, kind)
                chosen = {"pricebook": "hanse-eu"}
                body = {"job": job | {"reference": f"{kind} {modules}"}, **chosen}
                seconds, answer = timed(lambda body=body: session.post(f"{base}/v1/estimates", json=body))
                rows = [("POST estimate", seconds, len(answer.content))]
                seconds, answer = timed(lambda body=body: session.post(f"{base}/v1/jobs", json=body["job"]))
                rows.append(("POST job", seconds, len(answer.content)))
                quotes = f"{base}/v1/jobs/{answer.json()['id']}/quotes"
                seconds, answer = timed(lambda at=quotes, chosen=chosen: session.post(at, json=chosen))
                rows.append(("POST quote", seconds, len(answer.content)))
                quote = f"{base}/v1/quotes/{answer.json()['id']}"
                for name in ("", *(f"/{each}" for each in documents)):
                    seconds, answer = timed(lambda at=quote + name: session.get(at), 2)
                    rows.append((f"GET quote{name}", seconds, len(answer.content)))
                for what, seconds, size in rows:
                    print(
                        f"{modules:6d} modules {kind:8s} {what:26s} {seconds:8.3f} s {size // 1000:6d} kB "
                        f"{seconds / least:8.1f} times an empty list"
                    )


if __name__ == "__main__":
    main([int(each) for each in sys.argv[1:]] or SIZES)
