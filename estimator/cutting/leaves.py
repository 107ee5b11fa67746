"""The end of a branch: all patterns that can still matter are listed, and a tree over them decides.

Every node's bound is recomputed in whole numbers from rounded prices over the listed patterns, so an exhausted tree
is a proof and not a matter of tolerances.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import highspy
import numpy as np
from numpy.typing import NDArray

from estimator.cutting.bounds import Limits, round_up
from estimator.cutting.listing import patterns_within
from estimator.cutting.master import COST_SIZE, INFINITE, quiet_highs
from estimator.cutting.relaxation import Relaxed, Workbench
from estimator.cutting.shop import Column

MOST_PATTERNS = 12_000
MOST_NODES = 400
CELLS_PER_WORK = 60_000

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Leaf:
    """The listed patterns as a whole-number program: rows are bars (between limits), then sizes (at least)."""

    columns: tuple[Column, ...]
    costs: Ints
    matrix: Ints
    low: Ints
    high: Ints
    scale: float
    unit: int


def settle(bench: Workbench, wanted: Sequence[int], limits: Limits, proofs: Sequence[Relaxed]) -> bool:
    """Decides whether a plan within `limits` is cheaper than the bench's best one, offering what it finds.

    `proofs` are relaxations whose prices may be used; the one that leaves the fewest patterns is.
    Returns True if the question is settled: no plan within the limits is cheaper than the bench's best (any more).
    """
    usable = [proof for proof in proofs if proof.prices]
    if not usable:
        return False
    rooms = [_room(bench, wanted, limits, proof) for proof in usable]
    best = min(range(len(usable)), key=lambda k: (rooms[k], k))
    if rooms[best] < 0:
        return True
    columns = _listed(bench, wanted, limits, usable[best], rooms[best])
    if columns is None:
        return False
    if not columns:
        return True
    leaf = _leaf(bench, wanted, limits, columns)
    return _tree(bench, leaf)


def _room(bench: Workbench, wanted: Sequence[int], limits: Limits, proof: Relaxed) -> int:
    """How much the reduced prices of a plan's patterns may add up to (beyond what the proof counts already)."""
    base = sum(n * p for n, p in zip(wanted, proof.prices, strict=True))
    pieces = sum(wanted)
    for bar, worth, low, high in zip(bench.shop.bars, proof.worth, limits.low, limits.high, strict=True):
        reduced = bar.price * bench.unit - worth
        base += reduced * (low if reduced > 0 else (pieces if high is None else high))
    return _dearest_wanted(bench, limits) * bench.unit - base


def _listed(
    bench: Workbench, wanted: Sequence[int], limits: Limits, proof: Relaxed, room: int
) -> tuple[Column, ...] | None:
    """Patterns whose reduced price is within the room, under the prices that proved the bound."""
    shop, unit = bench.shop, bench.unit
    need: list[int | None] = []
    for bar, worth, low, high in zip(shop.bars, proof.worth, limits.low, limits.high, strict=True):
        counted = worth > bar.price * unit or low > 0  # the base already holds one bar of this kind at its least
        need.append(None if high == 0 else (worth if counted else bar.price * unit) - room)
    return patterns_within(shop, wanted, proof.prices, need, MOST_PATTERNS)


def _dearest_wanted(bench: Workbench, limits: Limits) -> int:
    """The highest cost worth looking for: below the best plan, and what the bars cost where their number is fixed."""
    most = bench.best_cost - bench.step
    if bench.shop.values or limits.low != limits.high:
        return most
    return min(most, sum(bar.price * n for bar, n in zip(bench.shop.bars, limits.low, strict=True)))


def _leaf(bench: Workbench, wanted: Sequence[int], limits: Limits, columns: tuple[Column, ...]) -> Leaf:
    shop = bench.shop
    bars = len(shop.bars)
    matrix = np.zeros((bars + len(wanted), len(columns)), dtype=np.int64)
    for k, (bar, pieces) in enumerate(columns):
        matrix[bar, k] = 1
        for i, n in pieces:
            matrix[bars + i, k] = n
    most = sum(wanted)
    low = np.array([*limits.low, *wanted], dtype=np.int64)
    high = np.array([most if h is None else h for h in limits.high] + [1 << 40] * len(wanted), dtype=np.int64)
    costs = np.array([shop.cost(column) for column in columns], dtype=np.int64)
    unit = max(16, (1 << 48) // max(1, int(costs.max())))
    return Leaf(columns, costs, matrix, low, high, COST_SIZE / max(1, int(costs.max())), unit)


def _program(leaf: Leaf) -> highspy.Highs:
    lp = quiet_highs()
    rows, cols = leaf.matrix.shape
    none_i, none_v = np.array([], dtype=np.int32), np.array([], dtype=np.float64)
    for low, high in zip(leaf.low.tolist(), leaf.high.tolist(), strict=True):
        lp.addRow(float(low), INFINITE if high >= 1 << 40 else float(high), 0, none_i, none_v)
    for i in range(rows - len(leaf.low), rows):
        if leaf.low[i] > 0:  # a row that cannot be met is paid for, so that every program has an optimum and prices
            lp.addCol(COST_SIZE * 1000, 0.0, INFINITE, 1, np.array([i], dtype=np.int32), np.array([1.0]))
    for k in range(cols):
        at = np.flatnonzero(leaf.matrix[:, k])
        values = leaf.matrix[at, k].astype(np.float64)
        lp.addCol(float(leaf.costs[k]) * leaf.scale, 0.0, INFINITE, len(at), at.astype(np.int32), values)
    return lp


def _tree(bench: Workbench, leaf: Leaf) -> bool:
    """Depth first over the number of bars of each listed pattern."""
    lp = _program(leaf)
    first = lp.getNumCol() - len(leaf.columns)
    least = np.zeros(len(leaf.columns), dtype=np.int64)
    most = np.full(len(leaf.columns), int(leaf.low.sum()), dtype=np.int64)
    open_nodes = [(least, most)]
    nodes = 0
    while open_nodes:
        nodes += 1
        if nodes > MOST_NODES or bench.budget.spent():
            return False
        low, high = open_nodes.pop()
        lp.changeColsBounds(
            len(low), np.arange(first, first + len(low), dtype=np.int32), low.astype(float), high.astype(float)
        )
        lp.run()
        bench.budget.spend(1 + leaf.matrix.size // CELLS_PER_WORK)
        if lp.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return False
        solution = lp.getSolution()
        bound = round_up(_node_bound(leaf, np.array(solution.row_dual), low, high), bench.step)
        if bound >= bench.best_cost:
            continue
        use = np.array(solution.col_value)
        branch = _offer_or_branch(bench, leaf, use[first:], use[:first], (low, high))
        open_nodes.extend(branch)
    return True


def _offer_or_branch(
    bench: Workbench, leaf: Leaf, use: NDArray[np.float64], short: NDArray[np.float64], box: tuple[Ints, Ints]
) -> list[tuple[Ints, Ints]]:
    """Offers a whole plan; otherwise two halves of the box, the nearer one last (it is taken first)."""
    whole = np.rint(use)
    away = np.abs(use - whole)
    low, high = box
    k = int(np.argmax(np.minimum(away, 0.5) + 1e-9 * use))
    if away.max() < 1e-6:
        counts = whole.astype(np.int64)
        met = leaf.matrix @ counts
        served = not short.size or bool(short.max() < 1e-6)
        if served and bool(np.all(met >= leaf.low)) and bool(np.all(met <= leaf.high)):
            plan = {c: n for c, n in zip(leaf.columns, counts.tolist(), strict=True) if n}
            bench.offer(plan, int(counts @ leaf.costs))
        open_widths = np.flatnonzero(high > low)
        if not open_widths.size:
            return []
        k = int(open_widths[0])
    down_high, up_low = high.copy(), low.copy()
    split = int(use[k] + 1e-6)
    split = min(max(split, int(low[k])), int(high[k]) - 1)
    down_high[k], up_low[k] = split, split + 1
    halves = [(low, down_high), (up_low, high)]
    return halves if use[k] - split > 0.3 else halves[::-1]


def _node_bound(leaf: Leaf, duals: NDArray[np.float64], low: Ints, high: Ints) -> int:
    """Exact bound from rounded row prices: rows at the side their price points to, columns within their box."""
    top = 1 << 54
    prices = np.clip(np.rint(duals / leaf.scale * leaf.unit), -top, top).astype(np.int64)
    prices[(prices < 0) & (leaf.high >= 1 << 40)] = 0
    reduced = leaf.costs * leaf.unit - prices @ leaf.matrix
    total: int = sum(
        p * (lo if p > 0 else hi)
        for p, lo, hi in zip(prices.tolist(), leaf.low.tolist(), leaf.high.tolist(), strict=True)
        if p
    )
    total += sum(
        r * (lo if r > 0 else hi) for r, lo, hi in zip(reduced.tolist(), low.tolist(), high.tolist(), strict=True)
    )
    return -(-total // leaf.unit)
