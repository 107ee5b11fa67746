"""A linear program over listed patterns, to which branching adds rows; its bound is recomputed in whole numbers.

Rows are bars (between limits), sizes (as many as wanted, and no more too many than the gap can pay for), then the rows
that branching adds: how many bars are cut to a pattern of some set. Only patterns that may help are in the program;
the exact bound counts all of them.
Source: reduced-cost fixing and pattern enumeration, Baldacci et al., Math. Prog. 115 (2008) 351.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from estimator.cutting.highs import COST_SIZE, Floats, Ints, LinearProgram, Optimum
from estimator.cutting.instance import Column, Instance
from estimator.cutting.tuning import ENUMERATION

MANY = 1 << 40
NEAR = 1e-6
FRACTIONAL = 1e-4


@dataclass(frozen=True, slots=True)
class RowLimits:
    """Least and most of every row: bars first, then sizes; `most` at MANY is no limit."""

    least: tuple[int, ...]
    most: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class NodeOptimum:
    """The program's optimum at a node: use of every listed pattern, its value (money), and the node's exact bound."""

    use: Floats
    value: float
    bound: int
    short: bool


class RestrictedMaster:
    """Listed patterns, the program over some of them, and exact prices over all."""

    def __init__(self, instance: Instance, columns: tuple[Column, ...], asked: RowLimits) -> None:
        self.columns = columns
        self.asked = asked
        self.bars = len(instance.bars)
        self.costs: Ints = np.array([instance.cost(column) for column in columns], dtype=np.int64)
        self.counts = _counts(columns, self.bars, len(instance.sizes))
        self._rows_of, self._starts, self._times = _by_column(columns, self.bars)
        self.most = self._most_of_each()
        self.added: list[Ints] = []
        self.limits: list[tuple[int, int]] = []
        dearest = max(1, int(self.costs.max()))
        self._scale = COST_SIZE / dearest
        self._dear = ENUMERATION.shortage
        self._unit = max(16, (1 << 44) // dearest)
        self._pieces = int(self.counts.sum(axis=0).max())
        self._in = np.zeros(len(columns), dtype=np.bool_)
        self._order: list[int] = []
        self._places: list[int] = []
        self._most_times = 0
        self._slacks = list(range(len(asked.least)))
        self._sizes = len(instance.sizes)
        self._lp = self._open()
        self._optimum: Optimum | None = None
        self.effort = 0  # steps of the linear program times its rows

    def _most_of_each(self) -> Ints:
        """How often each pattern can stand in a plan."""
        most = np.array(self.asked.most, dtype=np.int64)
        fits = most[self._rows_of] // self._times
        return np.minimum(np.minimum.reduceat(fits, self._starts), sum(self.asked.least) + 1)

    def _open(self) -> LinearProgram:
        lp = LinearProgram(grows=True)
        for least, most in zip(self.asked.least, self.asked.most, strict=True):
            lp.add_row(least, _limit(most))
        for i in range(len(self.asked.least)):
            lp.add_column(COST_SIZE * self._dear, [i], [1.0])
        return lp

    def is_tight(self) -> bool:
        """Whether no piece can be cut too many: bars are filled and nothing else."""
        return self.asked.least[self.bars :] == self.asked.most[self.bars :]

    def by_column(self) -> tuple[Ints, Ints, Ints]:
        """Starts, rows and times of all listed patterns, each with its cost in one more row at the end."""
        last = len(self.asked.least)
        ends = np.append(self._starts[1:], len(self._rows_of))
        rows = np.insert(self._rows_of, ends, last)
        times = np.insert(self._times, ends, self.costs)
        starts = self._starts + np.arange(len(self._starts))
        return starts, rows, times

    def take_in(self, which: Sequence[int]) -> None:
        """Puts listed patterns into the program."""
        new = [k for k in which if not self._in[k]]
        if not new:
            return
        self._in[new] = True
        first = len(self._order) + len(self._slacks)
        self._order.extend(new)
        self._places.extend(range(first, first + len(new)))
        rows = np.vstack([self.counts[:, new], *(row[new][None, :] for row in self.added)]).T
        starts = np.concatenate([[0], np.cumsum((rows != 0).sum(axis=1))[:-1]])
        where = np.nonzero(rows)
        self._lp.add_columns(self.costs[new].astype(np.float64) * self._scale, (starts, where[1], rows[where]))

    def add_row(self, times: Ints, least: int = 0, most: int = MANY) -> int:
        """Adds a row that counts every pattern so many times, between limits that hold for all nodes."""
        self.added.append(times)
        self.limits.append((least, most))
        self._most_times += int(np.abs(times).max())
        inside = np.array(self._order, dtype=np.int64)
        inside = np.flatnonzero(times[inside]) if inside.size else inside
        places = np.array(self._places, dtype=np.int64)[inside]
        row = self._lp.add_row(None, None, places, times[np.array(self._order, dtype=np.int64)[inside]])
        self._slacks.append(self._lp.add_column(COST_SIZE * self._dear, [row], [1.0]))
        return len(self.added) - 1

    def settle_rows(self, bars: Sequence[tuple[int, int]], added: dict[int, tuple[int, int]]) -> None:
        """Sets the limits of bars and of added rows for the node to be solved."""
        for bar, (least, most) in enumerate(bars):
            self._lp.limit_row(bar, least, most)
        first = len(self.asked.least)
        for k, limits in enumerate(self.limits):
            least, most = added.get(k, limits)
            self._lp.limit_row(first + k, least, _limit(most))

    def solve(
        self, bars: Sequence[tuple[int, int]], added: dict[int, tuple[int, int]], cutoff: int
    ) -> NodeOptimum | None:
        """The optimum at a node, or None if numbers fail; ends early once the exact bound reaches `cutoff`."""
        self.settle_rows(bars, added)
        least = [*(low for low, _ in bars), *self.asked.least[self.bars :]]
        most = [*(high for _, high in bars), *self.asked.most[self.bars :]]
        for k, limits in enumerate(self.limits):
            low, high = added.get(k, limits)
            least.append(low)
            most.append(high)
        bound = 0
        while True:
            optimum = self._optimum = self._lp.solve()
            self.effort += self._lp.steps * (len(least) + 1)
            if optimum is None:
                return None
            prices, reduced = self._exact(np.array(optimum.duals), most)
            bound = max(bound, self._bound(prices, reduced, least, most))
            values = np.array(optimum.use)
            short = bool(values[self._slacks].max() > 1e-7)
            if bound < cutoff:
                worth = np.flatnonzero((reduced < -(self._unit >> 8)) & ~self._in)
                if worth.size:
                    best = worth[np.argsort(reduced[worth], kind="stable")[: ENUMERATION.columns_a_round]]
                    self.take_in(best.tolist())
                    continue
                if short and self._dearer():
                    continue
            use = np.zeros(len(self.columns))
            use[self._order] = values[self._places]
            return NodeOptimum(use, optimum.value / self._scale, bound, short)

    @property
    def cells_inside(self) -> int:
        """Rows times patterns in the program."""
        return (len(self.asked.least) + len(self.added)) * len(self._order)

    def rows_inside(self) -> tuple[Ints, Floats]:
        """Every row's times for the patterns that the program holds, and how often its last optimum uses these."""
        rows = [self.counts[:, self._order].astype(np.int64), *(row[None, self._order] for row in self.added)]
        return np.vstack(rows), np.array(self._last().use)[self._places]

    def summed(self, shares: Ints) -> Ints:
        """All rows taken so often and added up, for every listed pattern."""
        total = np.add.reduceat(shares[self._rows_of] * self._times, self._starts)
        for n, times in zip(shares[len(self.asked.least) :].tolist(), self.added, strict=True):
            if n:
                total += n * times
        return total

    def asked_of_all(self) -> tuple[list[int], list[int]]:
        """Least and most of every row, those added included, as they hold for all nodes."""
        least = [*self.asked.least, *(low for low, _ in self.limits)]
        return least, [*self.asked.most, *(high for _, high in self.limits)]

    def at_least(self) -> NDArray[np.bool_]:
        """Which rows the last optimum keeps at their least."""
        made = np.array(self._last().made)
        near: NDArray[np.bool_] = np.abs(made - np.array(self.asked_of_all()[0], dtype=np.float64)) < NEAR
        return near

    def broken_rows(self, most: int) -> list[Floats]:
        """Rows of the inverse of the basis for what is least whole in the last optimum."""
        values, made = self._last().use, self._last().made
        off = []
        for at, k in enumerate(self._lp.basic()):
            value = values[k] if k >= 0 else made[-1 - k]
            off.append((-abs(value - round(value)), at))
        chosen = [at for away, at in sorted(off)[:most] if away < -FRACTIONAL]
        return [self._lp.inverse_row(at) for at in chosen]

    def _last(self) -> Optimum:
        assert self._optimum is not None
        return self._optimum

    def _dearer(self) -> bool:
        if self._dear > 10_000:
            return False
        self._dear *= 20
        for k in self._slacks:
            self._lp.set_cost(k, COST_SIZE * self._dear)
        return True

    def _exact(self, duals: Floats, most: Sequence[int]) -> tuple[Ints, Ints]:
        """Whole prices of the rows, and under them what every listed pattern costs beyond its pay."""
        top = (1 << 61) // (self._pieces + self._most_times + 2)
        prices = np.clip(np.rint(duals / self._scale * self._unit), -top, top).astype(np.int64)
        prices[(prices < 0) & (np.array(most) >= MANY)] = 0
        rows = len(self.asked.least)
        pay = np.add.reduceat(prices[self._rows_of] * self._times, self._starts)
        reduced = self.costs * self._unit - pay
        for k in np.flatnonzero(prices[rows:]).tolist():
            reduced -= prices[rows + k] * self.added[k]
        return prices, reduced

    def _bound(self, prices: Ints, reduced: Ints, least: Sequence[int], most: Sequence[int]) -> int:
        total: int = sum(p * (lo if p > 0 else hi) for p, lo, hi in zip(prices.tolist(), least, most, strict=True) if p)
        below = np.flatnonzero(reduced < 0)
        total += sum(r * n for r, n in zip(reduced[below].tolist(), self.most[below].tolist(), strict=True))
        return -(-total // self._unit)


def _limit(most: int) -> int | None:
    return None if most >= MANY else most


def _by_column(columns: tuple[Column, ...], bars: int) -> tuple[Ints, Ints, Ints]:
    """Rows of every pattern one after the other, where each pattern begins, and how often it has the row."""
    rows: list[int] = []
    times: list[int] = []
    starts: list[int] = []
    for bar, pieces in columns:
        starts.append(len(rows))
        rows.append(bar)
        times.append(1)
        for i, n in pieces:
            rows.append(bars + i)
            times.append(n)
    return np.array(rows, dtype=np.int64), np.array(starts, dtype=np.int64), np.array(times, dtype=np.int64)


def _counts(columns: tuple[Column, ...], bars: int, sizes: int) -> NDArray[np.int32]:
    counts = np.zeros((bars + sizes, len(columns)), dtype=np.int32)
    for k, (bar, pieces) in enumerate(columns):
        counts[bar, k] = 1
        for i, n in pieces:
            counts[bars + i, k] = n
    return counts
