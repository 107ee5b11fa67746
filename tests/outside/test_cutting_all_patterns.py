"""Optima against a whole-number program over every pattern there is, off-cuts with their values included."""

import highspy
import numpy as np
import pytest

from estimator.cutting import CuttingProblem, Saw, Stock, solve_cutting
from estimator.cutting.colgen.bounds import open_limits
from estimator.cutting.colgen.possible_costs import PossibleCosts
from estimator.cutting.colgen.relaxation import Budget, Effort, Knapsack, Master, SearchState, relax
from estimator.cutting.enumeration.mip_heuristic import plan_by_mip
from estimator.cutting.enumeration.patterns import patterns_within
from estimator.cutting.enumeration.restricted_master import RestrictedMaster, RowLimits
from estimator.cutting.enumeration.tree import THOROUGH, decided
from estimator.cutting.instance import instance_of
from tests.outside.cutting_references import random_problem, triplets


def every_pattern(problem):
    """(stock, counts) of all patterns, by trying every number of every length; plain, and slow on purpose."""
    lengths = [d.length for d in problem.demands]
    kerf, found = problem.saw.kerf, []

    def go_on(stock, at, counts, room):
        if at == len(lengths):
            if any(counts):
                found.append((stock, tuple(counts)))
            return
        for n in range(problem.demands[at].count + 1):
            left = room - n * (lengths[at] + kerf)
            if left < 0:
                break
            go_on(stock, at + 1, [*counts, n], left)

    for stock, bar in enumerate(problem.stocks):
        go_on(stock, 0, [], bar.length - 2 * problem.saw.end_trim + kerf)
    return found


def cost_of(problem, stock, counts):
    """The bar's price less what its off-cut is worth, by the rules told in the records."""
    saw, bar = problem.saw, problem.stocks[stock]
    used = sum(n * (d.length + saw.kerf) for n, d in zip(counts, problem.demands, strict=True))
    left = max(0, bar.length - 2 * saw.end_trim - used)
    if saw.reusable_length is None or left < max(1, saw.reusable_length):
        return bar.price
    return bar.price - min(bar.price, left * saw.offcut_value_per_m // 10_000)


def by_all_patterns(problem):
    """Least cost by HiGHS over all patterns, pieces cut exactly as often as wanted."""
    patterns = every_pattern(problem)
    lp = highspy.Highs()
    lp.setOptionValue("output_flag", False)
    lp.setOptionValue("mip_rel_gap", 0.0)
    none = (0, np.array([], dtype=np.int32), np.array([], dtype=np.float64))
    for demand in problem.demands:
        lp.addRow(float(demand.count), float(demand.count), *none)
    for stock in problem.stocks:
        lp.addRow(0.0, highspy.kHighsInf if stock.available is None else float(stock.available), *none)
    for stock, counts in patterns:
        rows = [i for i, n in enumerate(counts) if n] + [len(counts) + stock]
        values = [float(n) for n in counts if n] + [1.0]
        cost = float(cost_of(problem, stock, counts))
        lp.addCol(cost, 0.0, highspy.kHighsInf, len(rows), np.array(rows, dtype=np.int32), np.array(values))
    count = lp.getNumCol()
    lp.changeColsIntegrality(count, np.arange(count, dtype=np.int32), np.full(count, 1, dtype=np.uint8))
    lp.run()
    assert lp.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return round(lp.getInfo().objective_function_value)


def with_saw(problem, saw):
    return CuttingProblem(problem.stocks, problem.demands, saw)


@pytest.mark.parametrize("seed", range(16))
def test_plans_with_valued_off_cuts_agree_with_a_program_over_every_pattern(seed):
    saw = Saw(30 * (seed % 2), 50 * (seed % 3), (5000, 10_000, 20_000)[seed % 3], 10 + 7 * seed)
    problem = with_saw(random_problem(seed + 300, kinds=4, most=5), saw)
    found = solve_cutting(problem)
    assert (found.cost, found.proven_optimal) == (by_all_patterns(problem), True)


@pytest.mark.parametrize("seed", range(8))
def test_plans_from_limited_bars_with_valued_off_cuts_agree_too(seed):
    problem = with_saw(random_problem(seed + 400, kinds=4, most=4, limited=True), Saw(30, 0, 10_000, 40))
    found = solve_cutting(problem)
    assert (found.cost, found.proven_optimal) == (by_all_patterns(problem), True)


@pytest.mark.parametrize("seed", range(8))
def test_prices_close_together_are_told_apart(seed):
    # bars of 4.3 m and 4.6 m at 1036 and 1037: which of two plans is cheaper hangs on single units of money
    stocks = (Stock("A", 42_670, 1036), Stock("B", 46_000, 1037), Stock("C", 61_000, 1391))
    problem = CuttingProblem(stocks, random_problem(seed + 500, kinds=5, most=6).demands, Saw(30))
    found = solve_cutting(problem)
    assert (found.cost, found.proven_optimal) == (by_all_patterns(problem), True)


@pytest.mark.parametrize(("seed", "valued"), [(seed, valued) for seed in range(6) for valued in (False, True)])
def test_the_patterns_listed_are_those_that_pay_enough(seed, valued):
    problem = random_problem(seed + 600, kinds=5, most=3)
    if valued:
        problem = with_saw(problem, Saw(30, 0, 10_000, 40))
    instance = instance_of(problem)
    prices = [size * (7 + i % 3) for i, size in enumerate(instance.sizes)]
    need = [bar.room * 7 for bar in instance.bars]
    listed = patterns_within(instance, instance.wanted, prices, need, 100_000)
    order = [instance.lengths.index(d.length) for d in problem.demands]
    expected = set()
    for stock, counts in every_pattern(problem):
        own = {i: n for i, n in zip(order, counts, strict=True) if n}
        used = sum(instance.sizes[i] * n for i, n in own.items())
        room = instance.bars[stock].room - used
        pay = sum(prices[i] * n for i, n in own.items()) + (instance.value_left(stock, used) if valued else 0)
        full = all(size > room or own.get(i, 0) == instance.wanted[i] for i, size in enumerate(instance.sizes))
        if pay >= need[stock] and (full or valued):
            expected.add((stock, tuple(sorted(own.items()))))
    assert listed is not None
    assert set(listed) == expected
    assert len(listed) == len(expected)


@pytest.mark.parametrize("seed", range(6))
def test_a_tree_over_the_listed_patterns_finds_the_optimum_and_proves_it(seed):
    problem = random_problem(seed + 700, kinds=5, most=5)
    instance = instance_of(problem)
    state = SearchState(
        instance, Master(instance, instance.wanted), Knapsack(instance, instance.wanted), Budget(Effort())
    )
    state.master.add(
        (bar, ((i, 1),))
        for bar in range(len(instance.bars))
        for i, s in enumerate(instance.sizes)
        if s <= instance.bars[bar].room
    )
    proof = relax(state, instance.wanted, open_limits(instance), 1 << 60, to_the_end=True)
    state.best_cost = proof.bound + 2 * max(stock.price for stock in problem.stocks)
    assert decided(state, instance.wanted, open_limits(instance), [proof], None, THOROUGH)
    assert state.best_cost == by_all_patterns(problem)


@pytest.mark.parametrize("seed", range(8))
def test_a_cost_is_rounded_up_to_what_bars_with_room_enough_can_cost(seed):
    problem = random_problem(seed + 800, kinds=4, most=3, limited=bool(seed % 2))
    instance = instance_of(problem)
    limits = open_limits(instance)
    top = 5 * max(bar.price for bar in instance.bars)
    need = sum(size * n for size, n in zip(instance.sizes, instance.wanted, strict=True))
    sums = {(0, 0)}
    for bar, high in zip(instance.bars, limits.high, strict=True):
        most = top // bar.price if high is None else high
        sums |= {
            (c + n * bar.price, r + n * bar.room) for c, r in sums for n in range(most + 1) if c + n * bar.price <= top
        }
    able = sorted({cost for cost, room in sums if room >= need})
    reach = PossibleCosts(instance, limits, top)
    for value in range(1, top, 37):
        expected = next((cost for cost in able if cost >= value), None)
        assert reach.up(value) == expected if expected is not None else reach.up(value) > top - instance.step()
        assert reach.below(value) == max((cost for cost in able if cost < value), default=-1)


@pytest.mark.parametrize(("seed", "bars"), [(11, 70), (12, 110)])
def test_many_triplets_without_waste_need_no_linear_program_over_all_patterns(seed, bars):
    found = solve_cutting(triplets(seed, bars))
    assert (found.cost, found.proven_optimal) == (bars, True)
    assert found.work < 100


def test_a_plan_found_at_a_jump_is_whole_and_keeps_every_limit():
    problem = triplets(21, 60)
    instance = instance_of(problem)
    prices = tuple(size * 1000 for size in instance.sizes)
    columns = patterns_within(instance, instance.wanted, prices, [1000 * 1000], 10_000)
    pool = RestrictedMaster(instance, columns, RowLimits((0, *instance.wanted), (60, *instance.wanted)))
    assert pool.is_tight()
    plan = plan_by_mip(pool, 60)
    assert plan is not None
    cut = [sum(dict(column[1]).get(i, 0) * n for column, n in plan.items()) for i in range(len(instance.sizes))]
    assert (cut, sum(plan.values())) == (list(instance.wanted), 60)
    assert plan_by_mip(pool, 59) is None
