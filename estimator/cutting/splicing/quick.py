"""The quick search: prices from a coarse lattice, plans from one inside, the bound from one outward; then branches.

It ends as soon as the plan is within the gap that is asked for. Every step begins with what the one before has found.
"""

from __future__ import annotations

from estimator.cutting.colgen.relaxation import Budget
from estimator.cutting.records import Effort, Pattern
from estimator.cutting.runs.compositions import Composition
from estimator.cutting.splicing.position_graph import Lattice
from estimator.cutting.splicing.price_bound import liked_ways, price_bound, sample
from estimator.cutting.splicing.problem import Proposal, SplicingLimits, splicing_limits
from estimator.cutting.splicing.search import CLOSE_INSIDE, FAR, OpenNode, SplicingSearch, rounded

COARSE = 800
INSIDE = 200
OUTSIDE = (200, 2)
CLOSE_COARSE = 2e-3
MOST_ROUNDS = 3


MANY_KINDS = 60
"""With more kinds of members a sample of so many finds prices first, and the bound."""
GUIDE_WORK = 800
"""Work of the search over the sample."""


class QuickSearch(SplicingSearch):
    """The same pieces as the thorough search, in an order that gives a good plan and a fair bound soon."""

    def run(self, known: int) -> int:
        """The search to the gap asked for, or to the budget's end; the result is the bound, at least `known`."""
        limits = splicing_limits(self.problem)
        self._open = [OpenNode(known, 0, limits)]
        self.budget.proved(known)
        if self._near(known):
            return known
        if len(self.problem.members) > MANY_KINDS:
            return self._run_many(known, limits)
        self._known[False] = self._prices(limits)
        self._inside = [self._inner(INSIDE, 0.0)]
        self._propose(self._inside[0], limits)
        self._known[True] = self._known[False]
        if not self._enough():
            outside = self._root(*OUTSIDE)
            if not self._enough():
                self._inside.append(self._inner(INSIDE, 0.5))
                self._propose(self._inside[1], limits)
            if not self._enough():
                self._branch(outside)
        return min(node.bound for node in self._open) if self._open else (self.best or known)

    def _run_many(self, known: int, limits: SplicingLimits) -> int:
        """Prices of a sample of kinds; with them ways of all kinds, rounded once, and the bound."""
        fewer = sample(self.problem, MANY_KINDS)
        guide = QuickSearch(fewer, NoIncumbents(), Budget(Effort(GUIDE_WORK, self.budget.effort.should_stop)))
        guide._open = [OpenNode(0, 0, splicing_limits(fewer))]
        guide._known[False] = guide._prices(splicing_limits(fewer))
        inner = guide._inner(INSIDE, 0.0)
        relaxed = inner.relax(splicing_limits(fewer), FAR, CLOSE_INSIDE)
        guide.budget.spend(inner.budget.done)
        if relaxed.shares is not None:
            guide._optimum_inside = (inner, relaxed.shares)
            guide._known[True] = guide._known[False] = inner.used_ways(relaxed.shares)
        if relaxed.point is not None:
            self._known[False] = liked_ways(self.problem, inner.on.lattice, relaxed.point)
        self._propose_many(limits)
        guide._root(*OUTSIDE)
        self.budget.spend(guide.budget.done)
        if guide.proof is not None:
            self.cuts.add(price_bound(self.problem, *guide.proof, self.cuts.unit))
        return max(known, self.cuts.bound(limits, self.best if self.best is not None else FAR))

    def _propose_many(self, limits: SplicingLimits) -> None:
        program = self._inner(INSIDE, 0.0)
        for _ in range(MOST_ROUNDS):
            shares = program.lp.solve()
            if shares is None or not program.grow(shares, limits):
                break
        shares = program.lp.solve()
        if shares is not None:
            self.offer(rounded(program, shares.use), program.on.lattice)
        self.budget.spend(program.budget.done)

    def _prices(self, limits: SplicingLimits) -> list[tuple[int, Composition]]:
        """Ways that are worth having at the prices of a coarse lattice."""
        program = self._inner(COARSE, 0.0)
        relaxed = program.relax(limits, FAR, CLOSE_COARSE)
        self.budget.spend(program.budget.done)
        return [] if relaxed.shares is None else program.used_ways(relaxed.shares)

    def _enough(self) -> bool:
        """Whether the best plan is near enough to the bound, or the work is done."""
        return self._closed() or self.budget.spent() or self._near(min(node.bound for node in self._open))


class NoIncumbents:
    """Keeps no plan: for a search that only finds prices."""

    def evaluate(self, proposal: Proposal, lattice: Lattice | None) -> int | None:
        """None: nothing is cut out."""

    def incumbent(self) -> tuple[Proposal, tuple[Pattern, ...]] | None:
        """None: nothing is kept."""
