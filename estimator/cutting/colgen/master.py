"""The linear program over patterns: how much of each pattern, at what price of each size.

What is claimed is recomputed in whole numbers in `bounds.py`. Source: Gilmore and Gomory (1961).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from estimator.cutting.highs import COST_SIZE, LinearProgram
from estimator.cutting.instance import Column, Instance
from estimator.cutting.tuning import COLUMNS

UNCUT = 1e-7
"""A piece left uncut for more than this part of it makes the optimum one of a problem without a plan."""


@dataclass(frozen=True, slots=True)
class MasterOptimum:
    """An optimum of the linear program: value (money), use of each column, price of each size and of each bar."""

    value: float
    use: tuple[float, ...]
    size_price: tuple[float, ...]
    bar_price: tuple[float, ...]


class Master:
    """Columns found so far, and a linear program over them that starts warm from its last optimum."""

    def __init__(self, instance: Instance, wanted: Sequence[int]) -> None:
        self.instance = instance
        self.columns: list[Column] = []
        self.costs: list[int] = []
        self.effort = 0  # steps of the last solution times the program's rows
        self._known: dict[Column, int] = {}
        self._scale = COST_SIZE / max(1, *(bar.price for bar in instance.bars))
        self._lp = LinearProgram(grows=True)
        self._bars = len(instance.bars)
        self._dear = COST_SIZE * 50
        for bar in instance.bars:
            self._lp.add_row(0, bar.available)
        for count in wanted:
            self._lp.add_row(count, None)
        self._add_short_columns()

    def _add_short_columns(self) -> None:
        """One column per size that leaves a piece uncut, too expensive ever to pay; so the program has an optimum."""
        for i in range(len(self.instance.sizes)):
            self._lp.add_column(self._dear, [self._bars + i], [1.0])

    def make_shortage_dearer(self) -> bool:
        """Raises the price of leaving a piece uncut; False when it is as high as the arithmetic allows."""
        if self._dear > COST_SIZE * 10_000:
            return False
        self._dear *= 1000
        for k in range(len(self.instance.sizes)):
            self._lp.set_cost(k, self._dear)
        return True

    def __contains__(self, column: Column) -> bool:
        return column in self._known

    def add(self, columns: Iterable[Column]) -> int:
        """Adds patterns not yet known; returns how many were new."""
        new = 0
        for column in columns:
            if column in self._known:
                continue
            self._known[column] = len(self.columns)
            cost = self.instance.cost(column)
            self.columns.append(column)
            self.costs.append(cost)
            self._lp.add_column(cost * self._scale, *in_rows(column, self._bars))
            new += 1
        return new

    def want(self, wanted: Sequence[int]) -> None:
        """Changes how many pieces of each size are wanted."""
        self._lp.ask_rows(self._bars, wanted)

    def limit(self, low: Sequence[int], high: Sequence[int | None]) -> None:
        """Changes how many bars of each stock are to be used at least and at most."""
        for bar, (lo, hi) in enumerate(zip(low, high, strict=True)):
            self._lp.limit_row(bar, lo, hi)

    def solve(self) -> MasterOptimum | None:
        """The optimum over the known columns; None if bars of each stock cannot be kept within their limits."""
        optimum = self._lp.solve()
        self.effort = self._lp.steps * (self._bars + len(self.instance.sizes))
        if optimum is None:
            return None
        short, use, duals = len(self.instance.sizes), optimum.use, optimum.duals
        value = float("inf") if any(amount > UNCUT for amount in use[:short]) else optimum.value / self._scale
        return MasterOptimum(
            value,
            tuple(use[short:]),
            tuple(dual / self._scale for dual in duals[self._bars :]),
            tuple(dual / self._scale for dual in duals[: self._bars]),
        )


def single_pieces(instance: Instance) -> list[Column]:
    """A piece of each size alone on every bar that holds it; where these are many, on the cheapest such bar."""
    bars, sizes = instance.bars, instance.sizes
    offered = [bar for bar, each in enumerate(bars) if each.available != 0]
    if len(bars) * len(sizes) <= COLUMNS.most_singles:
        return [(bar, ((i, 1),)) for bar in range(len(bars)) for i, size in enumerate(sizes) if size <= bars[bar].room]
    offered.sort(key=lambda bar: (bars[bar].price, bar))
    return [(next(bar for bar in offered if bars[bar].room >= size), ((i, 1),)) for i, size in enumerate(sizes)]


def in_rows(column: Column, bars: int) -> tuple[list[int], list[float]]:
    """A pattern in a program whose rows are `bars` stocks, then sizes: which rows, how often each."""
    return [column[0], *(bars + i for i, _ in column[1])], [1.0, *(float(n) for _, n in column[1])]
