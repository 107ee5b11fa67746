"""Requests to a running service: posting estimates and quotes of growing jobs, reading them, their documents.

Seconds by the clock over HTTP, and the processor time of the service as its answer tells it (Server-Timing); beside
each, how many times that of an answer that does next to nothing. The service is a process with one client.

Run: python -m tests.benchmarks.bench_requests [modules ...]
"""

from __future__ import annotations

import os
import re
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


def timed(ask: Callable[[], requests.Response], times: int = 1) -> tuple[tuple[float, float], requests.Response]:
    """The quickest of some requests, which all succeed, by the clock and by processor time, and the last answer."""
    clock, processor = [], []
    for _ in range(times):
        began = time.perf_counter()
        answer = ask()
        clock.append(time.perf_counter() - began)
        answer.raise_for_status()
        processor.append(float(re.search(r"cpu;dur=([0-9.]+)", answer.headers["Server-Timing"])[1]) / 1000)
    return (min(clock), min(processor)), answer


def main(sizes: Sequence[int] = SIZES, documents: Sequence[str] = DOCUMENTS) -> None:
    with tempfile.TemporaryDirectory() as folder, serving(Path(folder)) as (base, session):
        (_, least), _ = timed(lambda: session.get(f"{base}/v1/quotes", params={"limit": 1}), 5)
        least = max(least, 1e-4)
        print(f"an empty list: {least:.4f} s of processor time")
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
                parts = re.findall(r"(parse|estimate|store|answer);dur=([0-9.]+)", answer.headers["Server-Timing"])
                print(f"{modules:6d} modules {kind:8s} POST quote by the clock: "
                      + ", ".join(f"{name} {float(took):.1f} ms" for name, took in parts))  # fmt: skip
                quote = f"{base}/v1/quotes/{answer.json()['id']}"
                for name in ("", *(f"/{each}" for each in documents)):
                    seconds, answer = timed(lambda at=quote + name: session.get(at), 2)
                    rows.append((f"GET quote{name}", seconds, len(answer.content)))
                for what, (clock, processor), size in rows:
                    print(
                        f"{modules:6d} modules {kind:8s} {what:26s} {clock:8.3f} s {processor:8.3f} s of processor time"
                        f" {size // 1000:6d} kB {processor / least:8.1f} times an empty list"
                    )


if __name__ == "__main__":
    main([int(each) for each in sys.argv[1:]] or SIZES)
