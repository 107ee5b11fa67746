"""A few members taken out of a plan and put back the cheapest way, again and again: good plans for small jobs.

Where members are few, whole bars decide more than the prices of a linear program can tell. Here a plan is a heap of
bars with what lies on them. Some members are taken out, and some whole pieces; each member is put back along a
shortest path over the places where its joints may stand, where a piece costs nothing if room is left for it on a bar,
else a bar. What is left of new bars may be credited in part, or a bar be parted between two pieces, so that plans with
several pieces on a bar come up as well. Plans that cost little more are followed for a while. Nothing is proven here,
and what off-cuts are worth is not looked at: a plan's true cost is found where it is cut out.
Source: ruin and recreate, Schrimpf, Schneider, Stamm-Wilbrandt and Dueck, Journal of Computational Physics 159 (2000)
139; threshold accepting, Dueck and Scheuer, the same 90 (1990) 161; numbers of chance from a linear congruence (Knuth,
The Art of Computer Programming 2, 3.3.4), so that they are the same everywhere.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from estimator.cutting.records import Pattern
from estimator.cutting.runs.compositions import Composition, lengths_of
from estimator.cutting.splicing.position_graph.graph import Ints
from estimator.cutting.splicing.problem import Proposal, SplicingProblem
from estimator.cutting.splicing.quick.joint_nodes import JointNodes
from estimator.cutting.splicing.quick.length_prices import DEAREST, NO_WAY
from estimator.cutting.tuning import RECREATION


@dataclass(slots=True)
class Chance:
    """Numbers that are the same on every run."""

    state: int = 1

    def below(self, count: int) -> int:
        """A whole number from 0 to below `count`."""
        self.state = (self.state * 1_664_525 + 1_013_904_223) % (1 << 32)
        return self.state * count >> 32


@dataclass(slots=True, eq=False)
class _Bar:
    """A bar: its stock, the room that is left (kerf of every piece taken off), and the lengths on it."""

    stock: int
    left: int
    pieces: list[int] = field(default_factory=list)


@dataclass(slots=True)
class _Plan:
    """Joints of every member, one by one, the bars, and what all of it costs."""

    ways: list[Composition]
    bars: list[_Bar]
    cost: int

    def copy(self) -> _Plan:
        """The same plan, to be changed."""
        return _Plan(list(self.ways), [_Bar(b.stock, b.left, list(b.pieces)) for b in self.bars], self.cost)


class Paths:
    """Shortest paths of one kind of member over its places: pieces between any two, ordered by where they end."""

    def __init__(self, nodes: JointNodes, kind: int) -> None:
        here = slice(int(nodes.first[kind]), int(nodes.first[kind + 1]))
        self.place = nodes.low[here]
        self.length = int(nodes.length[kind])
        span, least, bearing = nodes.span[here], int(nodes.least[kind]), int(nodes.bearing[kind])
        rest = self.length - self.place
        self._from_start = np.where(span + 1 >= bearing, self.place, 0)
        self._to_end = np.where(int(nodes.attachments[kind]) - 1 - span >= bearing, rest, 0)
        self._from_start[self._from_start < least] = 0
        self._to_end[self._to_end < least] = 0
        self._least, self._bearing, self._span = least, bearing, span
        self._pairs: tuple[Ints, Ints, Ints, Ints] | None = None

    def _between(self, longest: int) -> tuple[Ints, Ints, Ints, Ints]:
        """Places where pieces begin, their lengths, where the pieces to each end begin in those, and these ends."""
        if self._pairs is None:
            begin = np.searchsorted(self.place, self.place - longest)
            end = np.searchsorted(self.place, self.place - self._least, side="right")
            counts = np.maximum(0, end - begin)
            to = np.repeat(np.arange(len(self.place)), counts)
            source = np.arange(len(to), dtype=np.int64) - np.repeat(np.cumsum(counts) - counts - begin, counts)
            good = self._span[to] - self._span[source] >= self._bearing
            to, source = to[good], source[good]
            ends, first = np.unique(to, return_index=True)
            self._pairs = (source, self.place[to] - self.place[source], first, ends)
        return self._pairs

    @property
    def size(self) -> int:
        """How many pieces one search looks at."""
        return 1 if self._pairs is None else 1 + len(self._pairs[0])

    def cheapest(self, price: Ints, splice: int) -> Composition | None:
        """The joints of the cheapest way where a piece of a length costs `price[length]`; None if there is none."""
        longest = len(price) - 2
        best = int(price[min(self.length, longest + 1)])
        found: Composition | None = () if best < DEAREST else None
        if not len(self.place):
            return found
        source, lengths, first, ends = self._between(longest)
        start = np.where(self._from_start > 0, price.take(np.minimum(self._from_start, longest + 1)), NO_WAY)
        last = np.where(self._to_end > 0, price.take(np.minimum(self._to_end, longest + 1)), NO_WAY)
        between = price.take(lengths) + splice if len(source) else lengths
        steps = [np.minimum(start + splice, NO_WAY)]
        while True:
            total = steps[-1] + last
            at = int(total.argmin())
            if total[at] < best:
                best, found = int(total[at]), self._back(steps, at, source, between, first, ends)
            if not len(source) or steps[-1].min() >= best:
                return found
            through = np.full(len(self.place), NO_WAY, dtype=np.int64)
            through[ends] = np.minimum(np.minimum.reduceat(steps[-1].take(source) + between, first), NO_WAY)
            through[through >= best] = NO_WAY
            steps.append(through)

    def _back(
        self, steps: Sequence[Ints], at: int, source: Ints, between: Ints, first: Ints, ends: Ints
    ) -> Composition:
        joints = [int(self.place[at])]
        for step in reversed(steps[:-1]):
            row = int(np.searchsorted(ends, at))
            here = slice(int(first[row]), int(first[row + 1]) if row + 1 < len(first) else len(source))
            at = int(source[here][(step.take(source[here]) + between[here]).argmin()])
            joints.append(int(self.place[at]))
        return tuple(reversed(joints))


class RuinAndRecreate:
    """The search from one plan, or from none."""

    def __init__(self, problem: SplicingProblem, nodes: JointNodes) -> None:
        self._problem = problem
        self._kerf = problem.saw.kerf
        self._paths = [Paths(nodes, kind) for kind in range(len(problem.members))]
        self._kinds = [kind for kind, count in enumerate(problem.counts) for _ in range(count)]
        self._whole = [length for length, count in problem.whole for _ in range(count)]
        self._chance = Chance()
        offered = [bar for bar in problem.bars if bar.room > 0 and bar.available != 0]
        self._rate = min(bar.price / bar.room for bar in offered)
        part = np.arange(problem.longest + 2, dtype=np.int64) * 1_000 // max(1, problem.longest)
        self._cheapest = min(bar.price for bar in offered)
        self._bonus: Ints = self._cheapest // RECREATION.bonus * part * part // 1_000_000
        self.plan: _Plan | None = None
        self._here: _Plan | None = None
        self._over = 0
        self._share = 0.0
        self._noise: Ints | None = None
        self.work = 0

    def begin(self) -> None:
        """Plans made from nothing, longest members first; the cheapest is kept."""
        order = sorted(range(len(self._kinds)), key=lambda n: (-self._problem.members[self._kinds[n]].length, n))
        for credit in RECREATION.credits:
            plan = _Plan([() for _ in self._kinds], [], 0)
            for length, count in self._problem.whole:
                for _ in range(count):
                    if not self._put(plan, length, credit):
                        return
            self._here = None
            self._recreate(plan, order, credit)

    def adopt(self, proposal: Proposal, patterns: Sequence[Pattern], cost: int) -> None:
        """Goes on from a plan found elsewhere, if it is cheaper."""
        if self.plan is not None and self.plan.cost <= cost:
            return
        problem = self._problem
        ways = [joints for chosen in proposal.chosen for joints, times in chosen for _ in range(times)]
        bars = []
        for pattern in patterns:
            left = problem.bars[pattern.stock].room - sum(pattern.pieces) - self._kerf * len(pattern.pieces)
            bars += [_Bar(pattern.stock, left, list(pattern.pieces)) for _ in range(pattern.count)]
        splices = sum(len(joints) for joints in ways)
        self.plan = _Plan(ways, bars, sum(problem.bars[bar.stock].price for bar in bars) + splices * problem.splice)

    def go_on(self, rounds: int) -> bool:
        """So many times some members are taken out and put back; whether the plan became cheaper."""
        if self.plan is None:
            return False
        before, self._here = self.plan.cost, self.plan
        for done in range(rounds):
            self._over = int(before * RECREATION.threshold * (1 - done / rounds))
            plan = self._here.copy()
            out = self._some(plan)
            for member in out:
                self._take_out(plan, member)
            loose = self._loosened(plan)
            credit = RECREATION.credits[self._chance.below(len(RECREATION.credits))]
            self._share = self._chance.below(RECREATION.shares) / RECREATION.shares if self._chance.below(2) else 0.0
            self._noise = self._drawn() if self._chance.below(4) == 0 else None
            if self._chance.below(2):
                if all(self._put(plan, length, credit) for length in loose):
                    self._recreate(plan, out, credit)
            else:
                self._recreate(plan, out, credit, loose)
        return self.plan.cost < before

    def _drawn(self) -> Ints:
        """What pieces cost more by chance, the same within a stretch of lengths."""
        most = max(1, int(self._cheapest * RECREATION.noise))
        drawn = [self._chance.below(most) for _ in range(RECREATION.shares)]
        size = self._problem.longest + 2
        noise: Ints = np.repeat(np.array(drawn, dtype=np.int64), -(-size // RECREATION.shares))[:size]
        return noise

    def proposal(self) -> Proposal | None:
        """The joints of the best plan."""
        if self.plan is None:
            return None
        chosen: list[dict[Composition, int]] = [{} for _ in self._problem.members]
        for kind, joints in zip(self._kinds, self.plan.ways, strict=True):
            chosen[kind][joints] = chosen[kind].get(joints, 0) + 1
        return Proposal(tuple(tuple(sorted(each.items())) for each in chosen))

    def _some(self, plan: _Plan) -> list[int]:
        """Members to take out: one by chance, then others by chance or with pieces on the same bars."""
        count, many = len(self._kinds), 1 + self._chance.below(RECREATION.together)
        out = [self._chance.below(count)]
        while len(out) < min(many, count):
            other = self._chance.below(count)
            while other in out:
                other = (other + 1) % count
            out.append(other)
        return out

    def _pieces(self, plan: _Plan, member: int) -> tuple[int, ...]:
        return lengths_of(self._problem.members[self._kinds[member]], plan.ways[member])

    def _loosened(self, plan: _Plan) -> list[int]:
        """Some whole pieces taken off their bars, longest first."""
        if not self._whole:
            return []
        count = self._chance.below(min(RECREATION.together, len(self._whole)) + 1)
        picked = {self._chance.below(len(self._whole)) for _ in range(count)}
        loose = sorted((self._whole[at] for at in picked), reverse=True)
        for length in loose:
            self._off(plan, length)
        return loose

    def _take_out(self, plan: _Plan, member: int) -> None:
        """Takes the member's pieces off the bars on which least lies; bars that are empty then are not bought."""
        problem = self._problem
        plan.cost -= problem.splice * len(plan.ways[member])
        for length in self._pieces(plan, member):
            self._off(plan, length)

    def _off(self, plan: _Plan, length: int) -> None:
        bar = max((bar for bar in plan.bars if length in bar.pieces), key=lambda bar: bar.left)
        bar.pieces.remove(length)
        bar.left += length + self._kerf
        if not bar.pieces:
            plan.bars.remove(bar)
            plan.cost -= self._problem.bars[bar.stock].price

    def _recreate(self, plan: _Plan, out: Sequence[int], credit: float, loose: Sequence[int] = ()) -> None:
        """Puts members back, one after the other, and then loose pieces; the plan is kept if it is hardly dearer."""
        for member in out:
            kind = self._kinds[member]
            joints = self._paths[kind].cheapest(self._prices(plan, credit), self._problem.splice)
            self.work += self._paths[kind].size
            if joints is None:
                return
            plan.ways[member] = joints
            plan.cost += self._problem.splice * len(joints)
            for length in sorted(self._pieces(plan, member), reverse=True):
                if not self._put(plan, length, credit):
                    return
            if self._here is not None and plan.cost > self._here.cost + self._over:
                return
        if not all(self._put(plan, length, credit) for length in loose):
            return
        if self._here is not None and plan.cost > self._here.cost + self._over:
            return
        self._here = plan
        if self.plan is None or plan.cost < self.plan.cost:
            self.plan = plan

    def _offers(self, plan: _Plan, credit: float) -> list[tuple[int, int, int]]:
        """Bars to buy: room, what one costs less the credit for its whole room, its number."""
        offers = []
        for number, bar in enumerate(self._problem.bars):
            if bar.available is not None and sum(b.stock == number for b in plan.bars) >= bar.available:
                continue
            offers.append((bar.room, bar.price - int(credit * self._rate * bar.room), number))
        return sorted(offers)

    def _prices(self, plan: _Plan, credit: float) -> Ints:
        """What a piece of every length costs: nothing where a bar has room, else a bar.

        Long pieces come a little cheaper: of ways that cost the same those are found that leave most in one place.
        """
        longest = self._problem.longest
        steps = [(bar.left, 0) for bar in plan.bars if bar.left > self._kerf]
        for room, price, _ in self._offers(plan, credit):
            steps += [(int(room * part), max(0, int(price * part))) for part in (1.0, self._share, 1 - self._share)]
        costs, counts, known = [NO_WAY], [longest + 2], NO_WAY
        for room, cost in sorted(steps, reverse=True):
            until = min(longest, room - self._kerf) + 1
            if cost < known and until > 0:
                counts[-1] -= until
                costs.append(cost)
                counts.append(until)
                known = cost
        by_length: Ints = np.repeat(np.array(costs[::-1], dtype=np.int64), counts[::-1]) - self._bonus
        if self._noise is not None:
            by_length += self._noise
        return by_length

    def _put(self, plan: _Plan, length: int, credit: float) -> bool:
        """Lays a piece where least is left, else on a new bar; whether there is one."""
        need = length + self._kerf
        fitting = [bar for bar in plan.bars if bar.left >= need]
        if fitting:
            bar = min(fitting, key=lambda bar: bar.left)
        else:
            offers = [(cost, room, number) for room, cost, number in self._offers(plan, credit) if room >= need]
            if not offers:
                return False
            _, room, number = min(offers)
            bar = _Bar(number, room)
            plan.bars.append(bar)
            plan.cost += self._problem.bars[number].price
        bar.left -= need
        insort(bar.pieces, length)
        return True
