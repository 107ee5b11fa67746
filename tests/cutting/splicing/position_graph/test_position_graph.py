"""Members on lattices: what is priced outside bounds every legal way, what is found inside is legal.

Checks by exhaustion and chance, no outside source; the knapsack is compared with the textbook recursion.
"""

import random

import numpy as np
import pytest

from estimator.cutting.instance import Bar
from estimator.cutting.records import Saw
from estimator.cutting.runs.compositions import lengths_of
from estimator.cutting.runs.joint_rules import Member, fewest_splices, is_legal, some_joints, windows_between
from estimator.cutting.splicing.bounds.counts_bound import IMPOSSIBLE, fixed_cost
from estimator.cutting.splicing.colgen.knapsack import UnboundedKnapsack
from estimator.cutting.splicing.position_graph.graph import Lattice, position_graph
from estimator.cutting.splicing.position_graph.shortest_paths import path_through, shortest_paths
from estimator.cutting.splicing.problem import SplicingLimits, SplicingProblem

LONGEST = 60_000


def member(rng, bearing):
    step, first = rng.choice([9_000.0, 12_000.0, 15_000.0]), rng.uniform(1_500, 4_500)
    length = rng.randint(62_000, 190_000)
    stands = [first + step * k for k in range(int((length - first - 500) // step) + 1)]
    windows = windows_between(stands, length, 1_000.0)
    return Member(length, windows, len(stands), rng.choice([100, 5_000]), bearing)


def some_legal_joints(one, rng):
    """Legal joints found by chance: a random target length for every piece."""
    for _ in range(200):
        joints, place = [], 0
        while one.length - place > LONGEST:
            reach = place + rng.randint(20_000, LONGEST)
            inside = [w for w in one.windows if w.low <= reach and w.high > place]
            if not inside:
                break
            window = rng.choice(inside[-3:])
            place = min(window.high, reach) if rng.random() < 0.7 else rng.randint(window.low, min(window.high, reach))
            joints.append(place)
            if len(joints) > 12:
                break
        if joints and is_legal(one, joints, LONGEST):
            return tuple(joints)
    return None


@pytest.mark.parametrize("seed", range(25))
def test_the_filling_is_that_of_the_plain_recursion(seed):
    rng = random.Random(seed)
    widest = rng.randint(5, 90)
    sizes = rng.sample(range(1, widest + 1), rng.randint(1, min(7, widest)))
    prices = [rng.randint(0, 40) for _ in sizes]
    filling = UnboundedKnapsack(sizes, prices, widest)
    pay = [0] * (widest + 1)
    for room in range(1, widest + 1):
        pay[room] = max([pay[room - 1], *(pay[room - s] + p for s, p in zip(sizes, prices, strict=True) if s <= room)])
    assert list(filling.pay) == pay
    worth = dict(zip(sizes, prices, strict=True))
    for room in range(widest + 1):
        pieces = filling.pieces(room)
        assert sum(size * n for size, n in pieces.items()) <= room
        assert sum(worth[size] * n for size, n in pieces.items()) == pay[room]


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("bearing", [0, 1, 2])
def test_outside_no_legal_way_is_cheaper_than_the_cheapest_one(seed, bearing):
    rng = random.Random(f"outside {seed} {bearing}")
    one = member(rng, bearing)
    lattice = Lattice(rng.choice([100, 210, 400]), 30, LONGEST, (60_030,), True, rng.choice([1, 2]))
    price = np.cumsum(np.array([rng.randint(0, 9) for _ in range(lattice.widest + 1)], dtype=np.int64))
    splice = rng.choice([-3, 0, 50])
    web = position_graph(one, lattice, fewest_splices(one, LONGEST) or 1)
    ways = shortest_paths(web, price, splice, 1 << 50, 3)
    for _ in range(20):
        joints = some_legal_joints(one, rng)
        if joints is None:
            continue
        cost = sum(int(price[lattice.size(length)]) for length in lengths_of(one, joints)) + splice * len(joints)
        assert ways and ways[0].cost <= cost


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("bearing", [0, 1, 2])
def test_inside_every_way_is_legal_and_costs_what_its_pieces_do(seed, bearing):
    rng = random.Random(f"inside {seed} {bearing}")
    one = member(rng, bearing)
    lattice = Lattice(rng.choice([100, 200]), 30, LONGEST, (60_030,), False, 1, (60_000, 29_985))
    price = np.cumsum(np.array([rng.randint(0, 9) for _ in range(lattice.widest + 1)], dtype=np.int64))
    web = position_graph(one, lattice)
    for way in shortest_paths(web, price, 25, 1 << 50, 4):
        assert is_legal(one, way.joints, LONGEST)
        assert way.sizes == tuple(lattice.size(length) for length in lengths_of(one, way.joints))
        assert way.cost == sum(int(price[size]) for size in way.sizes) + 25 * len(way.joints)
        again = path_through(web, way.joints)
        assert again is not None and again.sizes == way.sizes


@pytest.mark.parametrize("seed", range(40))
def test_the_fewest_splices_suffice_and_fewer_do_not(seed):
    rng = random.Random(f"fewest {seed}")
    one = member(rng, rng.choice([1, 2]))
    fewest = fewest_splices(one, LONGEST)
    assert (fewest is None) == (some_joints(one, LONGEST) is None)
    if fewest is None:
        return
    counts = [len(joints) for joints in (some_legal_joints(one, rng) for _ in range(10)) if joints]
    assert all(count >= fewest for count in counts)
    # on a lattice of whole millimetres of places, with every piece free and a splice at 1, the cheapest way has as many
    lattice = Lattice(10, 0, LONGEST, (LONGEST,), False, 1)
    free = np.zeros(lattice.widest + 1, dtype=np.int64)
    assert shortest_paths(position_graph(one, lattice), free, 1, 1 << 50, 1)[0].cost == fewest


def test_what_fixed_numbers_cost_is_their_price_less_the_best_off_cut():
    # by hand: 3 bars of 6 m less two members of 8 m is 2 m less 5 pieces' kerfs; one off-cut, one kerf shorter
    one = Member(80_000, windows_between([1_000.0 + 12_000 * k for k in range(7)], 80_000, 1_000.0), 7, 100, 1)
    saw = Saw(30, 0, 10_000, 200)
    problem = SplicingProblem((Bar(60_030, 6_000, None, 60_000),), saw, (), (one,), (2,), 500, LONGEST, (1,))
    left = 3 * 60_030 - 2 * (80_000 + 30) - 2 * 30
    assert fixed_cost(problem, SplicingLimits((3, 2), (3, 2))) == 3 * 6_000 + 2 * 500 - (left - 30) * 200 // 10_000
    assert fixed_cost(problem, SplicingLimits((2, 2), (2, 2))) == IMPOSSIBLE  # 12 m for 16 m
    assert fixed_cost(problem, SplicingLimits((3, 1), (3, 1))) == IMPOSSIBLE  # a splice each is needed
