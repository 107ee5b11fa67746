"""The quick search for spliced runs beside the thorough one: what its plans cost more, its gap, processor time.

Run: python -m tests.benchmarks.bench_quick [jobs of each class] [work of the thorough search]
Jobs are generated (fixed seeds): uniform rows, mixed ones (some in one piece), spliced ones of all lengths, and small
jobs of one to five rows.
"""

from __future__ import annotations

import random
import statistics
import sys
import time

from estimator.cutting import CutPlan, CutRun, Effort, JointRules, Saw, Stock, plan_cuts
from estimator.estimate import PROMPT, THOROUGH
from estimator.places import Place

CLASSES = ("uniform", "mixed", "spliced", "small")
MODULES = {"mixed": (1, 16), "spliced": (6, 50), "small": (3, 34)}
BARS = ((60_030, 464_685), (40_030, 335_120), (61_530, 478_000), (48_500, 372_000), (42_670, 345_000))
Job = tuple[list[CutRun], list[Stock], JointRules, Saw, int]


def job_of(number: int, kind: str) -> Job:
    """One to three bar lengths; 8 to 60 rows (small: 1 to 5) of two rails each, on ribs anywhere under them."""
    rng = random.Random(f"{kind} {number}")
    offer = [Stock(f"R{at}", *bar) for at, bar in enumerate(rng.sample(BARS, rng.choice([1, 2, 2, 3])))]
    span = rng.choice([600.0, 1000.0, 1200.0, 1250.0, 1500.0])
    modules = [rng.randint(3, 50) for _ in range(rng.randint(1, 4))]
    runs: list[CutRun] = []
    for row in range(rng.randint(1, 5) if kind == "small" else rng.randint(8, 60)):
        count = rng.choice(modules) if kind == "uniform" else rng.randint(*MODULES[kind])
        length = count * 1134 + (count - 1) * 20 + 120.0
        first = 150.0 if kind == "uniform" else rng.randint(100, 400)
        stands = tuple(first + span * n for n in range(int((length - 60 - first) // span) + 1))
        runs += [CutRun(Place(array=f"row {row}", piece=rail), length, stands) for rail in (1, 2)]
    rules = JointRules(rng.choice([50.0, 100.0, 200.0]), rng.choice([300.0, 600.0]), rng.choice([1, 1, 2]))
    reusable = rng.random() < 0.3
    saw = Saw(rng.choice([30, 40]), 0, 15_000 if reusable else None, 25_000 if reusable else 0)
    return runs, offer, rules, saw, rng.choice([9_000, 18_000])


def timed(job: Job, effort: Effort) -> tuple[CutPlan, float]:
    """A plan and the processor time it took."""
    began = time.process_time()
    plan = plan_cuts(*job, effort)
    return plan, time.process_time() - began


def compared(number: int, kind: str, work: int) -> dict[str, float]:
    """Costs, gaps (percent) and seconds of one job both ways."""
    job = job_of(number, kind)
    quick, seconds = timed(job, PROMPT)
    full, longer = timed(job, Effort(work))
    least = max(quick.lower_bound, full.lower_bound)
    return {
        "excess": 100 * (quick.cost / min(full.cost, quick.cost) - 1), "better": 100 * (full.cost / quick.cost - 1),
        "gap": 100 * quick.gap / quick.cost, "true gap": 100 * (1 - least / quick.cost),
        "seconds": seconds, "longer": longer,
    }  # fmt: skip


def main(jobs: int = 20, work: int = THOROUGH.work_limit) -> None:
    """Prints mean and worst of each class and of all."""
    rows: list[dict[str, float]] = []
    for kind in CLASSES:
        own = [compared(number, kind, work) for number in range(jobs)]
        rows += own
        _tell(kind, own)
    _tell("all", rows)


def _tell(name: str, rows: list[dict[str, float]]) -> None:
    of = {key: [row[key] for row in rows] for key in rows[0]}
    print(
        f"{name}: excess over the thorough search mean {statistics.mean(of['excess']):.3f} % worst"
        f" {max(of['excess']):.3f} %, cheaper by mean {statistics.mean(map(abs, of['better'])):.3f} %,"
        f" gap mean {statistics.mean(of['gap']):.3f} % worst {max(of['gap']):.3f} %,"
        f" {statistics.mean(of['seconds']):.2f} s to {statistics.mean(of['longer']):.2f} s",
        flush=True,
    )


if __name__ == "__main__":
    main(*(int(each) for each in sys.argv[1:]))
