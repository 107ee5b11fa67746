"""Cut plans side by side: ours, greedy, columns with a whole-number program, arc-flow, constraint programming.

Run: python -m tests.benchmarks.bench_cutting [jobs per class] [folder with the public classes]
"""

import gzip
import json
import random
import statistics
import sys
import time
from math import ceil, gcd
from pathlib import Path

import highspy
import numpy as np

from estimator.cutting import CutRun, CuttingProblem, Demand, Effort, JointRules, Saw, Stock, plan_cuts, solve_cutting
from estimator.cutting.colgen.bounds import open_limits
from estimator.cutting.colgen.master import Master
from estimator.cutting.colgen.pricing import Knapsack
from estimator.cutting.colgen.relaxation import Budget, SearchState, relax
from estimator.cutting.heuristics.greedy import greedy_plan, plan_cost
from estimator.cutting.instance import instance_of
from estimator.places import Place
from tests.outside.cutting_references import asked_of_cp_sat, cut_up, many_lengths, triplets

CLASSES = {
    "small": (3, 12, 20, 60),
    "medium": (10, 40, 60, 250),
    "large": (20, 60, 250, 3000),
    "very large": (100, 140, 10_000, 30_000),
}
SPECIAL = [
    "limited bars",
    "valued off-cuts",
    "many lengths, several bars",
    "no waste, three to a bar",
    "no waste, several bars",
]
SLOW_JOBS = {"small": 20, "medium": 8, "large": 3, "very large": 1, "limited bars": 5, **dict.fromkeys(SPECIAL[2:], 2)}
TIME = 10.0
MOST_ARCS = 120_000
NO_PLAN = 1 << 60
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


def special(seed, name):
    """What realistic jobs seldom are: no waste at all, few bars on hand, off-cuts with a value."""
    rng = random.Random(f"{name} {seed}")
    if name == "no waste, three to a bar":
        return triplets(f"three {seed}", rng.randint(60, 250))
    if name == "no waste, several bars":
        return cut_up(f"several {seed}", rng.randint(20, 60), 4, (42_000, 60_000), 30 * (seed % 2))[0]
    if name == "many lengths, several bars":
        return many_lengths(seed, 100)
    base = job(seed, "medium")
    if name == "valued off-cuts":
        value = int(10_000 * base.stocks[0].price / base.stocks[0].length * rng.uniform(0.1, 0.7))
        return CuttingProblem(base.stocks, base.demands, Saw(base.saw.kerf, 0, 10_000, value))
    wanted = sum(d.length * d.count for d in base.demands)
    few = [Stock(s.part, s.length, s.price, rng.randint(0, 1 + wanted // s.length // 3)) for s in base.stocks[:-1]]
    return CuttingProblem((*few, base.stocks[-1]), base.demands, base.saw)


def ours(problem):
    found = solve_cutting(problem)
    return found.cost, found.lower_bound


def greedy(problem):
    instance = instance_of(problem)
    return plan_cost(instance, greedy_plan(instance, instance.wanted, open_limits(instance).high)), 0


def columns_then_whole(problem):
    """Column generation, then a whole-number program over its columns."""
    instance = instance_of(problem)
    state = SearchState(
        instance, Master(instance, instance.wanted), Knapsack(instance, instance.wanted), Budget(Effort())
    )
    limits = open_limits(instance)
    state.master.add(greedy_plan(instance, instance.wanted, limits.high) or ())
    found = relax(state, instance.wanted, limits, 1 << 60)
    program = opened(TIME)
    none = (0, np.array([], dtype=np.int32), np.array([], dtype=np.float64))
    for count in instance.wanted:
        program.addRow(float(count), highspy.kHighsInf, *none)
    for high in limits.high:
        program.addRow(0.0, highspy.kHighsInf if high is None else float(high), *none)
    for bar, pieces in state.master.columns:
        rows = [*(i for i, _ in pieces), len(instance.wanted) + bar]
        values = [*(float(n) for _, n in pieces), 1.0]
        cost = float(instance.cost((bar, pieces)))
        program.addCol(cost, 0.0, highspy.kHighsInf, len(rows), np.array(rows, dtype=np.int32), np.array(values))
    return solved(program)[0], found.bound


def arc_flow(problem):
    """The arc-flow program of Valerio de Carvalho (1999) in HiGHS, longest pieces first on a bar."""
    arcs = arcs_of(problem)
    if arcs is None:
        return None
    nodes, tails, heads, items = arcs
    sizes, stocks, _ = in_units(problem)
    program = opened(TIME)
    none = (0, np.array([], dtype=np.int32), np.array([], dtype=np.float64))
    rows = np.full(nodes[-1] + 1, -1, dtype=np.int64)
    rows[nodes] = np.arange(len(nodes))
    for _ in nodes:
        program.addRow(0.0, 0.0, *none)
    for _, count in sizes:
        program.addRow(float(count), highspy.kHighsInf, *none)
    for tail, head, item in zip(rows[tails].tolist(), rows[heads].tolist(), items.tolist(), strict=True):
        where = [tail, head] if item < 0 else [tail, head, len(nodes) + item]
        values = np.array([-1.0, 1.0, 1.0])[: len(where)]
        program.addCol(0.0, 0.0, highspy.kHighsInf, len(where), np.array(where, dtype=np.int32), values)
    for room, price, available in stocks:
        most = highspy.kHighsInf if available is None else float(available)
        ends = np.array([rows[room], 0], dtype=np.int32)
        program.addCol(float(price), 0.0, most, 2, ends, np.array([-1.0, 1.0]))
    return solved(program)


def in_units(problem):
    """Sizes (room, count), longest first, and stocks (room, price, available), in their greatest common length."""
    kerf = problem.saw.kerf
    unit = gcd(*(d.length + kerf for d in problem.demands))
    sizes = sorted((((d.length + kerf) // unit, d.count) for d in problem.demands), reverse=True)
    trims = [0 if s.is_offcut else 2 * problem.saw.end_trim for s in problem.stocks]
    stocks = [
        ((s.length - trim + kerf) // unit, s.price, s.available) for s, trim in zip(problem.stocks, trims, strict=True)
    ]
    return sizes, stocks, unit


def arcs_of(problem):
    """(nodes, tails, heads, items) of the arc-flow graph, item -1 for an idle stretch; None if it is too large."""
    sizes, stocks, _ = in_units(problem)
    widest = max(room for room, _, _ in stocks)
    reached = np.zeros(widest + 1, dtype=bool)
    reached[0] = True
    tails, heads, items, many = [], [], [], 0
    for item, (size, count) in enumerate(sizes):
        front = np.flatnonzero(reached)
        arcs = np.zeros(widest + 1, dtype=bool)
        for _ in range(min(count, widest // size)):
            front = front[front + size <= widest]
            arcs[front] = True
            front = front + size
            reached[front] = True
        starts = np.flatnonzero(arcs)
        many += len(starts)
        if many > MOST_ARCS:
            return None
        tails.append(starts)
        heads.append(starts + size)
        items.append(np.full(len(starts), item))
    reached[[room for room, _, _ in stocks]] = True
    nodes = np.flatnonzero(reached)
    tails.append(nodes[:-1])
    heads.append(nodes[1:])
    items.append(np.full(len(nodes) - 1, -1))
    return nodes, np.concatenate(tails), np.concatenate(heads), np.concatenate(items)


def opened(seconds):
    program = highspy.Highs()
    program.setOptionValue("output_flag", False)
    program.setOptionValue("threads", 1)
    program.setOptionValue("time_limit", seconds)
    program.setOptionValue("mip_rel_gap", 0.0)
    return program


def solved(program):
    """Best cost and bound (rounded up) of a program in whole numbers."""
    count = program.getNumCol()
    kinds = np.full(count, 1, dtype=np.uint8)
    program.changeColsIntegrality(count, np.arange(count, dtype=np.int32), kinds)
    program.run()
    info = program.getInfo()
    has_plan = info.primal_solution_status == 2
    cost = round(info.objective_function_value) if has_plan else NO_PLAN
    return cost, ceil(info.mip_dual_bound - 1e-6) if abs(info.mip_dual_bound) < NO_PLAN else 0


def constraint_programming(problem):
    """Arc-flow again, in CP-SAT with a fixed amount of work; the start of its process is in the time."""
    arcs = arcs_of(problem)
    if arcs is None or len(arcs[1]) > MOST_ARCS // 2:
        return None
    sizes, stocks, _ = in_units(problem)
    if any(available is not None for _, _, available in stocks):
        return None
    pairs = [(room, price) for room, price, _ in stocks]
    question = {"sizes": sizes, "stocks": pairs, "nodes": arcs[0].tolist()}
    ((cost, bound),) = asked_of_cp_sat([("arc_flow", question)])
    return cost, ceil(bound - 1e-6)


METHODS = {
    "ours": ours,
    "arc-flow, HiGHS": arc_flow,
    "arc-flow, CP-SAT": constraint_programming,
    "columns, then whole": columns_then_whole,
    "greedy": greedy,
}
VALUED = {"ours", "columns, then whole", "greedy"}


def compare(name, count):
    """One line per method: how often it has the optimum that ours proved, how often it proves its own, and times."""
    problems = [special(seed, name) if name in SPECIAL else job(seed, name) for seed in range(count)]
    best = [solve_cutting(problem) for problem in problems]
    for method, solve in METHODS.items():
        if name == "valued off-cuts" and method not in VALUED:
            continue
        times, optimal, proven = [], 0, 0
        tried = problems if method in VALUED else problems[: SLOW_JOBS.get(name, len(problems))]
        for problem, known in zip(tried, best, strict=False):
            start = time.perf_counter()
            answer = solve(problem)
            if answer is None:
                continue
            times.append(time.perf_counter() - start)
            cost, bound = answer
            optimal += known.proven_optimal and cost == known.cost
            proven += bound >= cost
        tell(f"{name}: {method}", times, optimal, proven, len(tried))


def tell(title, times, optimal, proven, asked):
    if not times:
        print(f"{title:46} {asked:4} jobs  none tried: too large for it", flush=True)
        return
    times = sorted(times)
    p99 = times[-(-99 * len(times) // 100) - 1]
    large = f"  ({asked - len(times)} too large)" if asked > len(times) else ""
    print(
        f"{title:46} {len(times):4} jobs  optimal {optimal:4}  proven {proven:4}  "
        f"median {statistics.median(times):8.4f} s  p99 {p99:7.3f} s  worst {times[-1]:7.3f} s{large}",
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
        tell(path.name.removesuffix(".json.gz"), times, optimal, proven, len(instances))


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
            runs += [CutRun(Place(part=f"shape {shape}, run {i}"), length, stands) for i in range(rng.randint(2, 40))]
        offer = [Stock(f"R{b}", b, int(b * rng.uniform(0.095, 0.105))) for b in rng.sample(BARS[3:], rng.randint(1, 2))]
        start = time.perf_counter()
        plan = plan_cuts(runs, offer, JointRules(100.0, 500.0, 2), Saw(30), rng.choice([200, 500, 1000]))
        times.append(time.perf_counter() - start)
        proven += plan.proven_optimal
        gaps.append(plan.gap / max(1, plan.cost))
        if plan.against_full_bars.possible and plan.cost:
            savings.append(1 - plan.cost / plan.against_full_bars.cost)
    tell("spliced runs", times, proven, proven, count)
    gap, saved = 100 * statistics.mean(gaps), [100 * saving for saving in savings]
    print(f"    mean gap {gap:.2f} %, saved over full bars {statistics.mean(saved):.2f} %, at most {max(saved):.1f} %")


def main(jobs=20, folder=None, classes=tuple(CLASSES)):
    for size in classes:
        compare(size, jobs if size != "very large" else max(2, jobs // 5))
    for kind in SPECIAL if classes == tuple(CLASSES) else ():
        compare(kind, max(2, jobs // 4))
    spliced(jobs)
    if folder:
        public(folder)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20, *sys.argv[2:3])
