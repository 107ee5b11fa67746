"""Whether bars in given whole numbers can give all pieces, as far as fractions of patterns tell.

Patterns cost nothing here; what costs is bars beyond the given numbers. As soon as a set of patterns needs none, the
numbers are possible; as soon as prices prove that the bars are worth less than the pieces pay, they are not.
Source: the first phase of the simplex method, with column generation; proofs in whole numbers (`stock_counts.py`).
"""

from __future__ import annotations

from collections.abc import Sequence

from estimator.cutting.branch_and_bound.stock_counts import Counts, StockCounts
from estimator.cutting.colgen.bounds import StockLimits, whole_prices
from estimator.cutting.colgen.master import in_rows, single_pieces
from estimator.cutting.colgen.relaxation import SearchState
from estimator.cutting.highs import COST_SIZE, LinearProgram
from estimator.cutting.instance import Column
from estimator.cutting.tuning import BRANCHING, COLUMNS, WORK

LITTLE = 1e-7


class FeasibilityProgram:
    """The program for all points; the patterns of one help with the next."""

    def __init__(self, state: SearchState, counts: StockCounts) -> None:
        self._state = state
        self.counts = counts
        self._columns: list[Column] = []
        self._known: set[Column] = set()
        self._prices = [max(1, bar.price) for bar in state.instance.bars]
        self._scale = COST_SIZE / max(self._prices)
        self._bars = len(self._prices)
        self._lp = LinearProgram(grows=True)
        for _ in self._prices:
            self._lp.add_row(None, 0)
        for count in state.instance.wanted:
            self._lp.add_row(count, None)
        for bar, price in enumerate(self._prices):
            self._lp.add_column(price * self._scale, [bar], [-1.0])
        self._add(single_pieces(state.instance))

    def possible(self, counts: Counts) -> bool:
        """Whether patterns were found for these numbers of bars, or at least nothing was proven against them.

        The patterns found go to the search, what is proven to the counts.
        """
        self._add(self._state.master.columns)
        for bar, high in enumerate(counts):
            self._lp.limit_row(bar, None, high)
        for _ in range(BRANCHING.feasibility_rounds):
            before = len(self._columns)
            missing = self._round()
            if missing is None or missing <= LITTLE:
                break
            if not self.counts.possible(StockLimits(counts, counts)):
                return False
            if len(self._columns) == before or self._state.budget.spent():
                break
        self._state.master.add(self._columns)
        return True

    def _round(self) -> float | None:
        """Solves the program and adds patterns; how many bars are missing (None where it cannot be told)."""
        optimum = self._lp.solve()
        effort = self._lp.steps * (self._bars + len(self._state.instance.sizes))
        if optimum is None:
            return None
        state, instance = self._state, self._state.instance
        missing = sum(optimum.use[: self._bars])
        duals = optimum.duals
        work = len(instance.sizes) * state.knapsack.points // WORK.knapsack_points + effort // WORK.master_steps
        state.budget.spend(1 + work)
        if missing > LITTLE:
            paid = [dual / self._scale for dual in duals[self._bars :]]
            prices = whole_prices(instance, paid, state.unit)
            charge = [int(-dual / self._scale * state.unit) for dual in duals[: self._bars]]
            best = state.knapsack.price(prices, instance.wanted, charge, state.unit, COLUMNS.a_round)
            self.counts.add(best.worth, sum(n * price for n, price in zip(instance.wanted, prices, strict=True)))
            self._add(best.columns)
        return missing

    def _add(self, columns: Sequence[Column]) -> None:
        for column in columns:
            if column in self._known:
                continue
            self._known.add(column)
            self._columns.append(column)
            self._lp.add_column(0.0, *in_rows(column, self._bars))
