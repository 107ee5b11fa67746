"""Open branches of the search over numbers of bars."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from heapq import heappush
from operator import mul

from estimator.cutting.branch_and_bound.feasibility import FeasibilityProgram
from estimator.cutting.colgen.bounds import StockLimits
from estimator.cutting.colgen.relaxation import Relaxation, SearchState


@dataclass(order=True, slots=True)
class SearchNode:
    """A part of the search: its bound, how hard it was tried already, and the limits that define it.

    `points` stands for all numbers of bars that cost at least the bound, to be gone through one by one; `late` is how
    often one of them was put off; `round` how often all methods had their turn.
    """

    late: int = field(default=0, kw_only=True)
    bound: int
    level: int
    number: int
    limits: StockLimits = field(compare=False)
    points: bool = field(default=False, compare=False)
    round: int = field(default=0, compare=False)


@dataclass(slots=True)
class OpenNodes:
    """The open branches, the bounds of those given up, and the root's proof."""

    heap: list[SearchNode]
    given_up: list[SearchNode] = field(default_factory=list)
    number: int = 1
    root: Relaxation | None = None
    points: FeasibilityProgram | None = None

    def bound(self, cost: int) -> int:
        """What is proven of the whole problem."""
        return min([cost, *(branch.bound for branch in self.heap), *(branch.bound for branch in self.given_up)])

    def push(self, branches: Iterable[SearchNode]) -> None:
        """Opens branches, numbered in their order."""
        for branch in branches:
            heappush(self.heap, replace(branch, number=self.number))
            self.number += 1

    def reopen(self) -> bool:
        """Opens the branches given up once more, for another round; says if there were any."""
        again, self.given_up = self.given_up, []
        self.push(replace(branch, level=0, round=branch.round + 1) for branch in again)
        return bool(again)

    def note(self, state: SearchState, relaxed: Relaxation) -> None:
        """Keeps what the prices of a relaxation prove about numbers of bars."""
        if self.points is not None and relaxed.prices:
            self.points.counts.add(relaxed.worth, sum(map(mul, state.instance.wanted, relaxed.prices)))


def split_at(branch: SearchNode, bar: int, at: int) -> list[SearchNode]:
    """At most `at` bars of that stock, or at least one more."""
    low, high = branch.limits.low, branch.limits.high
    return [
        SearchNode(branch.bound, 0, 0, StockLimits(low, (*high[:bar], at, *high[bar + 1 :]))),
        SearchNode(branch.bound, 0, 0, StockLimits((*low[:bar], at + 1, *low[bar + 1 :]), high)),
    ]


def around(branch: SearchNode, counts: list[int]) -> list[SearchNode]:
    """The branch without the one point `counts`, in parts that do not overlap."""
    low, high = list(branch.limits.low), list(branch.limits.high)
    if len(counts) == 1:
        low = counts  # fewer bars than that contradict the bound already
    parts = []
    for bar, count in enumerate(counts):
        if count > low[bar]:
            below = [*high[:bar], count - 1, *high[bar + 1 :]]
            parts.append(SearchNode(branch.bound, 0, 0, StockLimits(tuple(low), tuple(below))))
        most = high[bar]
        if most is None or count < most:
            above = [*low[:bar], count + 1, *low[bar + 1 :]]
            parts.append(SearchNode(branch.bound, 0, 0, StockLimits(tuple(above), tuple(high))))
        low[bar], high[bar] = count, count
    return parts
