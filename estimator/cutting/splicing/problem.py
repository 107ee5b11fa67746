"""Whole pieces, members to be spliced, and bars: the problem in which patterns and compositions are chosen together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from estimator.cutting.instance import Bar, offcut_value
from estimator.cutting.records import Saw
from estimator.cutting.runs.compositions import Composition
from estimator.cutting.runs.joint_rules import Member
from estimator.cutting.splicing.position_graph.graph import Ints, Lattice, PositionGraph, position_graph
from estimator.cutting.splicing.position_graph.shortest_paths import PositionGraphs


@dataclass(frozen=True, slots=True)
class SplicingProblem:
    """Bars (room in tenths of a mm, kerf included), whole pieces (length, count), members of each kind and counts.

    `splice` is the price of one rigid splice, `longest` the longest piece that any bar gives, `fewest` the least
    number of splices of each kind.
    """

    bars: tuple[Bar, ...]
    saw: Saw
    whole: tuple[tuple[int, int], ...]
    members: tuple[Member, ...]
    counts: tuple[int, ...]
    splice: int
    longest: int
    fewest: tuple[int, ...] = ()

    @property
    def values(self) -> bool:
        """Whether off-cuts are worth anything."""
        return self.saw.reusable_length is not None and self.saw.offcut_value_per_m > 0


@dataclass(frozen=True, slots=True)
class SplicingLimits:
    """How many bars of each stock, and last how many splices, at least and at most (None: no limit)."""

    low: tuple[int, ...]
    high: tuple[int | None, ...]


@dataclass(frozen=True, slots=True)
class Proposal:
    """Per kind of member (composition, times) pairs whose times add up to the kind's count."""

    chosen: tuple[tuple[tuple[Composition, int], ...], ...]


class SizesOnLattice:
    """Bars and whole pieces in whole units of a lattice."""

    def __init__(self, problem: SplicingProblem, lattice: Lattice) -> None:
        self.problem = problem
        self.lattice = lattice
        self.rooms = [bar.room // lattice.unit for bar in problem.bars]
        self.whole: dict[int, float] = {}
        self.left: list[Ints] = [self.values_left(bar, room) for bar, room in enumerate(self.rooms)]

    def values_left(self, bar: int, room: int) -> Ints:
        """What the off-cut is worth for every number of units used, up to the room."""
        return np.array([self.value_left(bar, used) for used in range(room + 1)], dtype=np.int64)

    def value_left(self, bar: int, used: int) -> int:
        """What the off-cut is worth beside pieces of that many units: outward at least, inward at most the truth."""
        if not self.problem.values:
            return 0
        offer = self.problem.bars[bar]
        left = offer.room - used * self.lattice.unit - self.problem.saw.kerf
        return offcut_value(self.problem.saw, offer.price, max(0, left))


class ProblemOnLattice(SizesOnLattice):
    """The problem in whole units of a lattice, members as graphs of the places where joints may stand."""

    def __init__(self, problem: SplicingProblem, lattice: Lattice) -> None:
        super().__init__(problem, lattice)
        for length, count in problem.whole:
            size = lattice.size(length)
            self.whole[size] = self.whole.get(size, 0) + count
        self.webs: list[PositionGraph] = [
            position_graph(member, lattice, few) for member, few in zip(problem.members, problem.fewest, strict=True)
        ]
        self.graphs = PositionGraphs(self.webs)

    @property
    def cells(self) -> int:
        """How many pairs of nodes one round of pricing looks at."""
        return sum(web.cells for web in self.webs)


def splicing_limits(problem: SplicingProblem) -> SplicingLimits:
    """The limits that the stock on hand and the fewest splices set."""
    splices = sum(few * count for few, count in zip(problem.fewest, problem.counts, strict=True))
    return SplicingLimits((*(0 for _ in problem.bars), splices), (*(bar.available for bar in problem.bars), None))
