"""Whole numbers of bars of each stock that a plan can have: what prices prove about them, and all of them by cost.

Under any prices the bars of a plan are worth, each its best-paid pattern, at least what all pieces pay. Where off-cuts
are worth nothing a plan costs what its bars cost, so the numbers themselves can be gone through by their cost.
Source: Lagrangian duality, see `colgen/bounds.py`; going through whole points by cost is common practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from operator import mul

from estimator.cutting.colgen.bounds import StockLimits
from estimator.cutting.instance import Instance
from estimator.cutting.tuning import BRANCHING

Counts = tuple[int, ...]


class StockCounts:
    """What all prices tried so far prove about numbers of bars."""

    def __init__(self, instance: Instance, limits: StockLimits) -> None:
        self._prices = tuple(bar.price for bar in instance.bars)
        pieces = sum(instance.wanted)
        self._most = tuple(pieces if most is None else min(most, pieces) for most in limits.high)
        self._low = limits.low
        self._proofs: list[tuple[int, Counts]] = []
        self._seen: set[tuple[int, Counts]] = set()

    def add(self, worth: Sequence[int], need: int) -> None:
        """Keeps a proof: bars worth that much each have to be worth `need` in all."""
        proof = (need, tuple(worth))
        if need > 0 and proof not in self._seen:
            self._seen.add(proof)
            self._proofs.append(proof)

    def possible(self, limits: StockLimits) -> bool:
        """Whether the most bars within the limits are worth enough under all proofs."""
        high = [most if own is None else own for own, most in zip(limits.high, self._most, strict=True)]
        return all(sum(map(mul, worth, high)) >= need for need, worth in self._proofs)

    def allow(self, limits: StockLimits, below: int) -> bool:
        """Whether numbers within the limits may be possible and cost less than `below`."""
        return self.cost(limits.low) < below and self.possible(limits)

    def cost(self, counts: Sequence[int]) -> int:
        """What so many bars cost."""
        return sum(map(mul, self._prices, counts))

    def between(self, least: int, below: int) -> list[Counts] | None:
        """All numbers that no proof excludes and that cost `least` or more but less than `below`; None if too many."""
        search = _Points(self._prices, (self._low, self._most), self._proofs, (least, below))
        if not search.run():
            return None
        return [n for n in search.found if self.possible(StockLimits(n, n))]


class _Points:
    """Whole points one stock after the other; the stock that is cheapest for its worth comes last."""

    def __init__(
        self,
        prices: Counts,
        limits: tuple[Counts, Counts],
        proofs: Sequence[tuple[int, Counts]],
        costs: tuple[int, int],
    ) -> None:
        self.found: list[Counts] = []
        self._prices = prices
        self._low, self._high = limits
        most = BRANCHING.most_proofs
        self._proofs = [*proofs[:1], *proofs[-(most - 1) :]] if len(proofs) > most else list(proofs)
        self._least, self._below = costs
        self._steps = 0
        sharpest = self._proofs[-1][1] if self._proofs else prices
        self._order = sorted(
            range(len(prices)), key=lambda k: (-prices[k] / sharpest[k] if sharpest[k] > 0 else -1e300, k)
        )
        self._cheapest = [self._cheapest_of(self._order[at:]) for at in range(len(prices) + 1)]

    def _cheapest_of(self, stocks: Sequence[int]) -> list[tuple[int, int] | None]:
        """Under each proof price and worth of the stock among these that is cheapest for its worth."""
        found: list[tuple[int, int] | None] = []
        for _, worth in self._proofs:
            best: tuple[int, int] | None = None
            for k in stocks:
                if worth[k] > 0 and (best is None or self._prices[k] * best[1] < best[0] * worth[k]):
                    best = (self._prices[k], worth[k])
            found.append(best)
        return found

    def run(self) -> bool:
        """Goes through all points; False where they are too many."""
        return self._step(0, [0] * len(self._prices), 0, [need for need, _ in self._proofs])

    def _step(self, at: int, counts: list[int], cost: int, missing: list[int]) -> bool:
        self._steps += 1
        if self._steps > BRANCHING.most_steps or len(self.found) > BRANCHING.most_points:
            return False
        if at == len(self._order):
            if cost >= self._least and all(need <= 0 for need in missing):
                self.found.append(tuple(counts))
            return True
        bar = self._order[at]
        price, high = self._prices[bar], self._high[bar]
        worth = [each[bar] for _, each in self._proofs]
        count = self._low[bar]
        if at == len(self._order) - 1:
            count = max(count, self._fewest(price, worth, cost, missing))
        while count <= high and cost + count * price < self._below:
            counts[bar] = count
            left = [need - count * each for need, each in zip(missing, worth, strict=True)]
            if self._within(at + 1, cost + count * price, left) and not self._step(
                at + 1, counts, cost + count * price, left
            ):
                return False
            count += 1
        counts[bar] = 0
        return True

    def _fewest(self, price: int, worth: Sequence[int], cost: int, missing: Sequence[int]) -> int:
        """The fewest bars of the last stock with which cost and all proofs are reached."""
        by_cost = -(-(self._least - cost) // price) if price > 0 else 0
        return max(0, by_cost, *(-(-need // each) for need, each in zip(missing, worth, strict=True) if each > 0))

    def _within(self, at: int, cost: int, missing: Sequence[int]) -> bool:
        """Whether the stocks that are left can be worth enough and keep the cost below."""
        for need, best in zip(missing, self._cheapest[at], strict=True):
            if need > 0 and (best is None or cost + -(-need * best[0] // best[1]) >= self._below):
                return False
        return True
