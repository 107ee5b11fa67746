"""The one door to HiGHS: linear programs that grow by rows and columns, and whole-number programs.

Floating point lives behind this door; whatever is claimed to be proven is computed again in whole numbers by those who
use it. One thread, one seed and no clock: the same program has the same answer everywhere.
Source: Huangfu and Hall, Math. Prog. Comp. 10 (2018) 119.
"""

from __future__ import annotations

from typing import Any

import highspy
import numpy as np
from numpy.typing import ArrayLike, NDArray

COST_SIZE = 1000.0
"""The highest cost of a bar in a program: costs are scaled to it, so that tolerances mean the same for all money."""
INFINITE = float(highspy.kHighsInf)
_CHOOSE = 0
_FEASIBLE = 2
_WHOLE = 1

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


class Optimum:
    """An optimum: its value, the use of columns, what rows come to, dual values of rows, reduced costs of columns."""

    def __init__(self, solution: Any, value: float) -> None:  # noqa: ANN401
        self._solution = solution
        self.value = value

    @property
    def use(self) -> list[float]:
        """How much of each column."""
        return list(self._solution.col_value)

    @property
    def made(self) -> list[float]:
        """What each row comes to."""
        return list(self._solution.row_value)

    @property
    def duals(self) -> list[float]:
        """The dual value of each row."""
        return list(self._solution.row_dual)

    @property
    def reduced(self) -> list[float]:
        """The reduced cost of each column."""
        return list(self._solution.col_dual)


class LinearProgram:
    """A program to be minimised; solved again after a change it starts from its last optimum. No limit is None."""

    def __init__(self, *, grows: bool = False, presolved: bool = False) -> None:
        """`grows`: primal steps after new columns, dual ones after new limits; `presolved`: solved once, reduced first.

        Measured: choosing the kind of steps by what changed takes half the time where columns are generated.
        """
        self._highs = highspy.Highs()  # type: ignore[no-untyped-call]
        self._highs.setOptionValue("output_flag", False)
        self._highs.setOptionValue("threads", 1)
        self._highs.setOptionValue("random_seed", 1)
        self._highs.setOptionValue("presolve", "on" if presolved else "off")
        if grows:
            self._highs.setOptionValue("simplex_strategy", _CHOOSE)
        self.rows = 0
        self.columns = 0
        self.steps = 0
        """Steps of the simplex method that the last solution took."""

    def add_row(self, low: float | None, high: float | None, columns: ArrayLike = (), values: ArrayLike = ()) -> int:
        """A row between two limits; returns its index."""
        index, numbers = np.array(columns, dtype=np.int32), np.array(values, dtype=np.float64)
        self._highs.addRow(_low(low), _high(high), len(index), index, numbers)
        self.rows += 1
        return self.rows - 1

    def add_column(
        self, cost: float, rows: ArrayLike, values: ArrayLike, low: float = 0.0, high: float | None = None
    ) -> int:
        """A column between two limits; returns its index."""
        index, numbers = np.array(rows, dtype=np.int32), np.array(values, dtype=np.float64)
        self._highs.addCol(cost, low, _high(high), len(index), index, numbers)
        self.columns += 1
        return self.columns - 1

    def add_columns(self, costs: Floats, matrix: tuple[Ints, Ints, Ints], most: Ints | None = None) -> None:
        """Columns from 0 up to `most`; the matrix as (where each column starts, rows, values)."""
        starts, rows, values = matrix
        high = np.full(len(costs), INFINITE) if most is None else most.astype(np.float64)
        none = np.zeros(len(costs))
        entries = (starts.astype(np.int32), rows.astype(np.int32), values.astype(np.float64))
        self._highs.addCols(len(costs), costs, none, high, len(rows), *entries)
        self.columns += len(costs)

    def limit_row(self, row: int, low: float | None, high: float | None) -> None:
        """Changes the limits of one row."""
        self._highs.changeRowBounds(row, _low(low), _high(high))

    def ask_rows(self, first: int, least: ArrayLike) -> None:
        """Changes what rows from `first` on come to at least; they have no upper limit."""
        low = np.array(least, dtype=np.float64)
        rows, high = np.arange(first, first + len(low), dtype=np.int32), np.full(len(low), INFINITE)
        self._highs.changeRowsBounds(len(rows), rows, low, high)  # type: ignore[attr-defined]

    def limit_columns(self, columns: ArrayLike, low: ArrayLike, high: ArrayLike | None = None) -> None:
        """Changes the limits of columns."""
        index, least = np.array(columns, dtype=np.int32), np.array(low, dtype=np.float64)
        most = np.full(len(index), INFINITE) if high is None else np.array(high, dtype=np.float64)
        self._highs.changeColsBounds(len(index), index, least, most)

    def set_cost(self, column: int, cost: float) -> None:
        """Changes what a column costs."""
        self._highs.changeColCost(column, cost)

    def solve(self) -> Optimum | None:
        """The optimum; None where there is none, or numbers fail."""
        self._highs.run()
        info = self._highs.getInfo()
        self.steps = info.simplex_iteration_count
        if self._highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        return Optimum(self._highs.getSolution(), info.objective_function_value)

    def basic(self) -> list[int]:
        """The basic variables of the last optimum: columns, and rows as -1 - row."""
        return [int(k) for k in self._highs.getBasicVariables()[1]]  # type: ignore[attr-defined]

    def inverse_row(self, at: int) -> Floats:
        """A row of the inverse of the last basis."""
        return np.array(self._highs.getBasisInverseRow(at)[1])  # type: ignore[attr-defined]


class WholeProgram(LinearProgram):
    """A program whose columns are whole numbers; it is solved once and may be stopped before it has proven anything."""

    def __init__(self, like: LinearProgram | None = None) -> None:
        """`like`: a program whose rows and columns it begins with."""
        super().__init__(presolved=True)
        if like is not None:
            self._highs.passModel(like._highs.getModel())
            self.rows, self.columns = like.rows, like.columns

    def stop_at(self, nodes: int, gap: float) -> None:
        """Ends after so many nodes, or where no plan can be better by more than `gap` (or by a millionth)."""
        self._highs.setOptionValue("mip_max_nodes", nodes)
        self._highs.setOptionValue("mip_rel_gap", 1e-6)
        self._highs.setOptionValue("mip_abs_gap", gap)

    def stop_after_checks(self, most: int) -> None:
        """Ends with the first plan found, or after so many of its own checks, which do not depend on a clock."""
        self._highs.setOptionValue("mip_max_improving_sols", 1)
        checks = 0

        def check(_kind: Any, _text: str, _told: Any, answer: Any, _own: Any) -> None:  # noqa: ANN401
            nonlocal checks
            checks += 1
            if checks > most:
                answer.user_interrupt = True

        self._highs.setCallback(check, None)
        self._highs.startCallback(highspy.cb.HighsCallbackType.kCallbackMipInterrupt)

    def solve_whole(self) -> Floats | None:
        """Use of the columns in the best plan found, to be rounded; None where none was found."""
        kinds = np.full(self.columns, _WHOLE, dtype=np.uint8)
        self._highs.changeColsIntegrality(self.columns, np.arange(self.columns, dtype=np.int32), kinds)
        self._highs.run()
        info = self._highs.getInfo()
        self.steps = max(0, info.simplex_iteration_count)
        if info.primal_solution_status != _FEASIBLE:
            return None
        return np.array(self._highs.getSolution().col_value)


def _low(limit: float | None) -> float:
    return -INFINITE if limit is None else float(limit)


def _high(limit: float | None) -> float:
    return INFINITE if limit is None else float(limit)
