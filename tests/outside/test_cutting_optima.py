"""Optima against other exact methods, public instances and instances whose optimum is known by construction."""

import gzip
import json
import os
from pathlib import Path

import pytest

from estimator.cutting import CutRun, CuttingProblem, Demand, JointRules, Saw, Stock, plan_cuts, solve_cutting
from estimator.cutting.runs.joint_rules import members_of
from estimator.places import Place
from tests.outside.cutting_instances import INSTANCES
from tests.outside.cutting_references import asked_of_cp_sat, by_arc_flow, cut_up, random_problem, triplets

PUBLIC = os.environ.get("ESTIMATOR_CUTTING_DATA", "")


@pytest.mark.parametrize(("name", "room", "pieces", "fewest"), INSTANCES)
def test_a_public_instance_is_cut_from_the_fewest_bars(name, room, pieces, fewest):
    found = solve_cutting(CuttingProblem((Stock(name, room, 1),), tuple(Demand(*item) for item in pieces.items())))
    assert (found.cost, found.proven_optimal) == (fewest, True)


@pytest.mark.skipif(not PUBLIC, reason="ESTIMATOR_CUTTING_DATA names no folder with the public classes")
@pytest.mark.parametrize("path", sorted(Path(PUBLIC).glob("*.json.gz")) if PUBLIC else [])
def test_every_public_instance_is_cut_from_the_fewest_bars(path):
    # Source: Delorme, Iori and Martello (2018), see cutting_instances.py
    with gzip.open(path) as lines:
        instances = json.load(lines)
    for one in instances:
        demands = tuple(Demand(w, d) for w, d in zip(one["w"], one["d"], strict=True))
        found = solve_cutting(CuttingProblem((Stock("bar", one["cap"], 1),), demands))
        assert (found.cost, found.proven_optimal) == (one["ub"], True), one["name"]


@pytest.mark.parametrize("seed", range(12))
def test_small_problems_agree_with_arc_flow(seed):
    problem = random_problem(seed, kinds=5, most=6)
    found = solve_cutting(problem)
    assert found.proven_optimal
    assert found.cost == by_arc_flow(problem)


def test_small_problems_with_limited_stock_agree_with_constraint_programming():
    problems = [random_problem(seed + 100, kinds=4, most=2, limited=True) for seed in range(12)]
    optima = asked_of_cp_sat([("assigned", as_assignment(problem)) for problem in problems])
    for problem, (optimum, bound) in zip(problems, optima, strict=True):
        assert bound >= optimum
        found = solve_cutting(problem)
        assert (found.cost, found.proven_optimal) == (optimum, True)


def as_assignment(problem):
    pieces = [d.length for d in problem.demands for _ in range(d.count)]
    stocks = [(s.length, s.price, s.available) for s in problem.stocks]
    return {"pieces": pieces, "stocks": stocks, "kerf": problem.saw.kerf, "bars": len(pieces)}


@pytest.mark.parametrize("seed", range(10))
def test_bars_cut_up_without_waste_are_put_together_again(seed):
    problem, cost = cut_up(seed, bars=12, most_pieces=4, lengths=(42_000, 60_000), kerf=30 * (seed % 2))
    found = solve_cutting(problem)
    assert (found.cost, found.proven_optimal) == (cost, True)


@pytest.mark.parametrize(("seed", "bars"), [(1, 20), (2, 30), (3, 40)])
def test_triplets_without_waste_fill_their_bars(seed, bars):
    found = solve_cutting(triplets(seed, bars))
    assert (found.cost, found.proven_optimal) == (bars, True)


def test_an_instance_whose_fractional_plan_cannot_be_rounded_up_is_proven():
    # Bars of 132, pieces of 44, 33 and 12: the fractional optimum is 259/132, rounded up 2; whole plans need 3.
    # Source: the example of Marcotte (1986) and Fieldhouse (1990) of non-rounding cutting stock, from memory
    demands = (Demand(44, 2), Demand(33, 3), Demand(12, 6))
    found = solve_cutting(CuttingProblem((Stock("bar", 132, 1),), demands))
    assert (found.cost, found.proven_optimal) == (3, True)


def test_the_bound_of_spliced_runs_holds_against_joints_anywhere():
    # reference: constraint programming over every whole millimetre a joint may stand at
    plans, questions = [], []
    for length, step, count, bearing in [(8000.0, 1200.0, 2, 2), (10_000.0, 1500.0, 2, 1), (7600.0, 900.0, 2, 1)]:
        rules = JointRules(100.0, 500.0, bearing)
        stands = tuple(200.0 + step * k for k in range(int((length - 200.0) // step) + 1))
        runs = [CutRun(Place(part=f"run {i}"), length, stands) for i in range(count)]
        plans.append(plan_cuts(runs, [Stock("R6", 60_000, 6000)], rules, Saw(kerf=30), 500))
        questions.append(("spliced", as_members(runs, rules, 2 * count)))
    for plan, (found, bound) in zip(plans, asked_of_cp_sat(questions), strict=True):
        assert plan.lower_bound <= found
        assert bound <= plan.cost <= found


def as_members(runs, rules, bars):
    members = [
        {
            "length": member.length,
            "windows": [(w.low, w.high, w.span) for w in member.windows],
            "attachments": member.attachments,
            "min_piece": member.min_piece,
            "min_attachments": member.min_attachments,
        }
        for member in (members_of(run, rules)[0][1] for run in runs)
    ]
    return {"members": members, "kerf": 30, "room": 60_000, "price": 6000, "splice": 500, "bars": bars}
