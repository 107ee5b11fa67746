"""First fit decreasing by patterns: legal, complete, and where it must be, right."""

import pytest

from estimator.cutting import CuttingProblem, Demand, Stock
from estimator.cutting.heuristics.greedy import greedy_plan, plan_cost
from estimator.cutting.instance import instance_of
from tests.outside.cutting_references import random_problem


def cut(plan, instance):
    pieces = [0] * len(instance.sizes)
    for column, times in plan.items():
        for i, n in column[1]:
            pieces[i] += n * times
    return pieces


@pytest.mark.parametrize("seed", range(20))
def test_every_piece_is_cut_once_and_no_bar_is_over_its_room(seed):
    instance = instance_of(random_problem(seed + 500, kinds=5, most=6))
    plan = greedy_plan(instance, instance.wanted, [None] * len(instance.bars))
    assert plan is not None
    assert cut(plan, instance) == list(instance.wanted)
    assert all(instance.used(column) <= instance.bars[column[0]].room for column in plan)


def test_bars_that_run_out_are_not_taken_twice():
    instance = instance_of(CuttingProblem((Stock("short", 3000, 10), Stock("long", 6000, 30)), (Demand(3000, 4),)))
    plan = greedy_plan(instance, instance.wanted, [2, None])
    assert plan is not None
    assert plan_cost(instance, plan) == 2 * 10 + 30
    assert greedy_plan(instance, instance.wanted, [1, 1]) is None


def test_first_fit_decreasing_wastes_at_most_two_ninths():
    """Bars of one length: FFD takes at most 11/9 OPT + 6/9. Source: Johnson (1973), Dosa (2007), from memory."""
    instance = instance_of(
        CuttingProblem((Stock("B", 60, 1),), (Demand(31, 6), Demand(17, 6), Demand(16, 6), Demand(13, 12)))
    )
    plan = greedy_plan(instance, instance.wanted, [None])
    assert plan is not None
    best = -(-sum(s * n for s, n in zip(instance.sizes, instance.wanted, strict=True)) // instance.bars[0].room)
    assert best <= plan_cost(instance, plan) <= 11 / 9 * 9 + 6 / 9
