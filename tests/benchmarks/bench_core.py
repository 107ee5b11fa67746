"""Time and peak memory of the core for growing jobs: JSON in to priced lines out, and how the time grows.

Run: python tests/benchmarks/bench_core.py [modules ...]   Each size runs in its own process, so that peaks are its own.
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

BOOKS = Path(__file__).parents[2] / "pricebooks"
SIZES = (250, 2_500, 25_000)
ON = date(2026, 11, 25)


def job_document(modules: int, *, loads: dict[str, object] | None = None, given: bool = True) -> dict[str, object]:
    """A job of about so many modules: one plane of square-ish arrays, one skylight in each."""
    columns = 250 if modules > 5_000 else 50
    rows_each, arrays, y = 10, [], 1000.0
    for number in range(max(1, modules // (columns * rows_each))):
        rows = min(rows_each, max(1, modules // columns))
        array = {"name": f"A{number + 1}", "x": 1000, "y": y, "rows": rows, "columns": columns,
                 "orientation": "portrait", "gap_x": 20, "gap_y": 20,
                 "omit": [[rows // 2 + 1, 21], [rows // 2 + 1, 22]]}  # fmt: skip
        arrays.append(array)
        y += rows * 2300 + 1000
    mounting = {"arrangement": "rail_on_side", "material": "aluminium", "rail_direction": "across_ribs"}
    if given:
        mounting |= {"bracket": "HB-A66", "rail": "HB-PA38"}
    return {
        "reference": f"BENCH-{modules}", "title": "Benchmark", "display_units": "metric",
        "customer": {"name": "Nobody"},
        "site": {"loads": loads or {"standard": "given"}},
        "module": {"name": "plain", "length": 2278, "width": 1134, "thickness": 35, "mass": 28.6, "power": 545},
        "roofs": [{
            "name": "South", "eave_length": 2_000 + columns * 1_160, "slope_length": y + 2000, "slope": 6.0,
            "ribs": {"spacing": 250, "first_at": 125, "height": 35, "crown_width": 40, "web_angle": 60},
            "sheet": {"material": "steel", "thickness": 0.63, "ultimate_strength": 360},
            "arrays": arrays,
        }],
        "mounting": mounting,
    }  # fmt: skip


def measure(modules: int, what: str) -> dict[str, float]:
    """One size, in this process: seconds of reading, of the core, and the process's peak memory."""
    from estimator.contract.faults import parse_json, read_job  # noqa: PLC0415
    from estimator.contract.requests.job import JobSchema  # noqa: PLC0415
    from estimator.estimate import estimate  # noqa: PLC0415
    from estimator.job import Wishes  # noqa: PLC0415
    from estimator.storage.books import book_in_force, find_editions, read_book  # noqa: PLC0415

    book = read_book(book_in_force(find_editions([BOOKS]), "hanse-eu", ON).folder)
    loads = None
    if what == "loads":
        loads = {"standard": "en1991", "wind_speed": 22.0, "terrain": "III", "mean_roof_height": 8000,
                 "roof_form": "gable",
                 "ground_snow": 850.0, "building": {"length": 300_000, "width": 600_000}}  # fmt: skip
    text = json.dumps(job_document(modules, loads=loads, given=what != "choose")).encode()
    began = time.perf_counter()
    job = read_job(parse_json(text), JobSchema())
    read = time.perf_counter()
    result = estimate(job, book, Wishes(), ON)
    done = time.perf_counter()
    return {"modules": result.counts.counts.modules, "attachments": result.counts.counts.attachments,
            "read_s": read - began, "core_s": done - read, "errors": len(result.errors),
            "proven": bool(result.cut_plan and result.cut_plan.proven_optimal),
            "peak_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024}  # fmt: skip


def main() -> None:
    if sys.argv[1:2] == ["--one"]:
        print(json.dumps(measure(int(sys.argv[2]), sys.argv[3])))
        return
    sizes = [int(each) for each in sys.argv[1:]] or list(SIZES)
    for what in ("given", "choose", "loads"):
        first = None
        for size in sizes:
            done = subprocess.run(
                [sys.executable, __file__, "--one", str(size), what], capture_output=True, text=True, check=False
            )
            if done.returncode:
                print(what, size, done.stderr[-400:])
                continue
            row = json.loads(done.stdout)
            first = first or row
            growth = (row["core_s"] / first["core_s"]) / (row["modules"] / first["modules"])
            print(what, {key: round(value, 3) for key, value in row.items()}, f"growth against linear {growth:.2f}")


if __name__ == "__main__":
    main()
