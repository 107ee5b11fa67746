"""A few members taken out of a plan and put back the cheapest way, again and again: good plans for small jobs.

Where members are few, whole bars decide more than the prices of a linear program can tell. Here a plan is a set of
bars with what lies on them. Some members are taken out, and some whole pieces; each member is put back along a
shortest path over the places where its joints may stand, where a piece costs nothing if room is left for it on a bar,
else a bar. What is left of new bars may be credited in part, or a bar be shared between two pieces, so that plans with
several pieces on a bar come up as well. Off-cuts count at their worth; every other time paths are found as if they
had none. Plans that cost little more are followed for a while. Nothing is proven here.
Source: ruin and recreate, Schrimpf, Schneider, Stamm-Wilbrandt and Dueck, Journal of Computational Physics 159 (2000)
139; threshold accepting, Dueck and Scheuer, the same 90 (1990) 161; random numbers from a linear congruential generator
(Knuth, The Art of Computer Programming 2, 3.3.4), so that they are the same everywhere.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from estimator.cutting.records import TENTHS_PER_M, Pattern
from estimator.cutting.runs.compositions import Composition, lengths_of
from estimator.cutting.splicing.position_graph.graph import Ints
from estimator.cutting.splicing.problem import Proposal, SplicingProblem
from estimator.cutting.splicing.quick.joint_nodes import JointNodes
from estimator.cutting.splicing.quick.member_paths import FAR, Paths, Prices, steps_of
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


class RuinAndRecreate:
    """The search from one plan, or from none."""

    def __init__(self, problem: SplicingProblem, nodes: JointNodes) -> None:
        self._problem = problem
        self._kerf = problem.saw.kerf
        self._paths = [Paths(nodes, kind, problem.longest) for kind in range(len(problem.members))]
        self._kinds = [kind for kind, count in enumerate(problem.counts) for _ in range(count)]
        self._whole = [length for length, count in problem.whole for _ in range(count)]
        self._chance = Chance()
        offered = [bar for bar in problem.bars if bar.room > 0 and bar.available != 0]
        self._rate = min(bar.price / bar.room for bar in offered)
        self._longest = steps_of(problem.longest)
        part = np.arange(self._longest + 2, dtype=np.int64) * 1_000 // max(1, self._longest)
        self._cheapest = min(bar.price for bar in offered)
        self._bonus: Ints = self._cheapest // RECREATION.bonus * part * part // 1_000_000
        self._per_m = problem.saw.offcut_value_per_m if problem.values else 0
        self._least_kept = max(1, problem.saw.reusable_length or 0)
        self._by_step: Ints = (
            np.arange(self._longest + 2, dtype=np.int64) * RECREATION.step * self._per_m // TENTHS_PER_M
        )
        self.plan: _Plan | None = None
        self._here: _Plan | None = None
        self._over = 0
        self._plain = False
        self._share = 0.0
        self._noise: Ints | None = None
        most = max(1, problem.splice, *(bar.price for bar in offered))
        joints = max(1, *(member.length // max(1, member.min_piece) for member in problem.members))
        self._shift = max(0, (2 * most * (joints + 1)).bit_length() - FAR.bit_length() + 2)
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
        paid = sum(problem.bars[bar.stock].price - self._worth(bar.stock, bar.left) for bar in bars)
        self.plan = _Plan(ways, bars, paid + splices * problem.splice)

    def move(self, nodes: JointNodes) -> None:
        """Goes on over other places."""
        self._paths = [Paths(nodes, kind, self._problem.longest) for kind in range(len(self._problem.members))]

    def filling(self) -> list[int]:
        """Lengths with which one piece of a bar that has several would fill it."""
        bars = self.plan.bars if self.plan is not None else []
        found = {length + bar.left for bar in bars if len(bar.pieces) > 1 for length in bar.pieces}
        return sorted(found)[: RECREATION.fillings]

    def _worth(self, stock: int, left: int) -> int:
        """What the off-cut is worth where so much room is left on a bar."""
        if left - self._kerf < self._least_kept or not self._per_m:
            return 0
        return min(self._problem.bars[stock].price, (left - self._kerf) * self._per_m // TENTHS_PER_M)

    def go_on(self, rounds: int, enough: int = 0) -> bool:
        """So many times, or until it costs `enough`, members are taken out and put back; whether it became cheaper."""
        if self.plan is None:
            return False
        before, self._here = self.plan.cost, self.plan
        for done in range(rounds):
            if self.plan.cost <= enough:
                break
            self._over = int(before * RECREATION.threshold * (1 - done / rounds))
            plan = self._here.copy()
            out = self._some(plan)
            for member in out:
                self._take_out(plan, member)
            loose = self._loosened(plan)
            self._plain = self._chance.below(2) == 0
            credit = RECREATION.credits[self._chance.below(len(RECREATION.credits))]
            self._share = self._drawn_share()
            self._noise = self._drawn() if self._chance.below(4) == 0 else None
            if self._chance.below(2):
                if all(self._put(plan, length, credit) for length in loose):
                    self._recreate(plan, out, credit)
            else:
                self._recreate(plan, out, credit, loose)
        return self.plan.cost < before

    def _drawn_share(self) -> float:
        """The part of a bar that pieces may be counted as taking: none, any, or as often as any an even one."""
        kind = self._chance.below(4)
        if kind < 2:
            return 0.0
        if kind == 2:
            return self._chance.below(RECREATION.shares) / RECREATION.shares
        return (0.5, 1 / 3)[self._chance.below(2)]

    def _drawn(self) -> Ints:
        """What pieces cost more by chance, the same within a stretch of lengths."""
        most = max(1, int(self._cheapest * RECREATION.noise))
        drawn = [self._chance.below(most) for _ in range(RECREATION.shares)]
        size = self._longest + 2
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
        plan.cost += self._worth(bar.stock, bar.left)
        bar.left += length + self._kerf
        if bar.pieces:
            plan.cost -= self._worth(bar.stock, bar.left)
        else:
            plan.bars.remove(bar)
            plan.cost -= self._problem.bars[bar.stock].price

    def _recreate(self, plan: _Plan, out: Sequence[int], credit: float, loose: Sequence[int] = ()) -> None:
        """Puts members back, one after the other, and then loose pieces; the plan is kept if it is hardly dearer."""
        for member in out:
            kind = self._kinds[member]
            joints = self._paths[kind].cheapest(self._prices(plan, credit), self._problem.splice >> self._shift)
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

    def _prices(self, plan: _Plan, credit: float) -> Prices:
        """What a piece of every length (in steps) costs: by how much an off-cut is worth less, or a bar.

        Long pieces come a little cheaper: of ways that cost the same those are found that leave most in one place.
        """
        longest = self._longest
        worth = self._per_m and not self._plain
        steps = [
            (bar.left, self._worth(bar.stock, bar.left) if worth else 0) for bar in plan.bars if bar.left > self._kerf
        ]
        lines = [max(steps, default=(0, 0))] if worth else []
        for room, price, number in self._offers(plan, credit):
            if worth:
                lines.append((room, self._problem.bars[number].price))
            steps += [(int(room * part), max(0, int(price * part))) for part in (1.0, self._share, 1 - self._share)]
        costs, counts, known = [FAR << self._shift], [longest + 2], FAR << self._shift
        for room, cost in sorted(steps, reverse=True):
            until = min(longest, steps_of(room - self._kerf)) + 1
            if cost < known and until > 0:
                counts[-1] -= until
                costs.append(cost)
                counts.append(until)
                known = cost
        by_length: Ints = np.repeat(np.array(costs[::-1], dtype=np.int64), counts[::-1])
        for room, cost in lines:  # what still leaves an off-cut of worth
            until = (room - self._least_kept - 2 * self._kerf) // RECREATION.step + 1
            if until > 0:
                kept = cost - (room - 2 * self._kerf) * self._per_m // TENTHS_PER_M
                here = by_length[:until]
                np.minimum(here, self._by_step[: len(here)] + kept, out=here)
        by_length -= self._bonus
        if self._noise is not None:
            by_length += self._noise
        by_length >>= self._shift
        prices: Prices = by_length.astype(np.int32)
        return prices

    def _put(self, plan: _Plan, length: int, credit: float) -> bool:
        """Lays a piece where least is lost and then least is left, else on a new bar; whether there is one."""
        need = length + self._kerf
        fitting = [bar for bar in plan.bars if bar.left >= need]
        if fitting and self._per_m and not self._plain:
            bar = min(fitting, key=lambda bar: (self._lost(bar, need), bar.left))
        elif fitting:
            bar = min(fitting, key=lambda bar: bar.left)
        else:
            offers = [
                (cost - (0 if credit else self._worth(number, room - need)), room, number)
                for room, cost, number in self._offers(plan, credit)
                if room >= need
            ]
            if not offers:
                return False
            _, room, number = min(offers)
            bar = _Bar(number, room)
            plan.bars.append(bar)
            plan.cost += self._problem.bars[number].price - self._worth(number, room)
        plan.cost += self._lost(bar, need)
        bar.left -= need
        insort(bar.pieces, length)
        return True

    def _lost(self, bar: _Bar, need: int) -> int:
        """By how much the bar's off-cut is worth less once so much of it is needed."""
        return self._worth(bar.stock, bar.left) - self._worth(bar.stock, bar.left - need)
