"""Cuts over numbers of bars and splices, looked through number by number; no outside source."""

import random
from itertools import product

import pytest

from estimator.cutting.instance import Bar
from estimator.cutting.records import Saw
from estimator.cutting.runs.joint_rules import Member, windows_between
from estimator.cutting.splicing.bounds.benders_cuts import BendersCut, BendersCuts
from estimator.cutting.splicing.problem import SplicingLimits, SplicingProblem

UNIT = 256


def space_of(rng, values):
    stands = [2_000.0 + 12_000.0 * k for k in range(9)]
    member = Member(100_000, windows_between(stands, 100_000, 1_000.0), len(stands), 5_000, 1)
    bars = tuple(Bar(room, room // rng.randint(8, 12), None, room) for room in (42_030, 60_030))
    saw = Saw(30, 0, 12_000, 180) if values else Saw(30)
    problem = SplicingProblem(bars, saw, (), (member,), (2,), rng.choice([0, 300, 900]), 60_000, (1,))
    return problem, BendersCuts(problem, UNIT, 1)


@pytest.mark.parametrize("values", [False, True])
@pytest.mark.parametrize("seed", range(30))
def test_cuts_prove_no_more_than_they_do_at_every_number_within_the_limits(seed, values):
    rng = random.Random(f"{seed} {values}")
    problem, space = space_of(rng, values)
    cuts = [
        BendersCut(rng.randint(0, 40_000) * UNIT, tuple(rng.randint(-900, 6_000) * UNIT for _ in range(3)))
        for _ in range(rng.randint(1, 6))
    ]
    low = (rng.randint(0, 2), rng.randint(0, 2), rng.randint(2, 3))
    high = tuple(n + rng.randint(0, 3) for n in low)
    worth = [min(bar.price, bar.length * 180 // 10_000) if values else 0 for bar in problem.bars]  # of a whole bar
    prices = (*(bar.price - less for bar, less in zip(problem.bars, worth, strict=True)), problem.splice)

    def least(counts, known):
        plain = sum(p * n for p, n in zip(prices, counts, strict=True))
        parts = [cut.base + sum(s * n for s, n in zip(cut.slopes, counts, strict=True)) for cut in known]
        return max([plain, *(-(-part // UNIT) for part in parts)])

    before = 0
    for number, cut in enumerate(cuts, 1):
        space.add(cut)
        bound = space.bound(SplicingLimits(low, high), 1 << 40)
        everywhere = [
            least(n, cuts[:number]) for n in product(*(range(a, b + 1) for a, b in zip(low, high, strict=True)))
        ]
        assert before - 1 <= bound <= min(everywhere)
        before = bound
    fixed = SplicingLimits(low, low)
    assert space.bound(fixed, 1 << 40) >= least(low, cuts) - 1


def test_limits_that_exclude_every_number_rule_all_plans_out():
    _, space = space_of(random.Random(1), values=False)
    assert space.bound(SplicingLimits((3, 0, 1), (2, None, None)), 9_000) == 9_000


@pytest.mark.parametrize("seed", range(20))
def test_at_other_prices_bars_bought_to_stay_whole_cost_no_more_than_their_price(seed):
    """A cut by which each further bar would cost more than it is paid with says nothing about bars left whole."""
    rng = random.Random(f"whole {seed}")
    problem, space = space_of(rng, seed % 2)
    prices = [bar.price for bar in problem.bars]
    space.add(
        BendersCut(
            rng.randint(1_000, 9_000) * UNIT, (*(round(price * rng.uniform(0.2, 3.0)) * UNIT for price in prices), 0)
        )
    )
    new = [int(price * rng.uniform(0.8, 1.2)) for price in prices]
    other = space.at_prices(new)
    few = other.bound(SplicingLimits((1, 1, 2), (1, 1, 2)), 1 << 40)
    for more in (3, 8):
        assert other.bound(SplicingLimits((1 + more, 1, 2), (1 + more, 1, 2)), 1 << 40) <= few + more * new[0]
