"""Joints moved along their windows until bars hold pieces that are a little too long for them.

A proposal found on a lattice is right to half a unit a piece. Here its pieces are packed as if rounded lengths were the
truth; then a small linear program moves all joints within their windows so that every bar really holds what lies on it.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from estimator.cutting.branch_and_bound.solve import solve_cutting
from estimator.cutting.highs import LinearProgram
from estimator.cutting.records import CutSolution, CuttingProblem, Demand, Effort, Pattern, Saw, Stock
from estimator.cutting.runs.compositions import Composition, lengths_of
from estimator.cutting.runs.joint_rules import is_legal, windows_at
from estimator.cutting.splicing.position_graph.graph import Lattice
from estimator.cutting.splicing.problem import Proposal, SplicingProblem
from estimator.cutting.tuning import THOROUGH
from estimator.errors import Refused

Source = tuple[int, int]
"""A way's index and the number of the piece in it; for a whole piece -1 and its length."""


@dataclass(frozen=True, slots=True)
class Repaired:
    """A proposal whose joints were moved, bars (index in the problem) that hold its pieces, and pieces without a bar.

    `homeless` are the pieces (length to number) of bars that do not hold what lies on them.
    """

    proposal: Proposal
    patterns: tuple[Pattern, ...]
    homeless: Mapping[int, int]


@dataclass(slots=True)
class _Ways:
    """All ways of a proposal: kind, joints, times."""

    kind: list[int] = field(default_factory=list)
    joints: list[Composition] = field(default_factory=list)
    times: list[int] = field(default_factory=list)

    def add(self, kind: int, joints: Composition, times: int) -> None:
        self.kind.append(kind)
        self.joints.append(joints)
        self.times.append(times)


@dataclass(slots=True, eq=False)
class _Lot:
    """So many pieces of one source that have no bar yet."""

    source: Source
    left: int


@dataclass(frozen=True, slots=True)
class _Bars:
    """`count` bars of one stock with a source for every piece."""

    bar: int
    sources: tuple[Source, ...]
    count: int


def packed_as_rounded(
    problem: SplicingProblem, proposal: Proposal, lattice: Lattice, effort: Effort
) -> CutSolution | None:
    """The proposal's pieces cut as if their rounded lengths were the truth; None if the bars do not suffice."""
    sizes: dict[int, int] = {}
    for length, count in problem.whole:
        sizes[lattice.size(length)] = sizes.get(lattice.size(length), 0) + count
    for member, ways in zip(problem.members, proposal.chosen, strict=True):
        for joints, times in ways:
            for length in lengths_of(member, joints):
                sizes[lattice.size(length)] = sizes.get(lattice.size(length), 0) + times
    saw = Saw()
    if problem.values:
        least = -(-((problem.saw.reusable_length or 0) + problem.saw.kerf) // lattice.unit)
        saw = Saw(0, 0, least, problem.saw.offcut_value_per_m * lattice.unit)
    stocks = tuple(
        Stock(str(k), bar.room // lattice.unit, bar.price, bar.available) for k, bar in enumerate(problem.bars)
    )
    demands = tuple(Demand(size, count) for size, count in sorted(sizes.items(), reverse=True))
    try:
        return solve_cutting(CuttingProblem(stocks, demands, saw), effort)
    except Refused:
        return None


def repaired(problem: SplicingProblem, proposal: Proposal, lattice: Lattice, packed: CutSolution) -> Repaired | None:
    """The packed proposal with joints at which the bars hold its pieces as far as can be.

    First every way keeps one set of joints however often it is made; if that is not enough, each time has its own.
    None where the windows leave no places at all.
    """
    ways = _Ways()
    for kind, chosen in enumerate(proposal.chosen):
        for joints, times in chosen:
            ways.add(kind, joints, times)
    found = _slid(problem, ways, lattice, packed)
    if (found is None or found.homeless) and sum(ways.times) <= THOROUGH.apart:
        apart = _Ways()
        for kind, joints, times in zip(ways.kind, ways.joints, ways.times, strict=True):
            for _ in range(times):
                apart.add(kind, joints, 1)
        found = _slid(problem, apart, lattice, packed)
    return found


def _slid(problem: SplicingProblem, ways: _Ways, lattice: Lattice, packed: CutSolution) -> Repaired | None:
    bars = _assigned(problem, ways, lattice, packed.patterns)
    joints = _moved(problem, ways, bars)
    if joints is None:
        return None
    chosen: list[dict[Composition, int]] = [{} for _ in problem.members]
    for kind, places, times in zip(ways.kind, joints, ways.times, strict=True):
        chosen[kind][places] = chosen[kind].get(places, 0) + times
    proposal = Proposal(tuple(tuple(sorted(each.items())) for each in chosen))
    return Repaired(proposal, *_held(problem, ways, joints, bars))


def _held(
    problem: SplicingProblem, ways: _Ways, joints: Sequence[Composition], bars: Sequence[_Bars]
) -> tuple[tuple[Pattern, ...], Mapping[int, int]]:
    """The bars that hold their pieces, and the pieces of those that do not."""
    pieces = [lengths_of(problem.members[kind], places) for kind, places in zip(ways.kind, joints, strict=True)]
    patterns = []
    homeless: dict[int, int] = {}
    for group in bars:
        cut = [number if way < 0 else pieces[way][number] for way, number in group.sources]
        if sum(cut) + problem.saw.kerf * len(cut) <= problem.bars[group.bar].room:
            patterns.append(Pattern(group.bar, group.count, tuple(sorted(cut, reverse=True))))
            continue
        for length in cut:
            homeless[length] = homeless.get(length, 0) + group.count
    return _joined(patterns), homeless


def _joined(patterns: Sequence[Pattern]) -> tuple[Pattern, ...]:
    counts: dict[tuple[int, tuple[int, ...]], int] = {}
    for pattern in patterns:
        key = (pattern.stock, pattern.pieces)
        counts[key] = counts.get(key, 0) + pattern.count
    return tuple(Pattern(stock, count, pieces) for (stock, pieces), count in sorted(counts.items(), reverse=True))


def _assigned(problem: SplicingProblem, ways: _Ways, lattice: Lattice, patterns: Sequence[Pattern]) -> list[_Bars]:
    """A source for every piece of every pattern: within one size the longest and the shortest go side by side."""
    waiting: dict[int, list[tuple[int, Source, int]]] = {}
    for length, count in problem.whole:
        waiting.setdefault(lattice.size(length), []).append((length, (-1, length), count))
    for way, (kind, joints, times) in enumerate(zip(ways.kind, ways.joints, ways.times, strict=True)):
        for number, length in enumerate(lengths_of(problem.members[kind], joints)):
            waiting.setdefault(lattice.size(length), []).append((length, (way, number), times))
    queues = {
        size: deque(_Lot(source, n) for _, source, n in sorted(found, reverse=True)) for size, found in waiting.items()
    }
    bars: list[_Bars] = []
    for pattern in patterns:
        left = pattern.count
        while left:
            group = _next_group(pattern, queues, left)
            bars.append(group)
            left -= group.count
    return bars


def _next_group(pattern: Pattern, queues: dict[int, deque[_Lot]], left: int) -> _Bars:
    """As many bars of a pattern as can have the same sources."""
    taken: list[_Lot] = []
    for place, size in enumerate(pattern.pieces):
        queue = queues[size]
        lots = queue if place % 2 == 0 else reversed(queue)
        taken.append(next(lot for lot in lots if _times(lot, taken) < lot.left))
    count = min(left, *(lot.left // _times(lot, taken) for lot in taken))
    for lot, size in zip(taken, pattern.pieces, strict=True):
        lot.left -= count
        if not lot.left:
            queues[size].remove(lot)
    return _Bars(pattern.stock, tuple(lot.source for lot in taken), count)


def _times(lot: _Lot, taken: Sequence[_Lot]) -> int:
    return sum(lot is other for other in taken)


def _moved(problem: SplicingProblem, ways: _Ways, bars: Sequence[_Bars]) -> list[Composition] | None:
    """Joints of every way at which what bars cannot hold is least, and what is left on bars with an off-cut is most.

    Where whole tenths of a mm would break a rule that fractions keep, a way stays as it was.
    """
    program = LinearProgram(presolved=True)
    columns = [_add_way(program, problem, kind, joints) for kind, joints in zip(ways.kind, ways.joints, strict=True)]
    costs: dict[int, float] = {}
    for group in bars:
        _add_bars((program, costs), problem, ways, columns, group)
    for column, cost in costs.items():
        program.set_cost(column, cost)
    optimum = program.solve()
    if optimum is None:
        return None
    found = optimum.use
    moved: list[Composition] = []
    for kind, joints, places in zip(ways.kind, ways.joints, columns, strict=True):
        whole = tuple(round(found[column]) for column in places)
        moved.append(whole if is_legal(problem.members[kind], whole, problem.longest) else joints)
    return moved


def _add_bars(
    written: tuple[LinearProgram, dict[int, float]],
    problem: SplicingProblem,
    ways: _Ways,
    columns: Sequence[Sequence[int]],
    group: _Bars,
) -> None:
    """One row: the pieces' length, written by the joints at their ends, within the bar's room; and joints' costs."""
    program, costs = written
    terms: dict[int, float] = {}
    room = problem.bars[group.bar].room - problem.saw.kerf * len(group.sources)
    left = room - problem.saw.kerf
    for way, number in group.sources:
        if way < 0:
            room -= number
            left -= number
            continue
        member = problem.members[ways.kind[way]]
        left -= lengths_of(member, ways.joints[way])[number]
        if number == len(columns[way]):
            room -= member.length
        ends = ((number, 1.0), (number - 1, -1.0))
        for at, sign in ends:
            if 0 <= at < len(columns[way]):
                terms[columns[way][at]] = terms.get(columns[way][at], 0.0) + sign
    if problem.values and left >= (problem.saw.reusable_length or 0):
        for column, sign in terms.items():
            costs[column] = costs.get(column, 0.0) + sign * group.count
    if terms:
        over = program.add_column(THOROUGH.too_long * group.count, [], [])
        program.add_row(None, room, [*terms, over], [*terms.values(), -1.0])


def _add_way(program: LinearProgram, problem: SplicingProblem, kind: int, joints: Composition) -> list[int]:
    """The joints of one way, each within its window; no piece shorter than the least or longer than the longest."""
    member = problem.members[kind]
    windows = windows_at(member, joints) or ()
    columns = [program.add_column(0.0, [], [], window.low, window.high) for window in windows]
    least, longest = float(max(1, member.min_piece)), float(problem.longest)
    for before, after in pairwise(columns):
        program.add_row(least, longest, [after, before], [1.0, -1.0])
    if columns:
        program.add_row(least, longest, [columns[0]], [1.0])
        program.add_row(member.length - longest, member.length - least, [columns[-1]], [1.0])
    return columns
