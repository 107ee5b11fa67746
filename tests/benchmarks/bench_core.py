"""Processor time and peak memory of the core for growing jobs, and how the time grows: JSON in to priced lines out.

Run: python -m tests.benchmarks.bench_core [modules ...]   Each size runs in its own process, so that peaks are its own.
"""

from __future__ import annotations

import json
import re
import resource
import subprocess
import sys
import time
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from estimator.contract.faults import parse_json, read_job
from estimator.contract.requests.posted_job.job import JobSchema
from estimator.estimate import estimate
from estimator.job import Choices
from estimator.storage.books import book_in_force, find_editions, read_book
from tests.benchmarks.jobs import job_document

ROOT = Path(__file__).parents[2]
KINDS = ("uniform", "varied", "loads", "open")
SIZES = (250, 2_500, 25_000, 100_000)
ON = date(2026, 11, 25)


def peak_mb() -> float:
    """The most memory this process has had (on Linux without that of the program that started it)."""
    status = Path("/proc/self/status")
    if status.exists():
        return int(re.search(r"VmHWM:\s+(\d+)", status.read_text())[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def measure(modules: int, kind: str) -> dict[str, float]:
    """One size, in this process: seconds of reading and of the core, memory over that of the start, gap in percent."""
    book = read_book(book_in_force(find_editions([ROOT / "pricebooks"]), "hanse-eu", ON).folder)
    text = json.dumps(job_document(modules, kind)).encode()
    at_start, began = peak_mb(), time.process_time()
    job = read_job(parse_json(text), JobSchema())
    read = time.process_time()
    result = estimate(job, book, Choices(), ON)
    done = time.process_time()
    counts, plan = result.counts.counts, result.cut_plan
    return {
        "modules": counts.modules, "attachments": counts.attachments, "errors": len(result.errors),
        "read_s": read - began, "core_s": done - read, "peak_over_start_mb": peak_mb() - at_start,
        "gap_percent": 100 * plan.gap / plan.cost if plan and plan.cost else 0.0,
        "proven": bool(plan and plan.proven_optimal),
    }  # fmt: skip


def main(sizes: Sequence[int] = SIZES) -> None:
    for kind in KINDS:
        first = None
        for size in sizes:
            command = [sys.executable, "-m", "tests.benchmarks.bench_core", "--one", str(size), kind]
            row = json.loads(subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT).stdout)
            first = first or row
            growth = (row["core_s"] / first["core_s"]) / (row["modules"] / first["modules"])
            print(kind, {key: round(value, 3) for key, value in row.items()}, f"growth against linear {growth:.2f}")


if __name__ == "__main__":
    if sys.argv[1:2] == ["--one"]:
        print(json.dumps(measure(int(sys.argv[2]), sys.argv[3])))
    else:
        main([int(each) for each in sys.argv[1:]] or SIZES)
