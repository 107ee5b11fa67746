"""The pure solver: pieces and bars in, patterns with a proven bound out."""

from __future__ import annotations

from estimator.cutting.branch_and_bound.search import find_plan
from estimator.cutting.heuristics.greedy import trimmed
from estimator.cutting.instance import Instance, instance_of
from estimator.cutting.records import CutSolution, CuttingProblem, Effort, Pattern
from estimator.errors import Refused
from estimator.sentences import Sentence, figure, say


def solve_cutting(problem: CuttingProblem, effort: Effort | None = None) -> CutSolution:
    """Cuts every piece from the bars on offer at the least cost found, with the proven lower bound beside it.

    Args:
        problem: pieces, bars and saw; lengths in tenths of a mm, prices in the smallest unit of money.
        effort: how far to search; by default a fixed amount of work, so that the same input gives the same plan.

    Raises:
        Refused: if a piece is longer than every bar, or the bars on hand cannot give all pieces.

    Source: the cutting stock problem, Gilmore and Gomory (1961); the search is ours.

    >>> from estimator.cutting.records import Demand, Stock
    >>> found = solve_cutting(CuttingProblem((Stock("R6", 60_000, 2150),), (Demand(20_000, 4), Demand(30_000, 2))))
    >>> found.cost, found.proven_optimal, [pattern.pieces for pattern in found.patterns]
    (6450, True, [(30000, 30000), (20000, 20000, 20000), (20000,)])

    """
    instance = instance_of(problem)
    if not instance.sizes:
        return CutSolution((), 0, 0)
    outcome = find_plan(instance, effort or Effort())
    if outcome is None or any(not instance.bars[bar].real for bar, _ in outcome.plan):
        raise Refused(_too_few(instance))
    plan = trimmed(instance, outcome.plan, instance.wanted)
    patterns = [
        Pattern(bar, count, tuple(instance.lengths[i] for i, n in pieces for _ in range(n)))
        for (bar, pieces), count in plan.items()
    ]
    patterns.sort(key=lambda p: (-instance.bars[p.stock].length, p.stock, -sum(p.pieces), tuple(-x for x in p.pieces)))
    cost = sum(instance.cost(column) * count for column, count in plan.items())
    return CutSolution(tuple(patterns), cost, min(outcome.bound, cost), outcome.work)


def _too_few(instance: Instance) -> Sentence:
    total = sum(length * n for length, n in zip(instance.lengths, instance.wanted, strict=True))
    have = sum(bar.length * (bar.available or 0) for bar in instance.bars if bar.real)
    return say(
        "The bars on hand do not suffice: {count} pieces of {total} in all are wanted, "
        "and the bars that are limited in number hold {room}",
        count=sum(instance.wanted),
        total=figure(total / 10, "g", " mm", "length"),
        room=figure(have / 10, "g", " mm", "length"),
    )
