"""What given numbers of bars and splices cost at least: lengths alone, in exact whole numbers."""

from __future__ import annotations

from estimator.cutting.records import TENTHS_PER_M
from estimator.cutting.splicing.problem import SplicingLimits, SplicingProblem

IMPOSSIBLE = 1 << 62


def fixed_cost(problem: SplicingProblem, fixed: SplicingLimits) -> int:
    """The least cost of any plan with just these numbers of bars and splices; IMPOSSIBLE where lengths forbid it.

    All that is left over comes to so much length; its value is highest in as few off-cuts as bars can hold, each
    a kerf shorter than what is left of its bar.
    """
    *bars, splices = fixed.low
    kerf = problem.saw.kerf
    if splices < sum(few * count for few, count in zip(problem.fewest, problem.counts, strict=True)):
        return IMPOSSIBLE
    need = sum((length + kerf) * count for length, count in problem.whole)
    need += sum((m.length + kerf) * n for m, n in zip(problem.members, problem.counts, strict=True))
    need += splices * kerf
    left = sum(bar.room * n for bar, n in zip(problem.bars, bars, strict=True)) - need
    if left < 0:
        return IMPOSSIBLE
    cost = sum(bar.price * n for bar, n in zip(problem.bars, bars, strict=True)) + problem.splice * splices
    if not problem.values:
        return cost
    least = problem.saw.reusable_length or 0
    if left - kerf < max(1, least):
        return cost
    widest = max(bar.room for bar, n in zip(problem.bars, bars, strict=True) if n)
    pieces = max(1, -(-left // widest))
    value = (left - pieces * kerf) * problem.saw.offcut_value_per_m // TENTHS_PER_M
    return max(0, cost - value)
