"""Prices of real lengths, the cheapest ways under them, and what they prove, against trying everything.

Sources: rules of joints in `runs/joint_rules.py`; sums over all ways and all fillings, made here without the search.
"""

import random
from itertools import combinations, product

import numpy as np
import pytest

from estimator.cutting.colgen.relaxation import Budget
from estimator.cutting.instance import Bar, offcut_value
from estimator.cutting.records import Effort, Saw
from estimator.cutting.runs.compositions import lengths_of
from estimator.cutting.runs.joint_rules import Member, is_legal, shortest_piece, windows_between
from estimator.cutting.splicing.colgen.master import SplicingMaster
from estimator.cutting.splicing.colgen.pattern_prices import PatternPrices
from estimator.cutting.splicing.problem import SplicingProblem, splicing_limits
from estimator.cutting.splicing.quick.cheapest_ways import CheapestWays, nearly_all_of
from estimator.cutting.splicing.quick.joint_nodes import places, stretches
from estimator.cutting.splicing.quick.length_prices import NO_WAY, LengthPrices, SizesBetween


def member_of(rng):
    step, first = rng.choice([90, 120, 150]), rng.randint(10, 60)
    length = rng.randint(500, 900)
    stands = [float(first + step * k) for k in range((length - first - 10) // step + 1)]
    return Member(
        length, windows_between(stands, length, 10.0), len(stands), rng.choice([20, 60]), rng.choice([0, 1, 2])
    )


def prices_of(rng, longest, splice):
    """Prices that never fall: some steps, some slopes."""
    rises = [rng.choice([0, 0, 0, rng.randint(1, 9), rng.randint(50, 400)]) for _ in range(longest + 1)]
    return LengthPrices(np.append(np.cumsum(np.array(rises, dtype=np.int64)), NO_WAY), splice)


def cheapest_by_trying(member, prices, joints_most):
    """The least cost over all sets of legal joints on a grid of single units, with up to so many joints."""
    spots = [x for w in member.windows for x in range(w.low, w.high + 1)]
    best = NO_WAY
    for count in range(1, joints_most + 1):
        for joints in combinations(sorted(set(spots)), count):
            if is_legal(member, joints, prices.longest):
                pieces = sum(int(prices.by_length[length]) for length in lengths_of(member, joints))
                best = min(best, pieces + prices.splice * count)
    return best


@pytest.mark.parametrize("seed", range(25))
def test_ways_over_places_are_legal_and_stretches_bound_every_way(seed):
    rng = random.Random(f"ways {seed}")
    member = member_of(rng)
    prices = prices_of(rng, rng.randint(260, 400), rng.choice([0, 100, 2_000]))
    kinds = [member, member_of(rng)]
    found = CheapestWays(places(kinds, 1, 0, []), prices, None, nearly_all_of(1))
    for way in found.ways():
        assert is_legal(kinds[way.kind], way.joints, prices.longest)
        pieces = lengths_of(kinds[way.kind], way.joints)
        assert way.cost == sum(int(prices.by_length[x]) for x in pieces) + prices.splice * len(way.joints)
    for step in (1, 7, 25):
        outside = CheapestWays(stretches(kinds, step), prices, None, rng.choice([(2, 4), nearly_all_of(1)]))
        assert (outside.proven <= found.least).all()
    coarse = Member(member.length // 10, tuple(
        type(w)(-(-w.low // 10), w.high // 10, w.span) for w in member.windows if -(-w.low // 10) <= w.high // 10
    ), member.attachments, max(1, member.min_piece // 10), member.min_attachments)  # fmt: skip
    fewer = LengthPrices(np.append(prices.by_length[:-1:10], NO_WAY), prices.splice)
    alone = CheapestWays(places([coarse], 1, 0, []), fewer, None, nearly_all_of(1))
    tried = cheapest_by_trying(coarse, fewer, 3)
    assert alone.least[0] <= tried
    if alone.ways() and len(min(alone.ways(), key=lambda way: way.cost).joints) <= 3:
        assert alone.least[0] == tried


@pytest.mark.parametrize("seed", range(12))
def test_prices_between_units_overpay_no_bar(seed):
    """Every filling of a bar with up to three pieces of nearly all lengths pays at most what the bar costs."""
    rng = random.Random(f"between {seed}")
    saw = rng.choice([Saw(3), Saw(3, 0, 25, 1_000_000)])
    bars = (Bar(123, 900, None, 120), Bar(88, 700, None, 85))
    problem = SplicingProblem(bars, saw, (), (), (), 50, 120)
    sizes = SizesBetween(problem, rng.choice([11, 20, 25]))
    program = PatternPrices(sizes, SplicingMaster(sizes), Budget(Effort()))
    for size in rng.sample(range(1, sizes.lattice.widest + 1), 3):
        program.lp.add_size(size)
    shares = program.lp.solve()
    paid = {size: rng.uniform(0, 12) * size for size in shares.size_price}
    shares = type(shares)(shares.value, shares.use, shares.bars, 0.0, paid, (0.0, 0.0), 0.0, ())
    limits = splicing_limits(problem)
    point = program.point(program.not_overpaid(program.priced(shares, limits), limits), shares, limits)
    assert point.over == (0, 0)
    prices = sizes.length_prices(point.by_size, point.splice)
    for bar in bars:
        for pieces in product(range(1, bar.room, 2), repeat=2):
            for third in (0, bar.room - sum(pieces) - 9, 17):
                lengths = [*pieces, third] if third > 0 else list(pieces)
                left = bar.room - sum(lengths) - 3 * len(lengths)
                if left >= 0 and max(lengths) <= 120:
                    worth = offcut_value(saw, bar.price, max(0, left - saw.kerf))
                    assert sum(int(prices.by_length[x]) for x in lengths) <= (bar.price - worth) * program.unit


@pytest.mark.parametrize("seed", range(20))
def test_no_piece_of_a_joined_member_is_shorter_than_is_said(seed):
    rng = random.Random(f"short {seed}")
    member = member_of(rng)
    least = shortest_piece(member)
    spots = sorted({x for w in member.windows for x in (w.low, (w.low + w.high) // 2, w.high)})
    for joints in [*combinations(spots, 1), *combinations(spots, 2)]:
        if is_legal(member, joints, member.length):
            assert min(lengths_of(member, joints)) >= least
