"""The linear program over patterns: how much of each pattern, at what price of each size.

Floating point lives here and only here; what is claimed is recomputed in whole numbers in `colgen/bounds.py`.
Source: Gilmore and Gomory (1961); solved by HiGHS (Huangfu and Hall, Math. Prog. Comp. 10 (2018) 119).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import highspy
import numpy as np
from numpy.typing import NDArray

from estimator.cutting.instance import Column, Instance

INFINITE = highspy.kHighsInf
COST_SIZE = 1000.0
CHOOSE = 0  # primal steps after columns were added, dual ones after limits changed


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
        self.solved = 0
        self.effort = 0  # steps of the last solution times the program's rows
        self._known: dict[Column, int] = {}
        self._scale = COST_SIZE / max(1, *(bar.price for bar in instance.bars))
        self._lp = quiet_highs()
        self._lp.setOptionValue("simplex_strategy", CHOOSE)
        self._bars = len(instance.bars)
        self._dear = COST_SIZE * 50
        empty_index, empty_value = np.array([], dtype=np.int32), np.array([], dtype=np.float64)
        for bar in instance.bars:
            most = INFINITE if bar.available is None else float(bar.available)
            self._lp.addRow(0.0, most, 0, empty_index, empty_value)
        for count in wanted:
            self._lp.addRow(float(count), INFINITE, 0, empty_index, empty_value)
        self._add_short_columns()

    def _add_short_columns(self) -> None:
        """One column per size that leaves a piece uncut, too dear ever to pay; so the program has an optimum."""
        for i in range(len(self.instance.sizes)):
            row = np.array([self._bars + i], dtype=np.int32)
            self._lp.addCol(self._dear, 0.0, INFINITE, 1, row, np.array([1.0]))

    def make_shortage_dearer(self) -> bool:
        """Raises the price of leaving a piece uncut; says no when it is as high as numbers bear."""
        if self._dear > COST_SIZE * 10_000:
            return False
        self._dear *= 1000
        for k in range(len(self.instance.sizes)):
            self._lp.changeColCost(k, self._dear)
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
            self._lp.addCol(cost * self._scale, 0.0, INFINITE, *in_rows(column, self._bars))
            new += 1
        return new

    def want(self, wanted: Sequence[int]) -> None:
        """Changes how many pieces of each size are wanted."""
        rows = np.arange(self._bars, self._bars + len(wanted), dtype=np.int32)
        lower = np.array(wanted, dtype=np.float64)
        self._lp.changeRowsBounds(  # type: ignore[attr-defined]
            len(rows), rows, lower, np.full(len(rows), INFINITE)
        )

    def limit(self, low: Sequence[int], high: Sequence[int | None]) -> None:
        """Changes how many bars of each stock are to be used at least and at most."""
        for bar, (lo, hi) in enumerate(zip(low, high, strict=True)):
            self._lp.changeRowBounds(bar, float(lo), INFINITE if hi is None else float(hi))

    def solve(self) -> MasterOptimum | None:
        """The optimum over the known columns; None if bars of each stock cannot be kept within their limits."""
        self._lp.run()
        self.solved += 1
        self.effort = self._lp.getInfo().simplex_iteration_count * (self._bars + len(self.instance.sizes))
        if self._lp.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        solution = self._lp.getSolution()
        short = len(self.instance.sizes)
        use = solution.col_value
        duals = solution.row_dual
        if any(value > 1e-7 for value in use[:short]):
            value = float("inf")
        else:
            value = self._lp.getInfo().objective_function_value / self._scale
        return MasterOptimum(
            value,
            tuple(use[short:]),
            tuple(dual / self._scale for dual in duals[self._bars :]),
            tuple(dual / self._scale for dual in duals[: self._bars]),
        )


def in_rows(column: Column, bars: int) -> tuple[int, NDArray[np.int32], NDArray[np.float64]]:
    """A pattern in a program whose rows are `bars` stocks, then sizes: how many rows, which, how often each."""
    rows = [column[0], *(bars + i for i, _ in column[1])]
    times = [1.0, *(float(n) for _, n in column[1])]
    return len(rows), np.array(rows, dtype=np.int32), np.array(times)


def quiet_highs() -> highspy.Highs:
    """A solver that prints nothing, uses one thread and has no clock, so that it answers the same everywhere."""
    lp = highspy.Highs()  # type: ignore[no-untyped-call]
    lp.setOptionValue("output_flag", False)
    lp.setOptionValue("threads", 1)
    lp.setOptionValue("random_seed", 1)
    lp.setOptionValue("presolve", "off")
    return lp
