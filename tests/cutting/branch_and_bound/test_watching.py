"""Whoever looks on at a search is told the truth of it and changes nothing."""

import random
from dataclasses import replace

import pytest

from estimator.cutting import CutRun, CuttingProblem, Demand, Effort, JointRules, Saw, Stock, plan_cuts, solve_cutting

PLAIN = Effort(work_limit=400)


def pieces_into_bars(effort):
    chance = random.Random("watched pieces")
    lengths = sorted({chance.randint(7_000, 31_000) for _ in range(40)})
    demands = tuple(Demand(length, chance.randint(1, 9)) for length in lengths)
    stocks = (Stock("long", 61_000, 2_150), Stock("short", 40_000, 1_480))
    found = solve_cutting(CuttingProblem(stocks, demands, Saw(30)), effort)
    return found.cost, found.lower_bound, found


def spliced_runs(effort):
    lengths = [24_500.0 + 310.0 * number for number in range(6)]
    runs = [
        CutRun(f"run {number}", length, tuple(float(at) for at in range(300, int(length) - 50, 1_200)))
        for number, length in enumerate(lengths)
    ]
    found = plan_cuts(runs, [Stock("bar", 61_000, 6_150)], JointRules(100.0, 500.0, 2), Saw(30), 500, effort)
    return found.cost, found.lower_bound, found


@pytest.mark.parametrize("search", [pieces_into_bars, spliced_runs])
def test_what_is_told_holds_for_the_plan_that_comes_out(search):
    told = []
    cost, bound, watched = search(replace(PLAIN, watch=told.append))
    assert told, "such a search takes work"
    assert [each.work for each in told] == sorted(each.work for each in told)
    assert all(each.most == PLAIN.work_limit for each in told)
    costs = [each.cost for each in told if each.cost is not None]
    assert costs == sorted(costs, reverse=True) and costs[-1] >= cost
    bounds = [each.bound for each in told if each.bound is not None]
    assert bounds == sorted(bounds) and bounds[-1] <= bound
    assert search(PLAIN)[2] == watched
