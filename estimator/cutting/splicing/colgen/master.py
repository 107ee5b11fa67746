"""The linear program in which patterns and ways to make members are chosen together, on a lattice.

Rows: bars of each stock, splices, members of each kind, and for every size that patterns cut at least what ways use.
What is claimed is recomputed in whole numbers in `column_generation.py`.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from estimator.cutting.highs import COST_SIZE, LinearProgram
from estimator.cutting.splicing.position_graph.shortest_paths import MemberPath
from estimator.cutting.splicing.problem import SizesOnLattice, SplicingLimits

Pieces = tuple[tuple[int, int], ...]
"""(size, number) pairs, ascending."""

DEAR = 50 * COST_SIZE
"""What a bar, a splice or a piece that does not exist costs, in the program's units: fifty times the dearest bar."""


@dataclass(frozen=True, slots=True)
class SplicingOptimum:
    """An optimum: value (money), use of each column, bars of each stock and splices used, and all prices (money)."""

    value: float
    use: tuple[float, ...]
    bars: tuple[float, ...]
    splices: float
    size_price: dict[int, float]
    bar_price: tuple[float, ...]
    splice_price: float
    member_price: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class PatternColumn:
    """A bar of one stock cut into these pieces."""

    bar: int
    pieces: Pieces


@dataclass(frozen=True, slots=True)
class WayColumn:
    """Makes one of the members that a row asks for."""

    row: int


@dataclass(frozen=True, slots=True)
class PathColumn(WayColumn):
    """A member of one kind, which has its own row, made in one way."""

    way: MemberPath

    @property
    def kind(self) -> int:
        """The kind of member."""
        return self.row


@dataclass(frozen=True, slots=True)
class ExchangeColumn:
    """A piece of one size cut from bars and used as one of the next smaller size."""

    size: int
    smaller: int


class SplicingMaster:
    """Patterns and ways found so far; a size gets its row when it is first used.

    A piece so short that it takes no whole unit (outward) is left out of rows and patterns: it costs nothing there.
    """

    def __init__(self, on: SizesOnLattice, counts: Sequence[int] | None = None) -> None:
        """`counts`: how many members each of their rows asks for; by default those of the kinds."""
        self.on = on
        self.members = counts = on.problem.counts if counts is None else counts
        self.columns: list[PatternColumn | WayColumn | ExchangeColumn | None] = []
        self.row_of: dict[int, int] = {}
        self._sizes: list[int] = []
        self._seen: set[object] = set()
        problem = on.problem
        self.scale = COST_SIZE / max(1, problem.splice, *(bar.price for bar in problem.bars))
        self.lp = LinearProgram(grows=True)
        self._bars = len(problem.bars)
        self._kinds = self._bars + 1
        self._first = self._kinds + len(counts)
        for bar in problem.bars:
            self.lp.add_row(0, bar.available)
        self.lp.add_row(0, None)
        for count in counts:
            self.lp.add_row(count, count)
        for row in range(self._first):  # what cannot be done, at a forbidding price: so there always is an optimum
            for sign in (1.0, -1.0):
                self._add(DEAR, [row], [sign], None)
        for size in on.whole:
            if size:
                self.add_size(size)

    def add_size(self, size: int) -> int:
        """The row of a size; a new one comes with the patterns that cut nothing else."""
        row = self.row_of.get(size)
        if row is None:
            row = self.row_of[size] = self._first + len(self.row_of)
            self.lp.add_row(self.on.whole.get(size, 0), None)
            self._add(DEAR, [row], [1.0], None)
            for bar, room in enumerate(self.on.rooms):
                if size <= room:
                    self.add_pattern(bar, {size: room // size})
            at = bisect_left(self._sizes, size)
            for smaller, larger in pairwise([*self._sizes[max(0, at - 1) : at], size, *self._sizes[at : at + 1]]):
                rows = [self.row_of[smaller], self.row_of[larger]]
                self._add(0.0, rows, [1.0, -1.0], ExchangeColumn(larger, smaller))
            self._sizes.insert(at, size)
        return row

    def add_pattern(self, bar: int, pieces: Mapping[int, int]) -> bool:
        """Adds a pattern; says whether it was new."""
        column = PatternColumn(bar, tuple(sorted((size, n) for size, n in pieces.items() if size)))
        if column in self._seen or not column.pieces:
            return False
        self._seen.add(column)
        used = sum(size * n for size, n in column.pieces)
        cost = self.on.problem.bars[bar].price - self.on.value_left(bar, used)
        rows = [bar, *(self.add_size(size) for size, _ in column.pieces)]
        self._add(cost * self.scale, rows, [1.0, *(float(n) for _, n in column.pieces)], column)
        return True

    def add_way(self, kind: int, way: MemberPath) -> bool:
        """Adds a way to make a member of that kind; says whether it was new."""
        key = (kind, tuple(sorted(way.sizes)))
        if key in self._seen:
            return False
        self._seen.add(key)
        counts: dict[int, int] = {}
        for size in way.sizes:
            if size:
                counts[size] = counts.get(size, 0) + 1
        rows = [self._kinds + kind, *(self.add_size(size) for size in counts)]
        values = [1.0, *(-float(n) for n in counts.values())]
        splices = len(way.joints)
        if splices:
            rows.append(self._bars)
            values.append(float(splices))
        self._add(self.on.problem.splice * splices * self.scale, rows, values, PathColumn(kind, way))
        return True

    def _add(self, cost: float, rows: Sequence[int], values: Sequence[float], column: object) -> None:
        self.lp.add_column(cost, rows, values)
        self.columns.append(column)  # type: ignore[arg-type]

    def limit(self, limits: SplicingLimits) -> None:
        """Changes how many bars of each stock and how many splices are to be used at least and at most."""
        for row, (low, high) in enumerate(zip(limits.low, limits.high, strict=True)):
            self.lp.limit_row(row, low, high)

    def solve(self) -> SplicingOptimum | None:
        """The optimum over what is known."""
        optimum = self.lp.solve()
        if optimum is None:
            return None
        prices = [dual / self.scale for dual in optimum.duals]
        made = optimum.made
        return SplicingOptimum(
            optimum.value / self.scale,
            tuple(optimum.use),
            tuple(made[: self._bars]),
            made[self._bars],
            {size: prices[row] for size, row in self.row_of.items()},
            tuple(prices[: self._bars]),
            prices[self._bars],
            tuple(prices[self._kinds : self._first]),
        )
