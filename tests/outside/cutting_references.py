"""Other exact ways to the same optimum, and instances whose optimum is known by how they were made."""

import json
import random
import subprocess
import sys
from collections import Counter
from itertools import pairwise
from pathlib import Path

import highspy
import numpy as np

from estimator.cutting import CuttingProblem, Demand, Saw, Stock


def by_arc_flow(problem):
    """Least cost by the arc-flow program of Valerio de Carvalho, Annals of Operations Research 86 (1999), in HiGHS."""
    kerf = problem.saw.kerf
    sizes = [(d.length + kerf, d.count) for d in problem.demands]
    rooms = [s.length + kerf for s in problem.stocks]
    nodes = arc_flow_nodes(problem)
    lp = highspy.Highs()
    lp.setOptionValue("output_flag", False)
    row = {node: k for k, node in enumerate(nodes)}
    none = (0, np.array([], dtype=np.int32), np.array([], dtype=np.float64))
    for _ in nodes:
        lp.addRow(0.0, 0.0, *none)
    for _, count in sizes:
        lp.addRow(float(count), highspy.kHighsInf, *none)

    def arc(tail, head, cost, item=None):
        rows = [row[tail], row[head]] + ([] if item is None else [len(nodes) + item])
        values = [-1.0, 1.0] + ([] if item is None else [1.0])
        lp.addCol(cost, 0.0, highspy.kHighsInf, len(rows), np.array(rows, dtype=np.int32), np.array(values))

    for node in nodes:
        for item, (size, _) in enumerate(sizes):
            if node + size in row:
                arc(node, node + size, 0.0, item)
    for tail, head in pairwise(nodes):
        arc(tail, head, 0.0)
    for stock, room in zip(problem.stocks, rooms, strict=True):
        lp.addCol(
            float(stock.price),
            0.0,
            highspy.kHighsInf if stock.available is None else float(stock.available),
            2,
            np.array([row[room], row[0]], dtype=np.int32),
            np.array([-1.0, 1.0]),
        )
    count = lp.getNumCol()
    lp.changeColsIntegrality(count, np.arange(count, dtype=np.int32), np.full(count, 1, dtype=np.uint8))
    lp.setOptionValue("mip_rel_gap", 0.0)
    lp.run()
    assert lp.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return round(lp.getInfo().objective_function_value)


def arc_flow_nodes(problem):
    """All places on a bar at which a piece may end, and the bars' own ends."""
    kerf = problem.saw.kerf
    rooms = [s.length + kerf for s in problem.stocks]
    return sorted(_sums([d.length + kerf for d in problem.demands], max(rooms)) | set(rooms))


def _sums(sizes, widest):
    found = {0}
    for size in sizes:
        grown = set(found)
        for start in found:
            grown.update(range(start, widest + 1, size))
        found = grown
    return found


def asked_of_cp_sat(questions):
    """Answers of `cutting_cp_sat.py`, run in a process of its own: its library and HiGHS's cannot share one."""
    script = Path(__file__).with_name("cutting_cp_sat.py")
    done = subprocess.run(
        [sys.executable, str(script)], input=json.dumps(questions), capture_output=True, text=True, check=True
    )
    return json.loads(done.stdout)


def cut_up(seed, bars, most_pieces, lengths, kerf=0):
    """Bars cut up without waste, priced by their room: putting them together again is optimal. Gives problem, cost."""
    rng = random.Random(seed)
    pieces, room = Counter(), 0
    for _ in range(bars):
        left = rng.choice(lengths) + kerf
        room += left
        for _ in range(rng.randint(1, most_pieces - 1)):
            size = rng.randint(900, 20_000)
            if left - size < 900 + kerf:
                break
            pieces[size - kerf] += 1
            left -= size
        pieces[left - kerf] += 1
    stocks = tuple(Stock(f"R{n}", n, n + kerf) for n in lengths)
    return CuttingProblem(stocks, tuple(Demand(*item) for item in sorted(pieces.items())), Saw(kerf)), room


def triplets(seed, bars, room=1000):
    """Three pieces to a bar without waste (after Falkenauer, Journal of Heuristics 2 (1996)): the optimum is `bars`."""
    rng = random.Random(seed)
    pieces = Counter()
    for _ in range(bars):
        first = rng.randint(380, 490)
        second = rng.randint(250, (room - first) // 2)
        pieces.update((first, second, room - first - second))
    return CuttingProblem((Stock("bar", room, 1),), tuple(Demand(*item) for item in sorted(pieces.items())))


def many_lengths(seed, pieces):
    """Nearly every piece of its own length, four bar lengths at uneven prices."""
    rng = random.Random(f"many lengths {seed}")
    bars = [60_000, *(rng.randint(30_000, 60_000) for _ in range(3))]
    stocks = tuple(Stock(f"R{n}", n, int(n * rng.uniform(0.09, 0.11))) for n in bars)
    counts = {}
    for _ in range(pieces):
        length = rng.randint(3_000, 27_000)
        counts[length] = counts.get(length, 0) + 1
    return CuttingProblem(stocks, tuple(Demand(*item) for item in sorted(counts.items())), Saw(30))


def random_problem(seed, kinds, most, limited=False):
    """A small problem over two or three stock lengths."""
    rng = random.Random(seed)
    kerf = rng.choice([0, 30])
    stocks = []
    for n in sorted(rng.sample([30_000, 36_000, 42_000, 52_000, 60_000], rng.randint(2, 3))):
        available = rng.randint(1, 3) if limited and n < 52_000 else None
        stocks.append(Stock(f"R{n}", n, n // 100 + rng.randint(-30, 30), available))
    if all(s.available is not None for s in stocks):
        stocks.append(Stock("R62000", 62_000, 640))
    lengths = rng.sample(range(4000, 30_000, 100), kinds)
    demands = tuple(Demand(n, rng.randint(1, most)) for n in lengths)
    return CuttingProblem(tuple(stocks), demands, Saw(kerf))
