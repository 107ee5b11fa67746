"""The linear program in which patterns and compositions are chosen together.

Rows: bars of each stock, members of each kind, and for every size that patterns cut at least what compositions use.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import highspy
import numpy as np

from estimator.cutting.compositions import Composition
from estimator.cutting.master import COST_SIZE, INFINITE, quiet_highs
from estimator.cutting.shop import Column, Shop

FEASIBLE = 2
MOST_WHOLE_COLUMNS = 400


@dataclass(frozen=True, slots=True)
class JointShares:
    """An optimum: value, use of each composition, price of each size, of each bar, of each kind of member."""

    value: float
    use: tuple[float, ...]
    size_price: tuple[float, ...]
    bar_price: tuple[float, ...]
    member_price: tuple[float, ...]


class JointMaster:
    """Patterns and compositions found so far; sizes are added as compositions need them."""

    def __init__(self, shop: Shop, counts: Sequence[int], splice: int) -> None:
        self.shop = replace(shop, sizes=(), wanted=(), lengths=())
        self.compositions: list[tuple[int, Composition]] = []
        self._index: dict[int, int] = {}
        self._patterns: list[Column] = []
        self._kinds: list[bool] = []
        self._seen: set[object] = set()
        self._splice = splice
        self._scale = COST_SIZE / max(1, splice, *(bar.price for bar in shop.bars))
        self._lp = quiet_highs()
        self._first = len(shop.bars) + len(counts)
        none_i, none_v = np.array([], dtype=np.int32), np.array([], dtype=np.float64)
        for bar in shop.bars:
            self._lp.addRow(0.0, INFINITE if bar.available is None else float(bar.available), 0, none_i, none_v)
        for count in counts:
            self._lp.addRow(float(count), float(count), 0, none_i, none_v)
        for size, wanted in zip(shop.sizes, shop.wanted, strict=True):
            self.add_size(size, wanted)

    def add_size(self, size: int, wanted: int = 0) -> int:
        """The index of a size; it gets a row of its own when it is new, and a pattern that cuts nothing else."""
        at = self._index.get(size)
        if at is None:
            at = self._index[size] = len(self._index)
            shop = self.shop
            self.shop = replace(shop, sizes=(*shop.sizes, size), wanted=(*shop.wanted, wanted), lengths=())
            self._lp.addRow(float(wanted), INFINITE, 0, np.array([], dtype=np.int32), np.array([], dtype=np.float64))
            for bar, stock in enumerate(shop.bars):
                if size <= stock.room:
                    self.add_pattern((bar, ((at, stock.room // size),)))
        return at

    def add_pattern(self, column: Column) -> bool:
        """Adds a pattern; says whether it was new."""
        if column in self._seen or not column[1]:
            return False
        self._seen.add(column)
        self._patterns.append(column)
        self._kinds.append(False)
        rows = [column[0], *(self._first + i for i, _ in column[1])]
        self._add(self.shop.cost(column), rows, [1, *(n for _, n in column[1])])
        return True

    def add_composition(self, kind: int, joints: Composition, sizes: Sequence[int]) -> bool:
        """Adds a way to make a member of that kind; says whether it was new."""
        if (kind, joints, "joints") in self._seen:
            return False
        self._seen.add((kind, joints, "joints"))
        counts: dict[int, int] = {}
        for size in sizes:
            at = self.add_size(size)
            counts[at] = counts.get(at, 0) + 1
        self.compositions.append((kind, joints))
        self._kinds.append(True)
        rows = [len(self.shop.bars) + kind, *(self._first + i for i in counts)]
        self._add(self._splice * len(joints), rows, [1, *(-n for n in counts.values())])
        return True

    def _add(self, cost: int, rows: list[int], values: list[int]) -> None:
        index = np.array(rows, dtype=np.int32)
        self._lp.addCol(cost * self._scale, 0.0, INFINITE, len(rows), index, np.array(values, dtype=np.float64))

    def solve(self) -> JointShares | None:
        """The optimum over what is known; None if the bars run out."""
        self._lp.run()
        if self._lp.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        solution = self._lp.getSolution()
        prices = [dual / self._scale for dual in solution.row_dual]
        bars = len(self.shop.bars)
        use = solution.col_value
        return JointShares(
            self._lp.getInfo().objective_function_value / self._scale,
            tuple(value for value, kind in zip(use, self._kinds, strict=True) if kind),
            tuple(prices[self._first :]),
            tuple(prices[:bars]),
            tuple(prices[bars : self._first]),
        )

    def whole(self, nodes: int, room: float) -> tuple[float, ...] | None:
        """Use of each composition in a whole-number optimum over the columns that can matter, within so many nodes.

        After `solve`: a column whose reduced price exceeds `room` (money) can be in no plan that much dearer than the
        program's value, so it is left out.
        """
        duals = self._lp.getSolution().col_dual
        kept = [k for k, dual in enumerate(duals) if dual <= room * self._scale + 1e-6]
        if len(kept) > MOST_WHOLE_COLUMNS:
            kept = sorted(sorted(kept, key=lambda k: (duals[k], k))[:MOST_WHOLE_COLUMNS])
        count = len(duals)
        upper = np.zeros(count)
        upper[kept] = INFINITE
        every = np.arange(count, dtype=np.int32)
        model = quiet_highs()
        model.passModel(self._lp.getModel())
        model.setOptionValue("presolve", "on")
        model.setOptionValue("mip_max_nodes", nodes)
        model.setOptionValue("mip_rel_gap", 1e-6)
        model.changeColsBounds(count, every, np.zeros(count), upper)
        model.changeColsIntegrality(count, every, np.full(count, 1, dtype=np.uint8))
        model.run()
        if model.getInfo().primal_solution_status != FEASIBLE:
            return None
        use = model.getSolution().col_value
        return tuple(value for value, kind in zip(use, self._kinds, strict=True) if kind)
