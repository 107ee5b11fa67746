"""Which costs whole numbers of bars can have at all: what a bound is rounded up to.

A plan's bars cost a sum of bar prices, and such a sum counts only if the same bars offer room enough for the pieces
(and pay enough, under prices that prove a bound). With few bars the costs in question lie far apart.
Source: unbounded and bounded knapsack by doubling; common practice.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from estimator.cutting.colgen.bounds import TOP_BITS, StockLimits, round_up
from estimator.cutting.instance import Instance
from estimator.cutting.tuning import COLUMNS

NONE = -(1 << 62)


class PossibleCosts:
    """The costs that can occur, from nothing to the best plan's; beyond that, and where too many, whole steps."""

    def __init__(self, instance: Instance, limits: StockLimits, dearest: int) -> None:
        self._instance = instance
        self._limits = limits
        self._step = instance.step()
        self._able: NDArray[np.bool_] | None = None
        self._costs: NDArray[np.int64] = np.array([], dtype=np.int64)
        cells = dearest // self._step + 1
        if (
            not instance.values
            and len(instance.bars) > 1
            and cells <= COLUMNS.most_costs
            and all(bar.price for bar in instance.bars)
        ):
            self._able = np.ones(cells, dtype=np.bool_)
            room = sum(size * n for size, n in zip(instance.sizes, instance.wanted, strict=True))
            self.sharpen([bar.room for bar in instance.bars], room)

    def sharpen(self, worth: Sequence[int], need: int) -> None:
        """Leaves out costs at which no bars are worth `need` in all."""
        if self._able is None:
            return
        worth, need = self._kept_small(worth, need)
        best = np.full(len(self._able), NONE, dtype=np.int64)
        best[0] = 0
        for bar, value, high in zip(self._instance.bars, worth, self._limits.high, strict=True):
            shift = bar.price // self._step
            left = len(best) // shift if high is None else min(high, len(best) // shift)
            copies = 1
            while left > 0:
                n = min(copies, left)
                if n * shift >= len(best):
                    break
                grown = best[: len(best) - n * shift] + n * value
                best[n * shift :] = np.maximum(best[n * shift :], grown)
                left -= n
                copies *= 2
        self._able &= best >= need
        self._costs = np.flatnonzero(self._able) * self._step

    def _kept_small(self, worth: Sequence[int], need: int) -> tuple[list[int], int]:
        """The same question in coarser units where its sums would not fit 64 bits; rounded so that none is left out."""
        dearest = self._step * (0 if self._able is None else len(self._able))
        bars = sum(dearest // bar.price + 1 for bar in self._instance.bars)
        spare = max(0, (bars * max(1, *worth, 1)).bit_length() - TOP_BITS)
        return [-(-value >> spare) for value in worth], need >> spare

    def up(self, value: int) -> int:
        """The least cost that can occur and is not below `value`.

        >>> from estimator.cutting.colgen.bounds import open_limits
        >>> from estimator.cutting.records import CuttingProblem, Demand, Stock
        >>> from estimator.cutting.instance import instance_of
        >>> instance = instance_of(CuttingProblem((Stock("A", 1000, 70), Stock("B", 1500, 100)), (Demand(450, 9),)))
        >>> costs = PossibleCosts(instance, open_limits(instance), 340)
        >>> costs.up(301), costs.up(101)
        (310, 300)
        """
        if self._able is not None and value <= (len(self._able) - 1) * self._step:
            at = int(np.searchsorted(self._costs, value, side="left"))
            return int(self._costs[at]) if at < len(self._costs) else len(self._able) * self._step
        return round_up(value, self._step)

    def below(self, value: int) -> int:
        """The greatest cost that can occur and is below `value`; -1 if there is none."""
        if self._able is not None and value <= len(self._able) * self._step:
            at = int(np.searchsorted(self._costs, value, side="left"))
            return int(self._costs[at - 1]) if at else -1
        return value - self._step
