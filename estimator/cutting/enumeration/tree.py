"""The end of a branch: all patterns that can still matter are listed, and a tree over them decides.

Branches are on the number of bars of one stock, then on the number of bars that carry two given sizes together, then on
single patterns. Every node's bound is exact, so an exhausted tree is a proof and not a matter of tolerances.
Source: branching on pairs, Ryan and Foster (1981), generalised to many pieces by Vanderbeck, Oper. Res. 48 (2000) 111.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush

import numpy as np
from numpy.typing import NDArray

from estimator.cutting.colgen.bounds import StockLimits
from estimator.cutting.colgen.relaxation import Relaxation, SearchState
from estimator.cutting.enumeration.chvatal_gomory_cuts import chvatal_gomory_cuts
from estimator.cutting.enumeration.mip_heuristic import plan_by_mip
from estimator.cutting.enumeration.patterns import patterns_within
from estimator.cutting.enumeration.restricted_master import MANY, NodeOptimum, RestrictedMaster, RowLimits
from estimator.cutting.heuristics.greedy import greedy_plan, plan_cost
from estimator.cutting.highs import Floats
from estimator.cutting.instance import Column
from estimator.cutting.tuning import ENUMERATION, WORK


@dataclass(frozen=True, slots=True)
class EnumerationLimits:
    """How many patterns a tree may have, how many nodes, and whether a quick try goes before it."""

    patterns: int
    nodes: int
    plan_by_mip: bool = False


THOROUGH = EnumerationLimits(30_000, 1500)


@dataclass(order=True, slots=True)
class TreeNode:
    """An open node: branches down so far, number, the limits of bars and of the rows added."""

    misses: int
    number: int
    bars: tuple[tuple[int, int], ...] = field(compare=False)
    added: dict[int, tuple[int, int]] = field(compare=False)


def decided(
    state: SearchState,
    wanted: Sequence[int],
    limits: StockLimits,
    proofs: Sequence[Relaxation],
    ceiling: int | None = None,
    trial: EnumerationLimits = THOROUGH,
) -> bool:
    """Decides whether a plan within `limits` is cheaper than the search's best one, offering what it finds.

    `proofs` are relaxations whose prices may be used; the one that leaves the fewest patterns is.
    Returns True if the question is settled: no plan within the limits is cheaper than the search's best (any more),
    or, where there is a `ceiling`, none costs as little as that unless the search has it.
    """
    usable = [proof for proof in proofs if proof.prices]
    if not usable:
        return False
    most = _dearest_wanted(state, limits)
    most = most if ceiling is None else min(most, ceiling)
    rooms = [_room(state, wanted, limits, proof, most) for proof in usable]
    best = min(range(len(usable)), key=lambda k: (rooms[k], k))
    if rooms[best] < 0:
        return True
    columns = _listed(state, wanted, limits, usable[best], rooms[best], trial.patterns)
    if columns is None:
        return False
    if not columns:
        return True
    state.budget.spend(1 + len(columns) // WORK.listed_patterns)
    pool = RestrictedMaster(state.instance, columns, _asked(state, wanted, limits, usable[best], rooms[best]))
    few = ENUMERATION.mip_from <= len(wanted) >= len(columns) // ENUMERATION.mip_per_size
    if trial.plan_by_mip and few and pool.is_tight():
        state.budget.spend(ENUMERATION.mip_work + pool.counts.size // WORK.mip_cells)
        plan = plan_by_mip(pool, most)
        if plan is not None:
            state.offer(plan, plan_cost(state.instance, plan))
            if state.below(state.best_cost) < usable[best].bound:
                return True
    return Tree(state, pool, wanted, most).run(trial.nodes)


def _room(state: SearchState, wanted: Sequence[int], limits: StockLimits, proof: Relaxation, most: int) -> int:
    """How much the reduced prices of a plan's patterns may add up to (beyond what the proof counts already)."""
    base = sum(n * p for n, p in zip(wanted, proof.prices, strict=True))
    pieces = sum(wanted)
    for bar, worth, low, high in zip(state.instance.bars, proof.worth, limits.low, limits.high, strict=True):
        reduced = bar.price * state.unit - worth
        base += reduced * (low if reduced > 0 else (pieces if high is None else high))
    return most * state.unit - base


def _listed(
    state: SearchState, wanted: Sequence[int], limits: StockLimits, proof: Relaxation, room: int, most: int
) -> tuple[Column, ...] | None:
    """Patterns whose reduced price is within the room, under the prices that proved the bound."""
    instance, unit = state.instance, state.unit
    need: list[int | None] = []
    for bar, worth, low, high in zip(instance.bars, proof.worth, limits.low, limits.high, strict=True):
        counted = worth > bar.price * unit or low > 0  # the base already holds one bar of this kind at its least
        need.append(None if high == 0 else (worth if counted else bar.price * unit) - room)
    return patterns_within(instance, wanted, proof.prices, need, most, unit)


def _dearest_wanted(state: SearchState, limits: StockLimits) -> int:
    """The highest cost worth looking for: below the best plan, and what the bars cost where their number is fixed."""
    most = state.below(state.best_cost)
    if state.instance.values or limits.low != limits.high:
        return most
    return min(most, sum(bar.price * n for bar, n in zip(state.instance.bars, limits.low, strict=True)))


def _asked(state: SearchState, wanted: Sequence[int], limits: StockLimits, proof: Relaxation, room: int) -> RowLimits:
    """Limits of bars, and of pieces: one too many costs its price, so no more of them than the room has."""
    bars = [sum(wanted) if high is None else min(high, sum(wanted)) for high in limits.high]
    over = [0 if state.instance.values else (room // price if price > 0 else MANY) for price in proof.prices]
    most = [*bars, *(min(MANY, n + more) for n, more in zip(wanted, over, strict=True))]
    return RowLimits((*limits.low, *wanted), tuple(most))


class Tree:
    """Branch and bound over listed patterns."""

    def __init__(self, state: SearchState, pool: RestrictedMaster, wanted: Sequence[int], ceiling: int) -> None:
        self._ceiling = ceiling
        self._state = state
        self._pool = pool
        self._wanted = wanted
        self._rows: dict[tuple[int, int], int] = {}
        self.nodes = 0

    def run(self, most_nodes: int) -> bool:
        """Works through the open nodes; True if none is left."""
        pool, state = self._pool, self._state
        bars = pool.bars
        first = tuple(zip(pool.asked.least[:bars], pool.asked.most[:bars], strict=True))
        if self._tightened(first):
            return True
        heap = [TreeNode(0, 0, first, {})]
        settled = True
        while heap:
            ceiling = min(self._ceiling, state.below(state.best_cost))
            if self.nodes >= most_nodes or state.budget.spent():
                return False
            node = heappop(heap)
            self.nodes += 1
            point = self._solved(node.bars, node.added, ceiling)
            if point is None or (point.short and point.bound <= ceiling):
                settled = False
            elif state.up(point.bound) <= ceiling:
                children = self._branch(node, point.use)
                closed = state.up(point.bound) >= state.best_cost  # by the plan just offered
                settled = settled and (closed or bool(children))
                for child in children:
                    heappush(heap, child)
        return settled

    def _tightened(self, bars: tuple[tuple[int, int], ...]) -> bool:
        """Adds rows that whole plans keep, while they lift the root; True if no plan up to the ceiling is left."""
        pool, state = self._pool, self._state
        best, idle = 0.0, 0
        for _ in range(ENUMERATION.cut_rounds):
            ceiling = min(self._ceiling, state.below(state.best_cost))
            point = self._solved(bars, {}, ceiling)
            if point is None or point.short or state.budget.spent():
                return False
            if state.up(point.bound) > ceiling:
                return True
            idle = 0 if point.value > best + ENUMERATION.lifted * (ceiling + 1 - point.value) else idle + 1
            best = max(best, point.value)
            rows = chvatal_gomory_cuts(pool) if idle < ENUMERATION.idle_rounds else []
            state.budget.spend(pool.cells_inside // WORK.cut_cells)
            if not rows:
                return False
            for row in rows:
                pool.add_row(row.times, row.least)
        return False

    def _solved(
        self, bars: tuple[tuple[int, int], ...], added: dict[int, tuple[int, int]], ceiling: int
    ) -> NodeOptimum | None:
        """The program's optimum at a node, its work spent."""
        pool = self._pool
        before = pool.effort
        point = pool.solve(bars, added, ceiling + 1)
        self._state.budget.spend(1 + (pool.effort - before) // WORK.tree_steps + pool.counts.size // WORK.tree_cells)
        return point

    def _branch(self, node: TreeNode, use: Floats) -> list[TreeNode]:
        """Offers the plan if it is whole, or splits the node; a whole plan that ends nothing is split no further."""
        if self._offer(use):
            return []
        on_bars = self._on_bars(node, use) or self._on_counts(node, use)
        return on_bars or self._on_pair(node, use) or self._on_pattern(node, use)

    def _offer(self, use: Floats) -> bool:
        """Offers the plan if it is whole; otherwise its whole part, the rest filled greedily."""
        pool, state = self._pool, self._state
        whole = np.floor(use + 1e-6).astype(np.int64)
        is_whole = bool(np.abs(use - np.rint(use)).max() < 1e-6)
        if is_whole:
            whole = np.rint(use).astype(np.int64)
        met = pool.counts @ whole
        rest = [max(0, n - int(have)) for n, have in zip(self._wanted, met[pool.bars :], strict=True)]
        plan = {pool.columns[k]: int(whole[k]) for k in np.flatnonzero(whole).tolist()}
        high = [most - int(n) for most, n in zip(pool.asked.most[: pool.bars], met, strict=False)]
        if min(high) < 0:
            return False
        if not is_whole and self.nodes > 1 and sum(rest) > ENUMERATION.few:
            return False
        end = greedy_plan(state.instance, rest, high)
        if end is not None:
            for column, count in end.items():
                plan[column] = plan.get(column, 0) + count
            cost = plan_cost(state.instance, plan)
            if cost < state.best_cost:
                state.offer(plan, cost)
        return is_whole

    def _on_bars(self, node: TreeNode, use: Floats) -> list[TreeNode]:
        """At most so many bars of one stock, or at least one more."""
        pool = self._pool
        if pool.bars == 1:
            return []
        counts = pool.counts[: pool.bars] @ use
        away = np.abs(counts - np.rint(counts))
        bar = int(np.argmax(away))
        if away[bar] < 1e-5:
            return []
        at = int(counts[bar])
        low, high = node.bars[bar]
        up = (*node.bars[:bar], (at + 1, high), *node.bars[bar + 1 :])
        down = (*node.bars[:bar], (low, at), *node.bars[bar + 1 :])
        above = counts[bar] - at > 0.5
        return [
            TreeNode(node.misses + (not above), -2 * self.nodes, up, node.added),
            TreeNode(node.misses + above, -2 * self.nodes - 1, down, node.added),
        ]

    def _on_counts(self, node: TreeNode, use: Floats) -> list[TreeNode]:
        """Where the bars of every stock are whole numbers: exactly these numbers, or the rest in parts."""
        pool = self._pool
        if pool.bars == 1 or all(low == high for low, high in node.bars):
            return []
        counts = [round(n) for n in (pool.counts[: pool.bars] @ use).tolist()]
        exact = tuple((n, n) for n in counts)
        nodes = [TreeNode(node.misses, -2 * self.nodes, exact, node.added)]
        bars = list(node.bars)
        for bar, count in enumerate(counts):
            low, high = bars[bar]
            for part in [(low, count - 1), (count + 1, high)]:
                if part[0] <= part[1]:
                    apart = (*bars[:bar], part, *bars[bar + 1 :])
                    nodes.append(TreeNode(node.misses + 1, -2 * self.nodes - 1, apart, node.added))
            bars[bar] = (count, count)
        return nodes

    def _on_pair(self, node: TreeNode, use: Floats) -> list[TreeNode]:
        """Bars that carry sizes i and j together (i twice, where they are the same): so many at most, or more."""
        pool = self._pool
        part = np.abs(use - np.rint(use))
        together: dict[tuple[int, int], float] = {}
        for k in np.flatnonzero(part > 1e-6).tolist():
            for pair in _pairs(pool.columns[k]):
                together[pair] = together.get(pair, 0.0) + float(use[k])
        best, chosen = 1e-5, None
        for pair, value in together.items():
            away = value - int(value + 1e-6)
            if away > best:
                best, chosen = away, pair
        if chosen is None:
            return []
        i, j = chosen
        counts = pool.counts[pool.bars :]
        mark = counts[i] > 1 if i == j else (counts[i] > 0) & (counts[j] > 0)
        whole = np.flatnonzero((part <= 1e-6) & mark)
        return self._split(node, chosen, mark, together[chosen] + float(use[whole].sum()))

    def _on_pattern(self, node: TreeNode, use: Floats) -> list[TreeNode]:
        """One pattern, so often at most, or more often."""
        part = use - np.floor(use + 1e-6)
        k = int(np.argmax(part))
        if part[k] < 1e-6:
            return []
        mark = np.zeros(len(use), dtype=np.bool_)
        mark[k] = True
        return self._split(node, (-1, k), mark, float(use[k]))

    def _split(self, node: TreeNode, key: tuple[int, int], mark: NDArray[np.bool_], value: float) -> list[TreeNode]:
        if key not in self._rows:
            self._rows[key] = self._pool.add_row(mark.astype(np.int64))
        row = self._rows[key]
        low, high = node.added.get(row, (0, MANY))
        at = int(value + 1e-6)
        return [
            TreeNode(node.misses, -2 * self.nodes, node.bars, {**node.added, row: (at + 1, high)}),
            TreeNode(node.misses + 1, -2 * self.nodes - 1, node.bars, {**node.added, row: (low, at)}),
        ]


def _pairs(column: Column) -> Iterator[tuple[int, int]]:
    """Every two sizes that the pattern has together; a size with itself if it is there twice."""
    pieces = column[1]
    for at, (i, n) in enumerate(pieces):
        if n > 1:
            yield i, i
        for j, _ in pieces[at + 1 :]:
            yield i, j
