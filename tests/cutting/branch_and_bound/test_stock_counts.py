"""Numbers of bars gone through by cost, and numbers that cannot suffice."""

from dataclasses import replace
from itertools import product

import pytest

from estimator.cutting import CuttingProblem, Demand, Stock, solve_cutting
from estimator.cutting.branch_and_bound.feasibility import FeasibilityProgram
from estimator.cutting.branch_and_bound.stock_counts import StockCounts
from estimator.cutting.colgen.bounds import StockLimits, open_limits
from estimator.cutting.heuristics.greedy import greedy_plan
from estimator.cutting.instance import instance_of
from tests.cutting.search_states import state_of
from tests.outside.cutting_references import by_arc_flow, many_lengths, random_problem


@pytest.mark.parametrize("seed", range(8))
def test_all_numbers_of_bars_that_no_proof_excludes_are_gone_through(seed):
    problem = random_problem(seed + 900, kinds=4, most=4, limited=bool(seed % 2))
    instance = instance_of(problem)
    limits = open_limits(instance)
    counts = StockCounts(instance, limits)
    need = sum(size * n for size, n in zip(instance.sizes, instance.wanted, strict=True))
    rooms = [bar.room for bar in instance.bars]
    halves = [sum(size > bar.room // 2 for size in instance.sizes[:1]) for bar in instance.bars]
    counts.add(rooms, need)
    counts.add(halves, 1)
    pieces = sum(instance.wanted)
    most = [pieces if high is None else min(high, pieces) for high in limits.high]
    least = min(bar.price for bar in instance.bars)
    below = 6 * max(bar.price for bar in instance.bars)
    expected = {
        n
        for n in product(
            *(range(min(high, below // bar.price) + 1) for high, bar in zip(most, instance.bars, strict=True))
        )
        if least <= counts.cost(n) < below
        and sum(k * room for k, room in zip(n, rooms, strict=True)) >= need
        and sum(k * half for k, half in zip(n, halves, strict=True)) >= 1
    }
    found = counts.between(least, below)
    assert found is not None
    assert len(found) == len(set(found))
    assert set(found) == expected


def test_too_many_numbers_of_bars_are_not_gone_through():
    stocks = tuple(Stock(f"R{n}", 1000 + 100 * n, 100 + 9 * n) for n in range(8))
    instance = instance_of(CuttingProblem(stocks, (Demand(100, 500),)))
    assert StockCounts(instance, open_limits(instance)).between(0, 10_000) is None


@pytest.mark.parametrize("seed", range(12))
def test_numbers_of_bars_that_suffice_are_never_excluded(seed):
    # and those that are excluded have no plan by the arc-flow program either
    problem = random_problem(seed + 950, kinds=3, most=2)
    state = state_of(problem)
    instance = state.instance
    counts = StockCounts(instance, open_limits(instance))
    program = FeasibilityProgram(state, counts)
    need = sum(size * n for size, n in zip(instance.sizes, instance.wanted, strict=True))
    top = max(2, -(-need // min(bar.room for bar in instance.bars)))
    excluded = suffice = 0
    for n in product(range(min(top, 4) + 1), repeat=len(instance.bars)):
        plan = greedy_plan(instance, instance.wanted, n)
        possible = program.possible(n)
        if plan is not None:
            suffice += 1
            assert possible
            assert counts.possible(StockLimits(n, n))
        if possible:
            continue
        excluded += 1
        assert not counts.possible(StockLimits(n, n))
        if sum(k * bar.room for k, bar in zip(n, instance.bars, strict=True)) >= need:
            stocks = tuple(replace(bar, available=k) for bar, k in zip(problem.stocks, n, strict=True))
            with pytest.raises(AssertionError):  # no plan
                by_arc_flow(replace(problem, stocks=stocks))
    assert excluded
    assert suffice


@pytest.mark.parametrize("seed", range(3))
def test_many_lengths_from_several_bars_are_proven(seed):
    found = solve_cutting(many_lengths(seed, 40))
    assert found.proven_optimal
