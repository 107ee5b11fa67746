"""Cut plans side by side: ours, greedy, columns with a whole-number program, arc-flow, constraint programming.

Run: python -m tests.benchmarks.bench_cutting [jobs per class] [folder with the public classes]
"""

import gzip
import json
import random
import statistics
import sys
import time
from pathlib import Path

import highspy
import numpy as np

from estimator.cutting import CutRun, CuttingProblem, Demand, Effort, JointRules, Saw, Stock, plan_cuts, solve_cutting
from estimator.cutting.bounds import open_limits
from estimator.cutting.greedy import greedy_plan, plan_cost
from estimator.cutting.knapsack import Knapsack
from estimator.cutting.master import Master
from estimator.cutting.relaxation import Budget, Workbench, relax
from estimator.cutting.shop import open_shop
from tests.outside.cutting_references import arc_flow_nodes, asked_of_cp_sat, by_arc_flow

CLASSES = {
    "small": (3, 12, 20, 60),
    "medium": (10, 40, 60, 250),
    "large": (20, 60, 250, 3000),
    "very large": (100, 140, 10_000, 30_000),
}
BARS = [24_000, 30_480, 36_000, 42_670, 43_200, 46_000, 51_000, 52_000, 55_000, 60_000, 62_000]


def job(seed, name):
    """A rail job: module rows of a few lengths, or any lengths; one to four bar lengths at uneven prices."""
    rng = random.Random(f"{name} {seed}")
    fewest, most, least, top = CLASSES[name]
    bars = rng.sample(BARS, rng.randint(1, 4))
    rate = rng.uniform(0.02, 0.08)
    stocks = tuple(Stock(f"R{b}", b, int(b * rate * rng.uniform(0.93, 1.07))) for b in sorted(bars))
    lengths = set()
    rows = rng.random() < 0.5 and name != "very large"
    for _ in range(rng.randint(fewest, most)):
        modules = rng.randint(1, max(1, (max(bars) - 1400) // 11_540))
        row = modules * 11_340 + (modules - 1) * 200 + 1000
        lengths.add(row if rows and row <= max(bars) else rng.randint(300, max(bars) // 10) * 10)
    counts = dict.fromkeys(sorted(lengths), 1)
    for _ in range(rng.randint(least, top)):
        counts[rng.choice(sorted(counts)) if name == "small" else rng.choice(list(counts))] += 1
    return CuttingProblem(stocks, tuple(Demand(*item) for item in counts.items()), Saw(rng.choice([0, 20, 30, 40])))


def ours(problem):
    found = solve_cutting(problem)
    return found.cost, found.lower_bound


def greedy(problem):
    shop = open_shop(problem)
    return plan_cost(shop, greedy_plan(shop, shop.wanted, open_limits(shop).high)), 0


def columns_then_whole(problem):
    """Column generation, then a whole-number program over its columns."""
    shop = open_shop(problem)
    bench = Workbench(shop, Master(shop, shop.wanted), Knapsack(shop, shop.wanted), Budget(Effort()))
    limits = open_limits(shop)
    bench.master.add(greedy_plan(shop, shop.wanted, limits.high))
    found = relax(bench, shop.wanted, limits, 1 << 60)
    columns = bench.master.columns
    lp = highspy.Highs()
    lp.setOptionValue("output_flag", False)
    lp.setOptionValue("time_limit", 10.0)
    none = (0, np.array([], dtype=np.int32), np.array([], dtype=np.float64))
    for count in shop.wanted:
        lp.addRow(float(count), highspy.kHighsInf, *none)
    for column in columns:
        rows, values = zip(*column[1], strict=True)
        lp.addCol(
            float(shop.cost(column)),
            0.0,
            highspy.kHighsInf,
            len(rows),
            np.array(rows, dtype=np.int32),
            np.array(values, dtype=float),
        )
    lp.changeColsIntegrality(
        len(columns), np.arange(len(columns), dtype=np.int32), np.full(len(columns), 1, dtype=np.uint8)
    )
    lp.run()
    return round(lp.getInfo().objective_function_value), found.bound


def arc_flow(problem):
    cost = by_arc_flow(problem)
    return cost, cost


def constraint_programming(problem):
    """Arc-flow again, in CP-SAT with a fixed amount of work; the start of its process is in the time."""
    kerf = problem.saw.kerf
    question = {
        "sizes": [(d.length + kerf, d.count) for d in problem.demands],
        "stocks": [(s.length + kerf, s.price) for s in problem.stocks],
        "nodes": arc_flow_nodes(problem),
    }
    ((cost, bound),) = asked_of_cp_sat([("arc_flow", question)])
    return cost, int(bound + 1 - 1e-6)


METHODS = {
    "ours": (ours, "small medium large very large"),
    "greedy": (greedy, "small medium large very large"),
    "columns, then whole": (columns_then_whole, "small medium large very large"),
    "arc-flow, HiGHS": (arc_flow, "small"),
    "arc-flow, CP-SAT": (constraint_programming, "small"),
}


def compare(name, count):
    problems = [job(seed, name) for seed in range(count)]
    best = [solve_cutting(problem) for problem in problems]
    for method, (solve, classes) in METHODS.items():
        if name not in classes:
            continue
        times, optimal, proven = [], 0, 0
        for problem, known in zip(problems, best, strict=True):
            start = time.perf_counter()
            cost, bound = solve(problem)
            times.append(time.perf_counter() - start)
            optimal += known.proven_optimal and cost == known.cost
            proven += bound >= cost
        tell(f"{name}: {method}", times, optimal, proven)


def tell(title, times, optimal, proven):
    times = sorted(times)
    p99 = times[-(-99 * len(times) // 100) - 1]
    print(
        f"{title:34} {len(times):4} jobs  optimal {optimal:4}  proven {proven:4}  "
        f"median {statistics.median(times):8.4f} s  p99 {p99:7.3f} s  worst {times[-1]:7.3f} s",
        flush=True,
    )


def public(folder):
    for path in sorted(Path(folder).glob("*.json.gz")):
        with gzip.open(path) as lines:
            instances = json.load(lines)
        times, optimal, proven = [], 0, 0
        for one in instances:
            demands = tuple(Demand(w, d) for w, d in zip(one["w"], one["d"], strict=True))
            start = time.perf_counter()
            found = solve_cutting(CuttingProblem((Stock("bar", one["cap"], 1),), demands))
            times.append(time.perf_counter() - start)
            optimal += found.cost == one["ub"]
            proven += found.proven_optimal
        tell(path.name.removesuffix(".json.gz"), times, optimal, proven)


def spliced(count):
    """Long runs: time, how many are proven, mean gap, and what is saved over full bars and a remainder."""
    times, gaps, savings, proven = [], [], [], 0
    for seed in range(count):
        rng = random.Random(f"spliced {seed}")
        runs = []
        for shape in range(rng.randint(1, 4)):
            modules, first = rng.randint(6, 22), rng.uniform(150, 450)
            length, step = modules * 1154.0 + 80.0, rng.choice([1000.0, 1200.0, 1332.0])
            stands = tuple(round(first + step * k, 1) for k in range(int((length - first - 50) // step) + 1))
            runs += [CutRun(f"shape {shape}, run {i}", length, stands) for i in range(rng.randint(2, 40))]
        offer = [Stock(f"R{b}", b, int(b * rng.uniform(0.095, 0.105))) for b in rng.sample(BARS[3:], rng.randint(1, 2))]
        start = time.perf_counter()
        plan = plan_cuts(runs, offer, JointRules(100.0, 500.0, 2), Saw(30), rng.choice([200, 500, 1000]))
        times.append(time.perf_counter() - start)
        proven += plan.proven_optimal
        gaps.append(plan.gap / max(1, plan.cost))
        if plan.against_full_bars.possible and plan.cost:
            savings.append(1 - plan.cost / plan.against_full_bars.cost)
    tell("spliced runs", times, proven, proven)
    gap, saved = 100 * statistics.mean(gaps), [100 * saving for saving in savings]
    print(f"    mean gap {gap:.2f} %, saved over full bars {statistics.mean(saved):.2f} %, at most {max(saved):.1f} %")


if __name__ == "__main__":
    jobs = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    for size in CLASSES:
        compare(size, jobs if size != "very large" else max(2, jobs // 5))
    spliced(jobs)
    if len(sys.argv) > 2:
        public(sys.argv[2])
