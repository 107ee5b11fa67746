"""Many kinds of members: a sample finds prices, one pass over all what these prove and which ways they like.

Prices under which no bar is overpaid bound every plan, whoever found them; so those of a problem with fewer kinds do.
Kinds are gone through some at a time, so that memory is bounded.
Source: Lagrangian duality, as in `column_generation.py`; the sample is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from estimator.cutting.runs.compositions import Composition
from estimator.cutting.splicing.benders_cuts import BendersCut
from estimator.cutting.splicing.column_generation import DualPrices
from estimator.cutting.splicing.position_graph import Lattice, position_graph
from estimator.cutting.splicing.problem import SplicingProblem
from estimator.cutting.splicing.shortest_paths import DEAREST, PositionGraphs, PricedMembers

KINDS_AT_ONCE = 100
LIKED = 2
"""So many ways of each kind are taken over, the cheapest ones at the prices."""


def sample(problem: SplicingProblem, kinds: int) -> SplicingProblem:
    """The problem with so many of its kinds, evenly taken in the order of their lengths, in the numbers of all."""
    order = sorted(range(len(problem.members)), key=lambda k: (problem.members[k].length, k))
    parts = [order[len(order) * n // kinds : len(order) * (n + 1) // kinds] for n in range(kinds)]
    taken = [part[len(part) // 2] for part in parts]
    return replace(
        problem,
        members=tuple(problem.members[k] for k in taken),
        counts=tuple(sum(problem.counts[k] for k in part) for part in parts),
        fewest=tuple(problem.fewest[k] for k in taken),
    )


def price_bound(problem: SplicingProblem, lattice: Lattice, point: DualPrices, unit: int) -> BendersCut:
    """The cut over numbers of bars and splices that prices prove; `unit` is parts of money, as in the prices."""
    total = sum(count * int(point.by_size[lattice.size(length)]) for length, count in problem.whole)
    for begin, found in _priced(problem, lattice, point, 1):
        counts = problem.counts[begin : begin + KINDS_AT_ONCE]
        total += sum(count * found.least(kind) for kind, count in enumerate(counts))
    own = (*point.own, problem.splice * unit - point.splice)
    return BendersCut(total, tuple(each - over for each, over in zip(own, (*point.over, 0), strict=True)))


def liked_ways(problem: SplicingProblem, lattice: Lattice, point: DualPrices) -> list[tuple[int, Composition]]:
    """Kind and joints of the ways that are cheapest at the prices."""
    return [
        (begin + kind, way.joints)
        for begin, found in _priced(problem, lattice, point, LIKED)
        for kind in range(len(problem.members[begin : begin + KINDS_AT_ONCE]))
        for way in found.ways(kind, DEAREST)
    ]


def _priced(
    problem: SplicingProblem, lattice: Lattice, point: DualPrices, most: int
) -> Iterator[tuple[int, PricedMembers]]:
    for begin in range(0, len(problem.members), KINDS_AT_ONCE):
        here = slice(begin, begin + KINDS_AT_ONCE)
        pairs = zip(problem.members[here], problem.fewest[here], strict=True)
        graphs = PositionGraphs([position_graph(member, lattice, few) for member, few in pairs])
        yield begin, graphs.priced(point.by_size, point.splice, most)
